// Package trace holds the ledger: facts of what happened on the floor, and the
// folds over them. A fact is never changed; a mistake is corrected by a further fact.
package trace

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// Kind of a fact.
type Kind string

const (
	RunStarted  Kind = "run started"
	RunEnded    Kind = "run ended" // Good sheets of Release, Waste sheets
	JobStarted  Kind = "job started"
	JobCounted  Kind = "job counted" // Good and Waste so far, added to what was counted
	JobEnded    Kind = "job ended"
	StackMade   Kind = "stack made"  // Good sheets of Release off the corrugator, standing at Place
	StackMoved  Kind = "stack moved" // Stack stands at Place now
	StackFound  Kind = "stack found" // Good sheets of Release on the floor, at Place
	Bundled     Kind = "bundled"     // Good boxes of Release, added to what was bundled
	UnitFound   Kind = "unit found"  // Good boxes of Release in a unit, at Place
	UnitShipped Kind = "unit shipped"
	RollFound   Kind = "roll found"      // Roll is here at Place, with Length and what else was measured
	RollCame    Kind = "roll received"   // off Inbound: Paper, Width, Mass, Diameter, Moisture as measured
	RollMounted Kind = "roll mounted"    // Roll on stand Place
	RollOff     Kind = "roll off"        // Roll off its stand, Length left on it
	RunsSwapped Kind = "runs swapped"    // the crew ran Other before Run
	Stopped     Kind = "machine stopped" // Machine, expected back at Until
	Running     Kind = "machine running" // Machine makes again
	WasteBooked Kind = "waste booked"    // Mass or Waste sheets, for Reason, at Place; with a Machine: waste that its counts tell already; without: thrown from the floor
	Held        Kind = "held"
	Released    Kind = "released from hold"
	Correction  Kind = "correction" // takes back fact Corrects
)

// Fact is one thing that happened. Fields that a kind has no use for stay empty.
type Fact struct {
	ID       ident.Fact    `json:"fact"` // the sender's; a repeat is harmless
	At       time.Time     `json:"at"`   // when it happened
	Kind     Kind          `json:"kind"`
	Source   string        `json:"source"` // desk, import, machine code
	Who      string        `json:"who,omitempty"`
	Plan     ident.Plan    `json:"plan,omitempty"`
	Run      int           `json:"run,omitempty"` // seq of the run in Plan
	Machine  ident.Machine `json:"machine,omitempty"`
	Release  ident.Release `json:"release,omitzero"`
	Stack    ident.Stack   `json:"stack,omitempty"`
	Unit     ident.Unit    `json:"unit,omitempty"`
	Roll     ident.Roll    `json:"roll,omitempty"`
	Good     int           `json:"good,omitempty"`
	Waste    int           `json:"waste,omitempty"`
	Reason   string        `json:"reason,omitempty"`
	Place    string        `json:"place,omitempty"`
	Corrects ident.Fact    `json:"corrects,omitempty"`

	Other    int               `json:"other_run,omitempty"` // a second run of Plan
	Until    time.Time         `json:"until,omitzero"`
	Inbound  string            `json:"inbound,omitempty"` // the delivery a roll came with
	Paper    ident.Paper       `json:"paper,omitempty"`
	Width    quantity.Length   `json:"width_mm,omitempty"`
	Length   quantity.Distance `json:"length_m,omitempty"`
	Mass     quantity.Mass     `json:"mass_kg,omitempty"`
	Diameter quantity.Length   `json:"diameter_mm,omitempty"`
	Moisture float64           `json:"moisture_pct,omitempty"`
}

// Quantities are the counts of one release at every stage, derived from facts.
type Quantities struct {
	SheetsMade int `json:"sheets_made"` // good sheets off the corrugator or found on the floor
	SheetsFed  int `json:"sheets_fed"`  // into the last counted machine: good + waste in sheets
	BoxesGood  int `json:"boxes_good"`  // good off the last machine
	BoxesWaste int `json:"boxes_waste"`
	InUnits    int `json:"in_units"`
	Shipped    int `json:"shipped"`
	Bundled    int `json:"bundled,omitempty"`     // told by the bundler
	SheetsLost int `json:"sheets_lost,omitempty"` // good sheets thrown away from the floor
}
