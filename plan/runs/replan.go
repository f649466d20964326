package runs

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// Way is how much of a plan in force a new one leaves as it is.
type Way string

const (
	Keep Way = "keep" // every run that still may stand stays; what is new gets runs of its own
	Near Way = "near" // runs of the grades concerned are opened, the others stay
	Anew Way = "anew" // every run behind the frozen ones is free
)

// Replanned is one way on: the plan, what moves against the plan in force, and what that costs.
type Replanned struct {
	Way    Way            `json:"way"`
	Answer Answer         `json:"answer"`
	Kept   int            `json:"runs_kept"`
	Moves  []Move         `json:"moves"` // orders that stand otherwise than before, in the problem's sequence
	Extra  quantity.Money `json:"extra"` // cost less that of the plan in force
}

// Move is where an order stood and where it stands.
type Move struct {
	Order string `json:"order"`
	Was   Stand  `json:"was"`
	Is    Stand  `json:"is"`
}

// Stand is what runs make of an order; zero where none does.
type Stand struct {
	Runs    []int             `json:"runs"`
	Length  quantity.Distance `json:"length_m"` // of those runs
	Minutes quantity.Minutes  `json:"run_min"`
	Sheets  int               `json:"sheets"`
}

const (
	replanSeconds = 0.8  // of search where Options name none, all ways together
	leastSeconds  = 0.01 // of each way
	nearMost      = 16   // runs opened at most beside those that no longer stand
)

// Replan answers a change of a plan in force: now is the problem as it has
// become (orders added, cut or gone, webs barred, paper gone), before the plan in
// force, and frozen the Seq numbers of its runs that stand in front whatever
// happens. The ways come cheapest first, those that leave more unplanned behind
// those that leave less; each has passed Check. A frozen run's orders must still be
// in now; orders of other runs may be gone. Options.Start is not read, and
// Options.Seconds count from the call on: only the last way's sequence and check
// come after them. The bound is the plain relaxation's; no better one is sought.
func Replan(ctx context.Context, now Problem, before Answer, frozen []int, opt Options) ([]Replanned, error) {
	start := time.Now()
	opt.Seconds = cmp.Or(opt.Seconds, replanSeconds)
	front, rest, err := before.parted(frozen)
	if err != nil {
		return nil, err
	}
	now.Frozen = append(slices.Clone(now.Frozen), front...)
	if err := now.Validate(); err != nil {
		return nil, err
	}
	stand := now.standing(rest)
	was := now.stands(before)
	var out []Replanned
	ways, share := []Way{Keep, Near, Anew}, map[Way]float64{Keep: .15, Near: .35, Anew: .5}
	if 4*len(stand) < 3*len(rest) { // much of the plan is gone, and all the time is needed for it
		ways, share = ways[2:], map[Way]float64{Anew: 1}
	}
	ahead := 1.0 // share of the ways to come
	for _, way := range ways {
		p := now
		p.Pinned = append(slices.Clone(now.Pinned), now.pinsOf(way, stand)...)
		o := opt
		o.Seconds = max(leastSeconds, (opt.Seconds-time.Since(start).Seconds())*share[way]/ahead)
		ahead -= share[way]
		o.Unproven = true // ways are laid beside each other, and all the time goes into their plans
		o.Start = &Answer{Runs: append(slices.Clone(now.Frozen), stand...)}
		a, err := Solve(ctx, p, o)
		if err != nil {
			return nil, err
		}
		a.Unpinned = slices.DeleteFunc(a.Unpinned, func(k int) bool { return k >= len(now.Pinned) })
		if like := now.likeBefore(a, before.Runs); way != Anew || like.Totals.Cost <= a.Totals.Cost {
			a = like
		}
		if err := Check(now, a); err != nil {
			return nil, fmt.Errorf("replan %s: %w", way, err)
		}
		r := Replanned{Way: way, Answer: a, Kept: kept(a.Runs, before.Runs), Extra: a.Totals.Cost - before.Totals.Cost}
		r.Moves = now.moves(was, now.stands(a))
		out = append(out, r)
	}
	slices.SortStableFunc(out, func(a, b Replanned) int {
		return cmp.Or(cmp.Compare(len(a.Answer.Unplanned), len(b.Answer.Unplanned)), cmp.Compare(a.Answer.Totals.Cost, b.Answer.Totals.Cost))
	})
	return out, nil
}

