package webs

import (
	"cmp"
	"context"
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
)

const defaultSeconds = 10.0

// Solve prices sets of widths. Up to MostExact possible sets it prices every
// one, smaller sets first; beyond, it adds the width that helps most, swaps
// single widths while that helps, and drops them again. Each set has the same
// seed and the same seconds or rounds, and begins from the best plan known on
// a part of it, so that a further width never makes a plan dearer.
//
// Cancelling ctx is a normal end with the sets priced so far, status Stopped.
// It returns fault.Violations for a problem that cannot be.
func Solve(ctx context.Context, p Problem, opt Options) (Result, error) {
	if err := p.Validate(); err != nil {
		return Result{}, err
	}
	p.Candidates = slices.Sorted(slices.Values(p.Candidates))
	p.Most = min(p.Most, len(p.Candidates))
	s := &search{ctx: ctx, p: p, opt: opt, known: map[string]int{}, of: Possible(len(p.Candidates), p.Most)}
	r := Result{Of: s.of, Days: p.Days, Status: Exact}
	walk := s.every
	if s.of > MostExact {
		r.Status, walk = Greedy, s.greedy
		s.of = greedySets(len(p.Candidates), p.Most)
	}
	s.each = cmp.Or(opt.Seconds, defaultSeconds) / float64(s.of+1)
	now := slices.Compact(slices.Sorted(slices.Values(p.Trim.Corrugator.Webs)))
	today, err := s.solve(now, nil)
	if err != nil {
		return r, err
	}
	if err := walk(); err != nil {
		return r, err
	}
	if at, among := s.known[Set{Webs: now}.String()]; among {
		today = s.sets[at] // its search began from a smaller set's plan
	}
	r.Today = &today
	r.Sets = s.sets
	slices.SortStableFunc(r.Sets, compare)
	r.Best = bestByCount(r.Sets)
	switch {
	case ctx.Err() != nil:
		r.Status = Stopped
	case r.Status == Exact:
		r.Bound = least(r.Sets)
	}
	return r, nil
}

// compare puts fewer unplanned orders first, then the cheaper set, then the one of fewer and narrower widths.
func compare(a, b Set) int {
	return cmp.Or(cmp.Compare(a.Unplanned, b.Unplanned), cmp.Compare(a.Cost, b.Cost), cmp.Compare(len(a.Webs), len(b.Webs)), slices.Compare(a.Webs, b.Webs))
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

// least is the lowest bound of the sets that leave as few orders as the first.
func least(sorted []Set) quantity.Money {
	bound := sorted[0].Bound
	for _, s := range sorted {
		if s.Unplanned == sorted[0].Unplanned {
			bound = min(bound, s.Bound)
		}
	}
	return bound
}

// bare is the trim problem without what speaks of one day.
func (p Problem) bare() runs.Problem {
	t := p.Trim
	t.Papers, t.Frozen, t.Pinned, t.BarredWebs = nil, nil, nil, nil
	return t
}

// on is the trim problem on one set of widths.
func (p Problem) on(set []quantity.Length) runs.Problem {
	t := p.bare()
	t.Corrugator.Webs = set
	t.Grades = slices.Clone(t.Grades)
	for i, g := range t.Grades {
		if g.Webs == nil {
			continue
		}
		kept := []quantity.Length{}
		for _, w := range set {
			if slices.Contains(g.Webs, w) || !slices.Contains(p.Trim.Corrugator.Webs, w) {
				kept = append(kept, w)
			}
		}
		t.Grades[i].Webs = kept
	}
	return t
}

// search prices sets, each once.
type search struct {
	ctx   context.Context
	p     Problem
	opt   Options
	each  float64 // seconds of a set
	of    int
	known map[string]int // places in sets
	sets  []Set
}

// price returns a rising set's price, from memory where it is known; ok is
// false once the search is stopped, except for the first set.
func (s *search) price(webs []quantity.Length) (set Set, ok bool, err error) {
	key := Set{Webs: webs}.String()
	if at, there := s.known[key]; there {
		return s.sets[at], true, nil
	}
	if s.ctx.Err() != nil && len(s.sets) > 0 {
		return Set{}, false, nil
	}
	if set, err = s.solve(webs, s.start(webs)); err != nil {
		return set, false, err
	}
	s.known[key] = len(s.sets)
	s.sets = append(s.sets, set)
	if s.opt.OnProgress != nil {
		s.opt.OnProgress(Progress{len(s.sets), max(s.of, len(s.sets)), slices.MinFunc(s.sets, compare).Cost})
	}
	return set, true, nil
}

// start is the best plan known on a set without one of its widths.
func (s *search) start(webs []quantity.Length) *runs.Answer {
	var best *Set
	for i := range webs {
		at, there := s.known[Set{Webs: slices.Delete(slices.Clone(webs), i, i+1)}.String()]
		if there && (best == nil || cmp.Or(cmp.Compare(s.sets[at].Unplanned, best.Unplanned), cmp.Compare(s.sets[at].Trim, best.Trim)) < 0) {
			best = &s.sets[at]
		}
	}
	if best == nil || len(best.Answer.Runs) == 0 {
		return nil
	}
	return &best.Answer
}

func (s *search) solve(webs []quantity.Length, start *runs.Answer) (Set, error) {
	a, err := runs.Solve(s.ctx, s.p.on(webs), runs.Options{Seconds: s.each, Rounds: s.opt.Rounds, Seed: s.opt.Seed, Start: start})
	if err != nil {
		return Set{}, err
	}
	keep := s.p.keeping(len(webs))
	set := Set{
		Webs: slices.Clone(webs), Unplanned: len(a.Unplanned), Trim: a.Totals.Cost, Keep: keep, Cost: a.Totals.Cost + keep,
		Bound: a.Totals.Bound + keep, WastePct: a.Totals.WastePct, Runs: len(a.Runs), Status: a.Totals.Status, Answer: a,
	}
	for _, w := range webs {
		u := Used{Web: w}
		for _, r := range a.Runs {
			if r.Web == w {
				u.Length += r.Length
			}
		}
		set.Used = append(set.Used, u)
	}
	return set, nil
}

// every prices all sets, the smaller ones first.
func (s *search) every() error {
	for k := 1; k <= s.p.Most; k++ {
		if err := s.choose(nil, 0, k); err != nil {
			return err
		}
	}
	return nil
}

// choose prices every set that begins with chosen and has k further widths from place from on.
func (s *search) choose(chosen []quantity.Length, from, k int) error {
	if k == 0 {
		_, _, err := s.price(chosen)
		return err
	}
	for i := from; i+k <= len(s.p.Candidates); i++ {
		if err := s.choose(append(slices.Clone(chosen), s.p.Candidates[i]), i+1, k-1); err != nil {
			return err
		}
	}
	return nil
}
