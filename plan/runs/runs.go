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

	// Frozen runs stand first, in this sequence and unchanged, whatever the limits
	// say of them. Of each only grade, web, length and its lanes' order, level and
	// outs are read. What they make counts towards the orders.
	Frozen []Run `json:"frozen,omitempty"`
	// Pinned runs are in the plan with this grade, web and lanes, at any place and
	// on any level; length 0 leaves the length to the search.
	Pinned     []Run             `json:"pinned,omitempty"`
	Apart      [][2]string       `json:"apart,omitempty"`          // pairs of orders that must not share a run
	BarredWebs []quantity.Length `json:"barred_webs_mm,omitempty"` // no run but a frozen one is on these

	Minute         Minute         `json:"minute,omitempty"`
	IdleMinuteCost quantity.Money `json:"idle_minute_cost,omitempty"`
	Changes        Changes        `json:"changes,omitzero"`
	Begins         time.Time      `json:"begins,omitzero"` // of the first run; needed where lateness is priced
}

// Minute says which price of a corrugator minute is in force.
type Minute string

const (
	Bottleneck Minute = "bottleneck" // corrugator.minute_cost; also where none is named
	Idle       Minute = "idle"       // idle_minute_cost: other machines decide the pace
)

// Changes are the metres lost between neighbours of different flute, wall or
// adhesive, each at the wider web and the dearer price, beside the losses that
// the corrugator states. A run whose orders name no adhesive keeps the one before.
type Changes struct {
	FluteLoss    quantity.Distance `json:"flute_change_loss_m,omitempty"`
	WallLoss     quantity.Distance `json:"wall_change_loss_m,omitempty"`
	AdhesiveLoss quantity.Distance `json:"adhesive_change_loss_m,omitempty"`
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
	Flute        ident.Flute       `json:"flute,omitempty"`       // as mounted: B, BC
	Wall         int               `json:"wall,omitempty"`        // 1 single, 2 double
	Mass         quantity.Grammage `json:"gsm,omitempty"`         // of the board; 0: masses are not given
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
	SplitCost     quantity.Money    `json:"split_cost,omitempty"`     // of each run beyond the first that holds it
	MaxParts      int               `json:"max_parts,omitempty"`      // 0: no limit
	UpgradeBarred bool              `json:"upgrade_barred,omitempty"` // its grade's may_upgrade_to does not hold for it
	BarredWebs    []quantity.Length `json:"barred_webs_mm,omitempty"` // it must not run on these
	Due           time.Time         `json:"due,omitzero"`
	Behind        quantity.Minutes  `json:"behind_min,omitempty"`      // cure, converting and road after its last run
	LateCost      quantity.Money    `json:"late_cost_per_h,omitempty"` // of an hour beyond Due
}

// Answer is a plan of runs.
type Answer struct {
	Runs      []Run       `json:"runs"`
	Orders    []Made      `json:"orders"`
	Unplanned []Unplanned `json:"unplanned"`
	Unpinned  []int       `json:"unpinned,omitempty"` // places in Problem.Pinned, from 0, of runs that no legal plan was found with
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
	CostUnits map[string]Amount         `json:"cost_units"`      // of each term but minutes' price: what is paid for
	Paper     map[string]Share          `json:"paper,omitempty"` // what the term paper buys: sheets, trim, rejects, ends
	Bound     quantity.Money            `json:"bound"`
	GapPct    float64                   `json:"gap_pct"`
	Seconds   float64                   `json:"seconds"`
	Status    Status                    `json:"status"`
}

// Amount is a physical amount in its unit: m2, m, min, h, sheets, runs.
// Mass is that of its board where the problem states gsm, Sheets how many good
// sheets the area is, where it is theirs (upgrade).
type Amount struct {
	Amount float64       `json:"amount"`
	Unit   string        `json:"unit"`
	Mass   quantity.Mass `json:"kg,omitempty"`
	Sheets int           `json:"sheets,omitempty"`
}

// Share is a part of the paper that runs draw. Rejects are the first cuts of each
// lane, ends what a lane's last cut leaves of the run's length.
type Share struct {
	Cost quantity.Money `json:"cost"`
	Area quantity.Area  `json:"m2"`
}

// Options for Solve; the zero value searches for 5 s with seed 0.
type Options struct {
	Seconds    float64
	Seed       uint64
	Rounds     int            // 0: until the time is over
	Start      *Answer        // a legal plan of the same orders to begin from
	Unproven   bool           // the plan alone is of interest: no bound is sought
	OnProgress func(Progress) // called from the solving goroutine, at most ten times a second
}

// Progress of a search.
type Progress struct {
	Round   int            `json:"round"`
	Cost    quantity.Money `json:"cost"`
	Bound   quantity.Money `json:"bound"`
	Seconds float64        `json:"seconds"`
}
