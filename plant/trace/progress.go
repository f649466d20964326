package trace

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
)

// Run names one run of one plan.
type Run struct {
	Plan ident.Plan
	Run  int
}

// Job names the work on one release on one converting machine.
type Job struct {
	Release ident.Release
	Machine ident.Machine
}

// Progress is how far a run or a job is, by its facts.
type Progress struct {
	Started time.Time             // the earliest start; zero: none told
	Ended   time.Time             // the latest end; zero: none told
	Last    time.Time             // the latest fact
	Good    map[ident.Release]int // sheets of a run, pieces of a job
	Waste   int
}

// Runs folds the facts of runs. Order and repeats of facts change nothing.
func Runs(facts []Fact) map[Run]Progress {
	out := map[Run]Progress{}
	for _, f := range Standing(facts) {
		if startOf(f.Kind) == RunStarted && f.Run > 0 {
			k := Run{f.Plan, f.Run}
			out[k] = out[k].with(f)
		}
	}
	return out
}

// Jobs folds the facts of jobs. Order and repeats of facts change nothing.
func Jobs(facts []Fact) map[Job]Progress {
	out := map[Job]Progress{}
	for _, f := range Standing(facts) {
		if startOf(f.Kind) == JobStarted {
			k := Job{f.Release, f.Machine}
			out[k] = out[k].with(f)
		}
	}
	return out
}

func (p Progress) with(f Fact) Progress {
	if f.At.After(p.Last) {
		p.Last = f.At
	}
	if p.Good == nil {
		p.Good = map[ident.Release]int{}
	}
	switch f.Kind {
	case startOf(f.Kind):
		if p.Started.IsZero() || f.At.Before(p.Started) {
			p.Started = f.At
		}
	case endOf(f.Kind):
		if f.At.After(p.Ended) {
			p.Ended = f.At
		}
	}
	if f.Release != (ident.Release{}) {
		p.Good[f.Release] += f.Good
	}
	p.Waste += f.Waste
	return p
}

// Hold is why and since when something must not be used or shipped.
type Hold struct {
	At     time.Time
	Who    string
	Reason string
}

// Holds are the things on hold.
type Holds struct {
	Rolls    map[ident.Roll]Hold
	Stacks   map[ident.Stack]Hold
	Units    map[ident.Unit]Hold
	Releases map[ident.Release]Hold // where the whole release is held, not a part of it
}

// HoldsOf folds the facts of holds: for each thing the latest of held and
// released from hold rules.
func HoldsOf(facts []Fact) Holds { return holdsOf(Standing(facts)) }

func holdsOf(standing []Fact) Holds {
	h := Holds{map[ident.Roll]Hold{}, map[ident.Stack]Hold{}, map[ident.Unit]Hold{}, map[ident.Release]Hold{}}
	for _, f := range standing {
		if f.Kind != Held && f.Kind != Released {
			continue
		}
		whole := f.Roll == "" && f.Stack == "" && f.Unit == ""
		turn(h.Rolls, f.Roll, f.Roll != "", f)
		turn(h.Stacks, f.Stack, f.Stack != "", f)
		turn(h.Units, f.Unit, f.Unit != "", f)
		turn(h.Releases, f.Release, whole && f.Release != (ident.Release{}), f)
	}
	return h
}

func turn[K comparable](m map[K]Hold, name K, named bool, f Fact) {
	switch {
	case !named:
	case f.Kind == Held:
		m[name] = Hold{f.At, f.Who, f.Reason}
	default:
		delete(m, name)
	}
}
