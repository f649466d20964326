package trace

import (
	"cmp"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
)

// Way is what the fold must know of a release's way through the converting machines.
type Way struct {
	PerSheet int             // pieces per sheet; 0 counts as 1
	Before   []ident.Machine // machines of the steps before the last: what they count is not yet a box
	First    []ident.Machine // those of Before that take sheets off the floor; none: its first one
}

// Equal reports whether facts are folded alike along both ways.
func (w Way) Equal(o Way) bool {
	return max(w.PerSheet, 1) == max(o.PerSheet, 1) && slices.Equal(w.Before, o.Before) && slices.Equal(w.First, o.First)
}

func (w Way) first() []ident.Machine {
	if len(w.First) > 0 || len(w.Before) == 0 {
		return w.First
	}
	return w.Before[:1]
}

// Fold returns the quantities of every release named by facts, each made on
// one machine, one piece a sheet. See FoldAlong.
func Fold(facts []Fact) map[ident.Release]Quantities {
	return FoldAlong(facts, func(ident.Release) Way { return Way{} })
}

// FoldAlong returns the quantities of every release named by facts.
//
// The order in which facts stand, and facts that stand twice, change nothing.
// A corrected fact counts as if it had never been; a corrected correction
// gives the fact back. A stack, a unit or a shipped unit that is named twice
// counts once, by its latest fact.
//
//	SheetsMade  of each run the good cuts, or the stacks set down where those
//	            are more, + stacks found, with what counting them again changed
//	BoxesGood   job counted + job ended off the last step's machines, + units
//	            found before the first such count (they were made earlier)
//	BoxesWaste  the waste of the last step's machines
//	SheetsFed   their good + waste, and the waste of the steps before, in sheets, rounded up
//	InUnits     units found
//	Bundled     boxes told by the bundler
//	Shipped     units shipped; one that states no boxes counts what was found in it
func FoldAlong(facts []Fact, way func(ident.Release) Way) map[ident.Release]Quantities {
	out := map[ident.Release]Quantities{}
	for r, own := range byRelease(Standing(facts)) {
		out[r] = accountOf(own, r, way(r)).Quantities
	}
	return out
}

func byRelease(standing []Fact) map[ident.Release][]Fact {
	out := map[ident.Release][]Fact{}
	for _, f := range standing {
		if f.Release != (ident.Release{}) {
			out[f.Release] = append(out[f.Release], f)
		}
	}
	return out
}

// Standing returns the facts that count, each once, by time and then id:
// neither corrections nor what they take back.
func Standing(facts []Fact) []Fact {
	seen := make(map[ident.Fact]struct{}, len(facts))
	against := map[ident.Fact][]ident.Fact{} // fact → corrections of it
	once := make([]*Fact, 0, len(facts))
	for i := range facts {
		f := &facts[i]
		if _, twice := seen[f.ID]; twice {
			continue
		}
		seen[f.ID] = struct{}{}
		if f.Kind == Correction {
			against[f.Corrects] = append(against[f.Corrects], f.ID)
			continue
		}
		once = append(once, f)
	}
	once = slices.DeleteFunc(once, func(f *Fact) bool {
		return len(against[f.ID]) > 0 && takenBack(f.ID, against, map[ident.Fact]bool{})
	})
	slices.SortFunc(once, inTime)
	out := make([]Fact, len(once))
	for i, f := range once {
		out[i] = *f
	}
	if len(out) == 0 {
		return nil
	}
	return out
}

// takenBack reports whether a correction of the fact stands. Corrections that
// name each other in a circle never lead to a fact that counts, so seen only
// guards the walk.
func takenBack(id ident.Fact, against map[ident.Fact][]ident.Fact, seen map[ident.Fact]bool) bool {
	if seen[id] {
		return false
	}
	seen[id] = true
	for _, c := range against[id] {
		if !takenBack(c, against, seen) {
			return true
		}
	}
	return false
}

func inTime(a, b *Fact) int {
	if d := a.At.Compare(b.At); d != 0 {
		return d
	}
	return cmp.Compare(a.ID, b.ID)
}

// tally collects one release's boxes, its facts given in time.
type tally struct {
	way              Way
	good, waste      int // off the last step
	wasteBefore      int
	counted          bool
	units, shipped   map[ident.Unit]int
	early            map[ident.Unit]bool // found before the first count
	looseIn, looseOp int                 // found without a unit's name: all, and before the first count
	looseShipped     int
}

func newTally(w Way) *tally {
	return &tally{
		way: w, units: map[ident.Unit]int{},
		shipped: map[ident.Unit]int{}, early: map[ident.Unit]bool{},
	}
}

func (t *tally) add(f Fact) {
	switch f.Kind {
	case JobCounted, JobEnded:
		t.count(f)
	case UnitFound:
		t.found(f)
	case UnitShipped:
		if f.Unit == "" {
			t.looseShipped += f.Good
		} else {
			t.shipped[f.Unit] = f.Good
		}
	}
}

func (t *tally) count(f Fact) {
	if slices.Contains(t.way.Before, f.Machine) {
		t.wasteBefore += f.Waste
		return
	}
	t.counted = t.counted || f.Good > 0
	t.good += f.Good
	t.waste += f.Waste
}

func (t *tally) found(f Fact) {
	if f.Unit == "" {
		t.looseIn += f.Good
		if !t.counted {
			t.looseOp += f.Good
		}
		return
	}
	if _, known := t.units[f.Unit]; !known && !t.counted {
		t.early[f.Unit] = true
	}
	t.units[f.Unit] = f.Good
}

// fed returns the sheets that the last machine took, and those that the steps before it lost.
func (t *tally) fed() int {
	per := max(t.way.PerSheet, 1)
	return ceil(t.good+t.waste, per) + ceil(t.wasteBefore, per)
}

// quantities are all but what the sheets' booking knows.
func (t *tally) quantities() Quantities {
	q := Quantities{
		BoxesGood: t.good + t.looseOp, BoxesWaste: t.waste, SheetsFed: t.fed(),
		InUnits: t.looseIn, Shipped: t.looseShipped,
	}
	for u, n := range t.units {
		q.InUnits += n
		if t.early[u] {
			q.BoxesGood += n
		}
	}
	for u, n := range t.shipped {
		if n == 0 {
			n = t.units[u]
		}
		q.Shipped += n
	}
	return q
}

func ceil(n, d int) int { return (n + d - 1) / d }

// Finished returns the boxes that need not be made again: the most that any
// stage after the last machine has counted.
func (q Quantities) Finished() int { return max(q.BoxesGood, q.Bundled, q.InUnits, q.Shipped) }

// SheetsLeft returns the sheets that are made and not yet fed, never negative.
func (q Quantities) SheetsLeft() int { return max(q.SheetsMade-q.SheetsFed, 0) }
