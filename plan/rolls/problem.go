package rolls

import (
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/roll"
)

// Problem is the paper side of a plan: what the runs draw, and what there is.
type Problem struct {
	Runs      []runs.Run     // in sequence
	Times     []jobs.RunTime // found by run number; a run without a time starts and ends at Now
	Grades    []board.Grade
	Catalogue board.Catalogue
	Rolls     []roll.Roll // one with a Stand that a grade names is on it when the first run starts
	Inbound   []roll.Inbound

	RunChangeLoss   quantity.Distance // web lost at each run's start
	WebChangeLoss   quantity.Distance // more, where the web's width changes
	GradeChangeLoss quantity.Distance // more, where the grade changes
	SpliceLoss      quantity.Distance // paper lost at each splice, from the roll spliced in
	ButtMin         quantity.Distance // a shorter rest is not mounted

	MoveTime    quantity.Minutes // a roll off one stand is ready on another no sooner
	Handling    quantity.Money   // of bringing one roll to a stand, or off it to its place
	WastePerTon quantity.Money   // what a tonne of stripped paper brings

	Now time.Time
}

// Options of Solve; the zero value works.
type Options struct {
	Seed   uint64
	Rounds int // changes tried on each paper and width that is not yet at its bound; 0: 300, below 0: none
}

// Status says how the search ended.
type Status string

const (
	Optimal    Status = "optimal" // nothing covers more, nothing is cheaper
	RoundLimit Status = "round limit"
	Stopped    Status = "stopped" // the context ended
)
