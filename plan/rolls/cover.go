package rolls

import (
	"cmp"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plant/roll"
)

// Cover is how far the runs of a time are covered by named, usable rolls.
type Cover struct {
	Until     time.Time
	Runs      int               // that are still to be run, or are on, and start before Until
	Uncovered quantity.Distance // of all plies: no roll, or the roll named is no longer usable
	Coming    quantity.Distance // of the rest: from deliveries that are still on the road
	Plies     []PlyCover        // in sequence
}

// PlyCover is one ply of one run.
type PlyCover struct {
	PlyNeed
	Start   time.Time
	Missing quantity.Distance
	Coming  quantity.Distance
	Why     []string // what is wrong with the rolls named
}

// CoverUntil sets what a plan draws until a moment against the rolls as they
// are now: a roll that is held, gone or shorter than the plan needs covers
// nothing of what is missing. Runs that ended before now are past.
func CoverUntil(a Answer, times []jobs.RunTime, house []roll.Roll, now, until time.Time) Cover {
	c := Cover{Until: until}
	left := make(map[ident.Roll]roll.Roll, len(house))
	for _, r := range house {
		left[r.ID] = r
	}
	starts := make(map[int]jobs.RunTime, len(times))
	for _, t := range times {
		starts[t.Run] = t
	}
	last := 0
	for _, n := range a.Needs {
		t := starts[n.Run]
		if !t.End.IsZero() && !t.End.After(now) || !t.Start.Before(until) {
			continue
		}
		if n.Run != last {
			c.Runs++
			last = n.Run
		}
		v := PlyCover{PlyNeed: n, Start: t.Start}
		v.Missing, v.Coming, v.Why = drawn(n, left)
		c.Uncovered += v.Missing
		c.Coming += v.Coming
		c.Plies = append(c.Plies, v)
	}
	return c
}

// drawn takes a ply's metres off the rolls named, as far as they are usable.
func drawn(n PlyNeed, left map[ident.Roll]roll.Roll) (missing, coming quantity.Distance, why []string) {
	missing = n.Metres
	for _, u := range n.Rolls {
		if u.Roll == "" {
			coming += u.Metres
			missing -= u.Metres
			continue
		}
		r, here := left[u.Roll]
		switch {
		case !here:
			why = append(why, string(u.Roll)+" is not in the house any more")
		case r.Hold:
			why = append(why, string(u.Roll)+" is on hold: "+r.HoldReason)
		default:
			give := min(r.Length, u.Metres)
			missing -= give
			r.Length -= give
			left[u.Roll] = r
			if give < u.Metres-quantity.FromMetres(1) {
				why = append(why, string(u.Roll)+" has less left than was planned")
			}
		}
	}
	if missing < quantity.FromMetres(1) { // rounding
		missing = 0
	}
	return missing, coming, why
}

// Cap is the board that a grade can be given at a web from free rolls in the house.
type Cap struct {
	Grade  ident.Grade
	Web    quantity.Length
	Metres quantity.Distance // of board
	Paper  ident.Paper       // that is through first
	Times  int               // plies of the grade that it is in
	House  quantity.Distance // of it
	Rolls  int
}

// Caps are the metres of board that the free rolls allow of each grade of the
// problem's runs at each web that all its papers are kept in, least first. A
// paper that a grade holds in several plies is drawn as often.
func Caps(p Problem, webs []quantity.Length) []Cap {
	house, rolls := map[shelf]quantity.Distance{}, map[shelf]int{}
	kept := map[shelf]bool{}
	for _, r := range p.Rolls {
		if !r.Hold && (!r.Butt || r.Length >= p.ButtMin) {
			house[shelf{r.Paper, r.Width}] += r.Length
			rolls[shelf{r.Paper, r.Width}]++
		}
	}
	for code, paper := range p.Catalogue.Papers {
		for _, w := range paper.Webs {
			kept[shelf{code, w}] = true
		}
	}
	wanted := map[ident.Grade]bool{}
	for _, r := range p.Runs {
		wanted[r.Grade] = true
	}
	var out []Cap
	for _, g := range p.Grades {
		for _, web := range webs {
			rate, times := map[ident.Paper]float64{}, map[ident.Paper]int{}
			all := wanted[g.Code]
			for _, ply := range g.Plies {
				rate[ply.Paper] += ply.TakeUp(p.Catalogue)
				times[ply.Paper]++
				all = all && kept[shelf{ply.Paper, web}]
			}
			if !all {
				continue
			}
			v := Cap{Grade: g.Code, Web: web, Metres: -1}
			for _, ply := range g.Plies {
				k := shelf{ply.Paper, web}
				if m := quantity.Distance(float64(house[k]) / rate[ply.Paper]); v.Metres < 0 || m < v.Metres {
					v.Metres, v.Paper, v.Times, v.House, v.Rolls = m, ply.Paper, times[ply.Paper], house[k], rolls[k]
				}
			}
			out = append(out, v)
		}
	}
	slices.SortStableFunc(out, func(a, b Cap) int {
		return cmp.Or(cmp.Compare(a.Metres, b.Metres), cmp.Compare(a.Grade, b.Grade), cmp.Compare(a.Web, b.Web))
	})
	return out
}

// Held is a roll on hold, and what of its paper and width is free beside it.
type Held struct {
	Roll  roll.Roll
	Free  quantity.Distance
	Rolls int               // that are free
	Need  quantity.Distance // of the plan
	Run   int               // the first that needs it; 0: none
}

// HeldRolls are the rolls on hold with what is still free beside them, those
// that leave a plan's need uncovered first.
func HeldRolls(house []roll.Roll, needs []PlyNeed) []Held {
	free, rolls := map[shelf]quantity.Distance{}, map[shelf]int{}
	for _, r := range house {
		if !r.Hold {
			free[shelf{r.Paper, r.Width}] += r.Length
			rolls[shelf{r.Paper, r.Width}]++
		}
	}
	need, first := map[shelf]quantity.Distance{}, map[shelf]int{}
	for _, n := range needs {
		k := shelf{n.Paper, n.Web}
		if need[k] += n.Metres; first[k] == 0 {
			first[k] = n.Run
		}
	}
	var out []Held
	for _, r := range house {
		if k := (shelf{r.Paper, r.Width}); r.Hold {
			out = append(out, Held{Roll: r, Free: free[k], Rolls: rolls[k], Need: need[k], Run: first[k]})
		}
	}
	slices.SortStableFunc(out, func(a, b Held) int { return cmp.Compare(b.Need-b.Free, a.Need-a.Free) })
	return out
}
