// Package runs decides the corrugator's runs: which orders stand side by side
// on which web, for how many metres, in which sequence.
//
// Problem and Answer are the documents of the trim command: see docs/interchange.md.
package runs

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/corrugator"
)

// Problem is one trim problem. Orders are named freely (desk and plan use ident.Release.String).
type Problem struct {
	Corrugator corrugator.Limits `json:"corrugator"`
	Papers     []Stock           `json:"papers,omitempty"`
	Grades     []Grade           `json:"grades"`
	Orders     []Order           `json:"orders"`
}

// Stock is the metres of one paper in the house by web width; a width that is left out is not limited.
type Stock struct {
	Paper  ident.Paper                           `json:"paper"`
	Metres map[quantity.Length]quantity.Distance `json:"metres"`
}

// Grade is a board as the trim problem sees it.
type Grade struct {
	Grade        ident.Grade       `json:"grade"`
	PricePerM2   *quantity.Money   `json:"price_per_m2,omitempty"` // nil: 1
	WasteCredit  quantity.Money    `json:"waste_credit_per_m2,omitempty"`
	Webs         []quantity.Length `json:"webs_mm,omitempty"` // nil: the corrugator's
	MayUpgradeTo []ident.Grade     `json:"may_upgrade_to,omitempty"`
	Plies        []Ply             `json:"plies,omitempty"`
	Speed        quantity.Speed    `json:"speed_m_min,omitempty"` // 0: the corrugator's
}

// Ply draws Metres × TakeUp of its paper.
type Ply struct {
	Paper  ident.Paper `json:"paper"`
	TakeUp float64     `json:"take_up,omitempty"` // 0: 1
}

// Order asks for a number of sheets.
type Order struct {
	Order         string            `json:"order"`
	Grade         ident.Grade       `json:"grade"`
	Slit          quantity.Length   `json:"slit_mm"`
	Chop          quantity.Length   `json:"chop_mm"`
	Scores        []quantity.Length `json:"scores_mm,omitempty"` // positions from one slit edge
	Adhesive      string            `json:"adhesive,omitempty"`
	Sheets        int               `json:"sheets"`
	UnderPct      float64           `json:"under_pct,omitempty"`
	OverPct       float64           `json:"over_pct,omitempty"`
	ShortCost     quantity.Money    `json:"short_cost_per_sheet,omitempty"`
	OverCost      quantity.Money    `json:"over_cost_per_sheet,omitempty"`
	MaxParts      int               `json:"max_parts,omitempty"`      // 0: no limit
	UpgradeBarred bool              `json:"upgrade_barred,omitempty"` // its grade's may_upgrade_to does not hold for it
	BarredWebs    []quantity.Length `json:"barred_webs_mm,omitempty"` // it must not run on these
	Due           time.Time         `json:"due,omitzero"`
}

// Answer is a plan of runs.
type Answer struct {
	Runs      []Run       `json:"runs"`
	Orders    []Made      `json:"orders"`
	Unplanned []Unplanned `json:"unplanned"`
	Totals    Totals      `json:"totals"`
}

// Run is one slitter-scorer set-up and its length.
type Run struct {
	Seq    int               `json:"seq"`
	Grade  ident.Grade       `json:"grade"`
	Web    quantity.Length   `json:"web_mm"`
	Length quantity.Distance `json:"length_m"`
	Trim   quantity.Length   `json:"trim_mm"` // both sides together
	Lanes  []Lane            `json:"lanes"`   // from the operator side
}

// Lane is the adjacent outs of one order on one knife level.
type Lane struct {
	Order    string          `json:"order"`
	Level    int             `json:"level"`
	Outs     int             `json:"outs"`
	Slit     quantity.Length `json:"slit_mm"`
	Chop     quantity.Length `json:"chop_mm"`
	Cuts     int             `json:"cuts"`   // of each out
	Sheets   int             `json:"sheets"` // good: outs × (cuts − rejects)
	Upgraded bool            `json:"upgraded"`
}

// Made is what the runs make of one order.
type Made struct {
	Order   string `json:"order"`
	Wanted  int    `json:"sheets_wanted"`
	Least   int    `json:"sheets_least"`
	Most    int    `json:"sheets_most"`
	Planned int    `json:"sheets_planned"`
	Runs    []int  `json:"runs"`
}

// Unplanned is an order that no legal run makes, with the limit that stops it and what would free it.
type Unplanned struct {
	Order  string `json:"order"`
	Reason string `json:"reason"`
}

// Status says why the search ended.
type Status string

const (
	Optimal    Status = "optimal"
	Stopped    Status = "stopped"
	RoundLimit Status = "round limit"
)

// Totals of a plan. Waste is 100 × (1 − sheet area / web area).
type Totals struct {
	Runs      int                       `json:"runs"`
	Length    quantity.Distance         `json:"length_m"`
	Web       quantity.Area             `json:"web_m2"`
	Sheet     quantity.Area             `json:"sheet_m2"`
	Trim      quantity.Area             `json:"trim_m2"`
	WastePct  float64                   `json:"waste_pct"`
	Cost      quantity.Money            `json:"cost"`
	CostTerms map[string]quantity.Money `json:"cost_terms"`
	Bound     quantity.Money            `json:"bound"`
	GapPct    float64                   `json:"gap_pct"`
	Seconds   float64                   `json:"seconds"`
	Status    Status                    `json:"status"`
}

// Options for Solve; the zero value searches for 5 s with seed 0.
type Options struct {
	Seconds    float64
	Seed       uint64
	Rounds     int            // 0: until the time is over
	Start      *Answer        // a legal plan of the same orders to begin from
	OnProgress func(Progress) // called from the solving goroutine, at most ten times a second
}

// Progress of a search.
type Progress struct {
	Round   int            `json:"round"`
	Cost    quantity.Money `json:"cost"`
	Bound   quantity.Money `json:"bound"`
	Seconds float64        `json:"seconds"`
}
