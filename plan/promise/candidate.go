package promise

import (
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
)

// candidate is one way to have the release's sheets made.
type candidate struct {
	runs   []runs.Run     // all, numbered anew
	was    []int          // their numbers in the plan in force; 0: new
	mine   []int          // indexes of those that make the release
	joins  int            // number of the run it joins; 0: none
	cost   quantity.Money // of the board, beyond the plan in force; a guess until it is finished
	exit   time.Time      // about when the last of its sheets leaves
	frozen bool           // it stands in the freeze
	asIs   bool           // the runs of the plan in force

	build func() (list []runs.Run, was []int) // runs and was, where they are not worked out yet
}

// finder lists candidates.
type finder struct {
	Problem
	order  runs.Order
	known  bool // it wants sheets from the corrugator
	orders map[string]runs.Order
	base   quantity.Money // board of the plan in force
	ends   []time.Time    // of its runs
	prices map[ident.Grade]float64
}

// candidates lists ways: as the plan in force has it where it makes the
// release, runs it could join, and runs of its own at every place. Each run is
// legal by itself; what they are together, finish says.
func (f *finder) candidates() []candidate {
	if !f.known {
		return []candidate{f.asPlanned()}
	}
	var out []candidate
	if mine := f.mine(f.Clock.Runs); len(mine) > 0 {
		out = append(out, f.asPlanned())
		return append(out, f.earlier(mine)...)
	}
	out = append(out, f.joined()...)
	return append(out, f.alone(f.Clock.Runs, numbers(f.Clock.Runs), f.order.Sheets)...)
}

func (f *finder) asPlanned() candidate {
	c := candidate{runs: f.Clock.Runs, was: numbers(f.Clock.Runs), asIs: true}
	c.mine = f.mine(c.runs)
	for _, i := range c.mine {
		c.exit = f.ends[i]
		c.frozen = c.frozen || i < f.Front
	}
	c.runs = renumbered(c.runs)
	return c
}

func numbers(list []runs.Run) []int {
	out := make([]int, len(list))
	for i, r := range list {
		out[i] = r.Seq
	}
	return out
}

func renumbered(list []runs.Run) []runs.Run {
	out := slices.Clone(list)
	for i := range out {
		out[i].Seq = i + 1
	}
	return out
}

// mine are the indexes of the runs that make the release.
func (f *finder) mine(list []runs.Run) (out []int) {
	for i, r := range list {
		if slices.ContainsFunc(r.Lanes, func(l runs.Lane) bool { return l.Order == f.order.Order }) {
			out = append(out, i)
		}
	}
	return out
}

// finish works out a candidate's board cost and exit, and says whether it is legal.
func (f *finder) finish(c candidate) (candidate, bool) {
	if c.build != nil {
		c.runs, c.was = c.build()
	}
	c.runs = renumbered(c.runs)
	c.mine = f.mine(c.runs)
	trim := f.Trim.Admitting(f.others(c.runs))
	a := runs.Of(trim, c.runs)
	if err := runs.Check(trim, a); err != nil {
		return c, false
	}
	if _, lacking := f.paperFor(a.Runs); lacking != "" {
		return c, false
	}
	c.runs, c.cost = a.Runs, a.Totals.Cost-f.base
	return c, true
}

// others are the runs that do not make the release, and those that stand
// already: their windows are widened, its own is not.
func (f *finder) others(list []runs.Run) (out []runs.Run) {
	for _, r := range list {
		keep := r
		keep.Lanes = slices.DeleteFunc(slices.Clone(r.Lanes), func(l runs.Lane) bool { return l.Order == f.order.Order })
		if len(keep.Lanes) > 0 {
			out = append(out, keep)
		}
	}
	return out
}

// earlier moves the release's last run to every earlier place.
func (f *finder) earlier(mine []int) (out []candidate) {
	last := mine[len(mine)-1]
	for place := f.Going; place < last; place++ {
		c := candidate{frozen: place < f.Front}
		c.build = func() ([]runs.Run, []int) {
			return moved(f.Clock.Runs, last, place), moved(numbers(f.Clock.Runs), last, place)
		}
		with, _ := c.build()
		c.exit = f.startOf(place).Add(f.minutes(with[place]).Duration())
		if len(mine) > 1 {
			c.exit = later(c.exit, f.ends[mine[len(mine)-2]])
		}
		c.cost = f.changes(with, place)
		out = append(out, c)
	}
	return out
}

// minutes are those of a run at its planned speed.
func (f *finder) minutes(r runs.Run) quantity.Minutes {
	var chops []quantity.Length
	for _, l := range r.Lanes {
		chops = append(chops, l.Chop)
	}
	return f.Clock.Corrugator.Speed(f.Clock.Boards[r.Grade], r.Length, chops...).RunMinutes(r.Length)
}

// changes guesses what the change losses beside a run cost more than without it.
func (f *finder) changes(list []runs.Run, at int) (sum quantity.Money) {
	loss := func(a, b runs.Run) float64 {
		metres := 0.0
		if a.Web != b.Web {
			metres += f.Trim.Corrugator.WebChangeLoss.Metres()
		}
		if a.Grade != b.Grade {
			metres += f.Trim.Corrugator.GradeChangeLoss.Metres()
		}
		return metres * max(a.Web, b.Web).Metres() * max(f.prices[a.Grade], f.prices[b.Grade])
	}
	switch before, after := at > 0, at+1 < len(list); {
	case before && after:
		sum = quantity.Money(loss(list[at-1], list[at]) + loss(list[at], list[at+1]) - loss(list[at-1], list[at+1]))
	case before:
		sum = quantity.Money(loss(list[at-1], list[at]))
	case after:
		sum = quantity.Money(loss(list[at], list[at+1]))
	}
	return sum
}

func moved[T any](list []T, from, to int) []T {
	out := slices.Clone(list)
	v := out[from]
	out = slices.Delete(out, from, from+1)
	return slices.Insert(out, to, v)
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// startOf is about when a run at a place could begin.
func (f *finder) startOf(place int) time.Time {
	if place == 0 {
		return f.Clock.Now
	}
	return f.ends[place-1]
}
