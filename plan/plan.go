// Package plan walks the whole way once, forwards: from the book to runs,
// rolls, set-ups, jobs, loads. Its parts are the packages below it; each takes
// the result value of the one before and never reaches back.
package plan

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/loads"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plan/trucks"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/corrugator"
	"github.com/flutewright/flutewright/plant/order"
)

// Plan is one immutable plan: what plan.json holds. The trim answer stands at the top level.
type Plan struct {
	runs.Answer
	Now       time.Time     `json:"now"`
	Demands   []Demand      `json:"demands"` // in the order of the book's lines
	Setups    []Setup       `json:"setups"`  // dry end, one a run
	Rolls     rolls.Answer  `json:"rolls"`
	Clock     jobs.Answer   `json:"clock"`
	Loads     []loads.Load  `json:"loads"`
	Trucks    trucks.Answer `json:"trucks,omitzero"`
	Exchanges []Exchange    `json:"exchanges,omitempty"` // papers that stand in for others on its runs
	Notices   []Notice      `json:"notices"`             // what needs a decision, worst first
	Summary   Summary       `json:"summary"`
}

// Demand is what one release asks of the corrugator: sheets wanted, and how they come about.
type Demand struct {
	Release   ident.Release   `json:"release"`
	Item      ident.Item      `json:"item"`
	Customer  ident.Customer  `json:"customer"`
	Grade     ident.Grade     `json:"grade"`
	Sheet     box.Sheet       `json:"sheet"`
	Approved  bool            `json:"sheet_approved"` // else by formula
	Formula   *box.Sheet      `json:"sheet_by_formula,omitempty"`
	Boxes     int             `json:"boxes"`
	ToMake    int             `json:"boxes_to_make"` // boxes less what is done
	PerSheet  int             `json:"pieces_per_sheet"`
	Net       int             `json:"sheets_net"`    // boxes / pieces per sheet
	Wanted    int             `json:"sheets_wanted"` // net plus what will be lost
	OnFloor   int             `json:"sheets_on_floor"`
	Within    int             `json:"boxes_within_tolerance,omitempty"` // its last job ended so many short, which the tolerance covers: none of them is made
	Route     []ident.Machine `json:"route"`
	Due       time.Time       `json:"due"` // by when it is planned to be there
	Overdue   bool            `json:"overdue,omitempty"`
	Stated    time.Time       `json:"due_stated,omitzero"`  // where the customer cannot take it then
	DueWhy    string          `json:"due_why,omitempty"`    // why Due is another
	Kind      order.LineKind  `json:"kind,omitempty"`       // stock: fills up an item's stock
	FromStock int             `json:"from_stock,omitempty"` // made goods of other lines that go to it
	Strength  *Strength       `json:"strength,omitempty"`
	Fault     string          `json:"fault,omitempty"` // why this release is not planned at all
}

// Strength is the stacking check of one release.
type Strength struct {
	BCT     quantity.Force `json:"bct_n"`
	Allowed quantity.Force `json:"allowed_load_n"`
	Load    quantity.Force `json:"load_n"`
	Verdict string         `json:"verdict"` // holds, close, fails
	Advice  string         `json:"advice,omitempty"`
}

// Setup is the dry end of one run.
type Setup struct {
	Run int `json:"run"`
	corrugator.SetUp
}

// Notice is one thing that needs a decision.
type Notice struct {
	Rank    int           `json:"rank"` // 1 worst
	Kind    string        `json:"kind"` // late, paper, strength, unplanned, tool, load, calendar, hold
	Release ident.Release `json:"release,omitzero"`
	Text    string        `json:"text"`
	ActBy   time.Time     `json:"act_by,omitzero"`
}

// Summary is a plan in one line.
type Summary struct {
	Orders    int            `json:"orders"`
	Planned   int            `json:"planned"`
	Unplanned int            `json:"unplanned"`
	Late      int            `json:"late"`
	LateHours float64        `json:"late_hours"`
	Boxes     int            `json:"boxes"`
	BoardCost quantity.Money `json:"board_cost"`
	PressCost quantity.Money `json:"press_cost"`
	LateCost  quantity.Money `json:"late_cost"`
	Cost      quantity.Money `json:"cost"` // all three
	PaperMass quantity.Mass  `json:"paper_kg"`
	Ends      time.Time      `json:"corrugator_ends"`
}
