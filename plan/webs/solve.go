package webs

import (
	"cmp"
	"context"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
)

const (
	defaultSeconds = 10.0
	judgingShare   = 0.75 // of the seconds, at most
)

// Solve judges sets of widths, then plans the best and today's. Up to MostExact
// possible sets it judges every one, smaller sets first; beyond, it adds the
// width that helps most, swaps single widths while that helps, and drops them
// again. A set that holds a width which brings nothing is not in the result: the
// set without it stands there.
//
// Cancelling ctx is a normal end with the sets judged so far, status Stopped.
// It returns fault.Violations for a problem that cannot be.
func Solve(ctx context.Context, p Problem, opt Options) (Result, error) {
	if err := p.Validate(); err != nil {
		return Result{}, err
	}
	start := time.Now()
	p.Candidates = slices.Sorted(slices.Values(p.Candidates))
	p.Most = min(p.Most, len(p.Candidates))
	s := &search{ctx: ctx, p: p, opt: opt, parts: p.stretches(), known: map[string]Set{}, of: Possible(len(p.Candidates), p.Most)}
	seconds := cmp.Or(opt.Seconds, defaultSeconds)
	if opt.Rounds <= 0 {
		s.until = start.Add(time.Duration(judgingShare * seconds * float64(time.Second)))
	}
	r := Result{Of: s.of, Days: p.Days, Stretches: len(s.parts), Status: Exact}
	walk := s.every
	if s.of > MostExact {
		r.Status, walk = Greedy, s.greedy
		s.of = greedySets(len(p.Candidates), p.Most)
	}
	var err error
	now := slices.Compact(slices.Sorted(slices.Values(p.Trim.Corrugator.Webs)))
	all := slices.Compact(slices.Sorted(slices.Values(slices.Concat(now, p.Candidates))))
	if r.Today, err = s.judge(context.WithoutCancel(ctx), now); err != nil {
		return r, err
	}
	if r.All, err = s.judge(context.WithoutCancel(ctx), all); err != nil {
		return r, err
	}
	r.All.Keep, r.All.Cost = 0, r.All.Trim
	if err := walk(); err != nil {
		return r, err
	}
	if r.Sets = s.worth(); s.ended {
		r.Status = Stopped
	}
	r.Spare = len(s.known) - len(r.Sets)
	slices.SortStableFunc(r.Sets, compare)
	r.Best = bestByCount(r.Sets)
	return r, s.planned(&r, seconds-time.Since(start).Seconds())
}

// planned plans today's set and the best one, and shows the plan wherever that set stands.
func (s *search) planned(r *Result, seconds float64) error {
	if s.ctx.Err() != nil {
		return nil
	}
	best := &r.Sets[0]
	if slices.Equal(best.Webs, r.Today.Webs) {
		if err := s.plan(best, seconds); err != nil {
			return err
		}
		r.Today.Plan = best.Plan
	} else {
		if err := s.plan(&r.Today, seconds/2); err != nil {
			return err
		}
		s.report(1)
		if err := s.plan(best, seconds/2); err != nil {
			return err
		}
	}
	for i := range r.Best {
		if slices.Equal(r.Best[i].Webs, best.Webs) {
			r.Best[i].Plan = best.Plan
		}
	}
	s.report(2)
	return nil
}

// compare puts fewer orders left out first, then the cheaper set, then the one of fewer and narrower widths.
func compare(a, b Set) int {
	return cmp.Or(cmp.Compare(len(a.Left), len(b.Left)), cmp.Compare(a.Cost, b.Cost), cmp.Compare(len(a.Webs), len(b.Webs)), slices.Compare(a.Webs, b.Webs))
}

func bestByCount(sorted []Set) []Set {
	var out []Set
	for _, s := range sorted {
		if !slices.ContainsFunc(out, func(o Set) bool { return len(o.Webs) == len(s.Webs) }) {
			out = append(out, s)
		}
	}
	slices.SortFunc(out, func(a, b Set) int { return cmp.Compare(len(a.Webs), len(b.Webs)) })
	return out
}

// search judges sets, each once.
type search struct {
	ctx   context.Context
	p     Problem
	opt   Options
	parts []runs.Problem // the stretches of the orders
	until time.Time      // judging ends; zero: it does not
	of    int
	known map[string]Set
	best  quantity.Money // cost of the best set so far
	least int            // orders that it leaves
	ended bool           // before all were judged
}

// price returns what a rising set costs, from memory where it is known; ok is
// false once the search is stopped, except for the first set.
func (s *search) price(webs []quantity.Length) (set Set, ok bool, err error) {
	key := Set{Webs: webs}.String()
	if set, there := s.known[key]; there {
		return set, true, nil
	}
	first := len(s.known) == 0
	if !first && (s.ctx.Err() != nil || !s.until.IsZero() && time.Now().After(s.until)) {
		s.ended = true
		return Set{}, false, nil
	}
	ctx := s.ctx
	if first { // there must be an answer
		ctx = context.WithoutCancel(ctx)
	}
	if set, err = s.judge(ctx, webs); err != nil {
		return set, false, err
	}
	if !set.whole { // a half-solved relaxation says nothing
		s.ended = true
		return Set{}, false, nil
	}
	s.known[key] = set
	if less := set.without(); less != nil { // the same point, which is the optimum there, too
		small := set
		small.Webs, small.Used = less, slices.DeleteFunc(slices.Clone(set.Used), Used.idle)
		small.Keep = s.p.keeping(len(less))
		small.Cost = small.Paper() + small.Keep
		s.known[Set{Webs: less}.String()] = small
	}
	if first || len(set.Left) < s.least || len(set.Left) == s.least && set.Cost < s.best {
		s.best, s.least = set.Cost, len(set.Left)
	}
	s.report(0)
	return set, true, nil
}

func (s *search) report(planned int) {
	if s.opt.OnProgress != nil {
		s.opt.OnProgress(Progress{len(s.known), max(s.of, len(s.known)), s.best, planned})
	}
}

// match is how near the costs of two sets must be to count as equal: the
// relaxation's own rounding.
const match = 1e-7

// worth returns the sets each of whose widths brings something: none of them runs
// idle, and no set that was judged without one of them does as well.
func (s *search) worth() []Set {
	var out []Set
	for _, set := range s.known {
		if len(set.Webs) > 1 && (set.without() != nil || slices.ContainsFunc(dropped(set.Webs), func(less []quantity.Length) bool {
			o, there := s.known[Set{Webs: less}.String()]
			return there && len(o.Left) <= len(set.Left) && o.Paper() <= set.Paper()*(1+match)
		})) {
			continue
		}
		out = append(out, set)
	}
	return out
}

// every judges all sets, the smaller ones first.
func (s *search) every() error {
	for k := 1; k <= s.p.Most; k++ {
		if err := s.choose(nil, 0, k); err != nil {
			return err
		}
	}
	return nil
}

// choose judges every set that begins with chosen and has k further widths from place from on.
func (s *search) choose(chosen []quantity.Length, from, k int) error {
	if k == 0 {
		_, _, err := s.price(chosen)
		return err
	}
	for i := from; i+k <= len(s.p.Candidates) && !s.ended; i++ {
		if err := s.choose(append(slices.Clone(chosen), s.p.Candidates[i]), i+1, k-1); err != nil {
			return err
		}
	}
	return nil
}
