package jobs

import (
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/corrugator"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// Problem is what the clock side of a plan starts from. It is not changed.
// LatestExits needs no Runs; Corrugate and Solve take them in the given sequence.
type Problem struct {
	Now        time.Time
	Calendar   calendar.Calendar
	Corrugator corrugator.Corrugator
	Machines   []convert.Machine
	Stops      []plant.Stop
	Tools      []plant.Tool
	Cure       plant.Cure
	Dispatch   plant.Dispatch
	Prices     plant.Prices
	Boards     map[ident.Grade]corrugator.Board // every grade of Releases and Runs; the recipe comes from the releases
	Releases   []Release
	Runs       []runs.Run
	PaperAt    map[int]time.Time // by run seq: not before its paper is in the house

	Crews    []plant.Crew                     // none: every manned machine has its own; a shift that none names is not limited
	RunBegun time.Time                        // the first run is in progress since then; zero: it is not
	Overtime plant.Overtime                   // Most 0: there is none
	On       map[ident.Machine]trace.JobState // jobs in progress: they go on first, without a second set-up
	Frozen   []Kept                           // jobs that keep machine and sequence, before all others there
	Manning  []Manning                        // of the plan in force: kept as far as it goes
}

// Kept is a job that keeps its machine, and its place among those kept there.
type Kept struct {
	Release ident.Release
	Step    int // 1 is the first converting step
	Machine ident.Machine
}

// Release is one release as the machines see it.
type Release struct {
	Key            ident.Release
	Style          box.Style
	Grade          ident.Grade
	Sheet          box.Sheet
	Panels         []quantity.Length // body panels along the chop; none: not judged
	PiecesPerSheet int
	Pieces         int // good pieces still wanted off the last machine
	MostPieces     int // good pieces that are of use; 0: Pieces
	OnFloor        int // good sheets on the floor, taken as cured
	Colours        int
	Plate          ident.Plate
	Die            ident.Die
	Adhesive       string          // recipe; "" takes any
	Route          []ident.Machine // agreed converting machines in order; empty: by rule
	SheetCost      quantity.Money  // of one sheet lost
	Due            time.Time
	DueAt          order.Dock // "" counts as the customer's dock
	Road           quantity.Distance
	Value          quantity.Money // of the whole release
	Priority       int            // 1 first, 0 after all others
}

// Latest is how late a release may leave each station and still be in time,
// worked back from its due time on the cheapest manned machines that can make it.
type Latest struct {
	Exit    time.Time       // last sheets off the corrugator
	Press   time.Time       // start of the first converting step; zero without one
	Made    time.Time       // end of the last step
	Steps   []time.Time     // latest start of each step
	Route   []ident.Machine // the machines it is worked back on
	Sheets  int             // sheets that the corrugator must give for Pieces on Route
	Refusal string          // why no manned machine can make it; Exit then leaves the press out
}

// Options for Solve; the zero value works.
type Options struct {
	Seed       uint64
	Rounds     int            // of improvement on each machine; 0: 20,000, negative: none
	Start      []Job          // machines and sequences to begin from; jobs that it does not name find a place between them
	For        ident.Release  // seek overtime for this release alone; zero: for all that are late
	OnProgress func(Progress) // called from the solving goroutine, once a machine
}

// Progress of Solve.
type Progress struct {
	Stage    string         `json:"stage"` // assigned, machine code, …
	Cost     quantity.Money `json:"cost"`
	LateCost quantity.Money `json:"late_cost"`
}

// spec is what convert judges.
func (r Release) spec(b corrugator.Board) convert.Spec {
	return convert.Spec{Style: r.Style, Sheet: r.Sheet, Flute: b.Flute, Panels: r.Panels, Colours: r.Colours, Plate: r.Plate, Die: r.Die}
}
