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
	Times     []jobs.RunTime // found by run number; a run without a time starts at Now
	Grades    []board.Grade
	Catalogue board.Catalogue
	Rolls     []roll.Roll
	Inbound   []roll.Inbound

	RunChangeLoss   quantity.Distance // web lost at each run's start
	WebChangeLoss   quantity.Distance // more, where the web's width changes
	GradeChangeLoss quantity.Distance // more, where the grade changes
	SpliceLoss      quantity.Distance // paper lost at each splice, from the roll spliced in
	ButtMin         quantity.Distance // a shorter rest is not mounted; a short run is one that a butt can feed

	Now time.Time
}