// parted takes the frozen runs, in their sequence, from the others.
func (a Answer) parted(frozen []int) (front, rest []Run, err error) {
	var v fault.Violations
	for _, seq := range frozen {
		v.Require(slices.ContainsFunc(a.Runs, func(r Run) bool { return r.Seq == seq }), "frozen", fmt.Sprint(seq), "is no run of the plan in force")
	}
	for _, r := range a.Runs {
		if slices.Contains(frozen, r.Seq) {
			front = append(front, r)
		} else {
			rest = append(rest, r)
		}
	}
	return front, rest, v.Err()
}

// standing are the runs of a plan that the problem still lets stand, one after
// the other: each legal by itself, none making more of an order or drawing more
// of a paper than there may be.
func (p Problem) standing(list []Run) []Run {
	j := newJudge(p)
	for i := range p.Frozen {
		j.frozen = len(p.Frozen)
		r := p.laidOut(p.Frozen[i])
		r.Seq = i + 1
		j.run(i, append(make([]Run, i), r))
	}
	var out []Run
	for _, r := range list {
		if slices.ContainsFunc(r.Lanes, func(l Lane) bool { _, known := j.orders[l.Order]; return !known }) {
			continue
		}
		r = p.laidOut(r)
		for k := range r.Lanes {
			r.Lanes[k].Upgraded = j.orders[r.Lanes[k].Order].Grade != r.Grade
		}
		trial := *j
		trial.frozen, trial.faults = 0, nil
		trial.made, trial.paper, trial.in = maps.Clone(j.made), maps.Clone(j.paper), maps.Clone(j.in)
		trial.drawn = maps.Clone(j.drawn)
		at := r
		at.Seq = 1
		trial.run(0, []Run{at})
		trial.stock()
		for _, l := range r.Lanes {
			o := trial.orders[l.Order]
			if _, most := o.window(); trial.made[l.Order] > most || o.MaxParts > 0 && len(trial.in[l.Order]) > o.MaxParts {
				trial.say("order %s is full", l.Order)
			}
		}
		if len(trial.faults) == 0 {
			trial.frozen = j.frozen
			*j = trial
			out = append(out, r)
		}
	}
	return out
}

// pinsOf are the standing runs that a way leaves alone.
func (p Problem) pinsOf(way Way, stand []Run) []Run {
	if way == Anew {
		return nil
	}
	open := p.wanting(stand)
	if way == Keep || len(open) == 0 {
		return stand
	}
	grades := map[ident.Grade]bool{}
	for _, o := range p.Orders {
		if open[o.Order] {
			for _, g := range p.allowed(o) {
				grades[g.Grade] = true
			}
		}
	}
	places := []int{}
	for i, r := range stand {
		if grades[r.Grade] {
			places = append(places, i)
		}
	}
	slices.SortStableFunc(places, func(a, b int) int { // where most is trimmed, most is to be gained
		return cmp.Compare(wasted(stand[b]), wasted(stand[a]))
	})
	places = places[:min(len(places), nearMost)]
	var out []Run
	for i, r := range stand {
		if !slices.Contains(places, i) {
			out = append(out, r)
		}
	}
	return out
}

func wasted(r Run) float64 { return r.Trim.Metres() * r.Length.Metres() }

// wanting are the orders that the frozen and standing runs do not finish.
func (p Problem) wanting(stand []Run) map[string]bool {
	made := p.frozenSheets()
	for _, r := range stand {
		for _, l := range r.Lanes {
			made[l.Order] += l.Sheets
		}
	}
	out := map[string]bool{}
	for _, o := range p.Orders {
		if least, _ := o.window(); made[o.Order] < least {
			out[o.Order] = true
		}
	}
	return out
}
