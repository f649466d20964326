// Package whatnow answers an event on the floor — a rush order, paper or a
// machine gone, an order short, changed or on hold — with the cheapest few ways
// on from the plan in force, beside doing nothing: what moves, what it costs,
// who becomes late or is saved, until when it can be decided, and who must agree.
//
// It repairs the plan, it does not make a new one: runs and jobs that the event
// leaves alone keep their place. Every answer is a whole plan that has passed
// plan.Check.
package whatnow

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
)

// Kind of an event.
type Kind string

const (
	Rush        Kind = "rush order"      // Line is to be made
	PaperGone   Kind = "paper gone"      // Roll, or all of Paper at Web
	MachineDown Kind = "machine down"    // Machine, until Until
	Short       Kind = "order short"     // Release ends at Good boxes, with Spare sheets left on the floor
	Changed     Kind = "order changed"   // Line as it is wanted now
	Cut         Kind = "order cancelled" // Release is not wanted any more
	OnHold      Kind = "quality hold"    // Held boxes of Release
)

// Kinds lists the kinds of events.
func Kinds() []Kind { return []Kind{Rush, PaperGone, MachineDown, Short, Changed, Cut, OnHold} }

// Event is what happened. Fields that its kind has no use for stay empty.
type Event struct {
	Kind    Kind            `json:"kind"`
	Line    order.Line      `json:"line,omitzero"`
	Release ident.Release   `json:"release,omitzero"`
	Machine ident.Machine   `json:"machine,omitempty"` // the corrugator's code is one too
	Until   time.Time       `json:"until,omitzero"`
	Cause   string          `json:"cause,omitempty"`
	Paper   ident.Paper     `json:"paper,omitempty"`
	Web     quantity.Length `json:"web_mm,omitempty"`
	Roll    ident.Roll      `json:"roll,omitempty"`
	Good    int             `json:"good,omitempty"`  // boxes
	Spare   int             `json:"spare,omitempty"` // sheets
	Held    int             `json:"held,omitempty"`  // boxes

	SortPerHour     float64        `json:"sort_per_h,omitempty"`      // boxes that can be sorted an hour; 0: nobody can
	SortPerHourCost quantity.Money `json:"sort_cost_per_h,omitempty"` // of those who sort
	BadPct          float64        `json:"bad_pct,omitempty"`         // expected among the held
}

// Problem is an event with what it meets.
type Problem struct {
	Book   plant.Book // as it is now, floor and done included; the event is not yet in it
	Plan   *plan.Plan // in force
	ID     ident.Plan // its number, by which facts name its runs
	Now    time.Time
	Event  Event
	Silent bool // what no fact tells of is taken to have gone to plan up to Now
}

// Options of Solve; the zero value works.
type Options struct {
	Seed   uint64
	Most   int // answers beside doing nothing; 0: 3
	Rounds int // of the trim engine for each set of orders that is cut anew; 0: 200
}

// Result is the answers, doing nothing first, then the cheapest.
type Result struct {
	Answers  []Answer  `json:"answers"`
	Best     int       `json:"best"`              // place among them of the cheapest, for a rush order of those that make it
	Sentence string    `json:"sentence"`          // the best of them in one sentence
	Refusal  string    `json:"refusal,omitempty"` // why none is in time, with the limit
	Refused  []Refused `json:"refused,omitempty"` // what was looked at and cannot be
	Taken    Taken     `json:"taken"`             // what was taken to have gone to plan
	Tried    int       `json:"tried"`             // plans priced
}

// Taken counts what no fact told and was taken to have gone to plan.
type Taken struct {
	Runs int `json:"runs"`
	Jobs int `json:"jobs"`
}

// Refused is a way that a limit forbids.
type Refused struct {
	Release ident.Release `json:"release,omitzero"`
	Way     string        `json:"way"`
	Reason  string        `json:"reason"`
}

// Answer is one way on.
type Answer struct {
	Title    string       `json:"title"`
	Cost     Money        `json:"cost"`       // of what is still to make and deliver
	More     Money        `json:"more"`       // than doing nothing
	Moves    []Move       `json:"moves"`      // against doing nothing
	Shifted  int          `json:"shifted"`    // jobs and runs that only start at another time
	Late     []Lateness   `json:"late"`       // orders that are late in this answer
	Newly    []Lateness   `json:"newly_late"` // of them, those that were in time or less late before the event
	Saved    []Lateness   `json:"saved"`      // later, or not made, when nothing is done
	Hours    float64      `json:"late_hours"` // of all late orders
	DecideBy time.Time    `json:"decide_by"`  // after it the answer is no longer this one
	Agree    []Agreement  `json:"agree"`      // who must say yes
	Note     string       `json:"note,omitempty"`
	Lines    []order.Line `json:"lines,omitempty"` // order lines as the book must have them for it
	Web      *runs.Run    `json:"web,omitempty"`   // the run that gives the event's order sheets
	Choices  plan.Choices `json:"choices,omitzero"`
	family   string
	clocked  *plan.Clocked
	Plan     *plan.Plan `json:"-"`
	Book     plant.Book `json:"-"` // what Plan is a plan of
}

// Money is a cost split by where it falls.
type Money struct {
	Paper   quantity.Money `json:"paper"`   // net of the waste credit, changes included
	Minutes quantity.Money `json:"minutes"` // of the corrugator
	Press   quantity.Money `json:"press"`
	Late    quantity.Money `json:"late"`
	Lost    quantity.Money `json:"lost"` // price of boxes that are not made, and of what the answer itself takes
	Total   quantity.Money `json:"total"`
}

// minus returns m − o, term by term.
func (m Money) minus(o Money) Money {
	return Money{m.Paper - o.Paper, m.Minutes - o.Minutes, m.Press - o.Press, m.Late - o.Late, m.Lost - o.Lost, m.Total - o.Total}
}

// What moved.
const (
	MovedJob = "job"
	MovedRun = "run"
)

// Move is one job or run that stands elsewhere, is new, or is gone.
type Move struct {
	What   string           `json:"what"` // job, run
	Orders []ident.Release  `json:"orders"`
	From   string           `json:"from,omitempty"` // machine, or web; empty: it is new
	To     string           `json:"to,omitempty"`   // empty: it is gone
	Was    time.Time        `json:"was,omitzero"`
	Is     time.Time        `json:"is,omitzero"`
	SetUp  quantity.Minutes `json:"set_up_min,omitempty"` // at the new place
	Run    quantity.Minutes `json:"run_min,omitempty"`
	Words  string           `json:"words"`
}

// Lateness is one order's hours late.
type Lateness struct {
	Release ident.Release    `json:"release"`
	Late    quantity.Minutes `json:"late_min"`   // in this answer
	Before  quantity.Minutes `json:"before_min"` // in what it is set against
	Unmade  bool             `json:"unmade"`     // it is not made at all
	Was     bool             `json:"was_unmade"` // it was not made in what it is set against
}

// Agreement is a person whose yes an answer needs.
type Agreement struct {
	Area  string `json:"area,omitempty"` // whose frozen front is broken; empty: none is
	Owner string `json:"owner,omitempty"`
	Why   string `json:"why"`
}
