package promise

import (
	"cmp"
	"context"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
)

// Solve puts the release into the plan in force. It works a number of ways
// through in full — the cheapest by a guess, and the earliest — once as the due
// time wants it and once ahead of others, takes the cheapest, lateness priced,
// and keeps the others as ways to be sooner. Cancelling ctx ends it with the
// best so far. Same seed, same answer. It returns fault.Violations for a problem
// that cannot be; a release that cannot be made is answered with a refusal.
func Solve(ctx context.Context, p Problem, opt Options) (Result, error) {
	if err := p.Validate(); err != nil {
		return Result{}, err
	}
	s, err := newSolver(p, opt)
	if err != nil {
		return Result{}, err
	}
	r := p.ask()
	out := Result{Release: r.Key, Due: r.Due, DueAt: string(cmp.Or(r.DueAt, order.AtDock)), NotBefore: s.notBefore(), Status: RoundLimit}
	if s.latest.Refusal != "" {
		out.Refusal, out.Status = s.latest.Refusal, Refused
		return out, nil
	}
	s.try(ctx)
	if len(s.tried) == 0 {
		out.Status, out.Refusal = Refused, s.noWay()
		return out, ctx.Err()
	}
	best := s.best()
	out.Breaks = best.thawed
	s.answer(&out, best)
	s.sooner(&out, best)
	s.chance(&out, best)
	switch {
	case ctx.Err() != nil:
		out.Status = Stopped
	case !best.at.After(out.NotBefore):
		out.Status = Optimal
	}
	return out, nil
}

// solver holds what all ways are measured against.
type solver struct {
	finder
	opt    Options
	latest jobs.Latest
	plain  jobs.Answer // the plan in force without the release, or as it has it
	late   map[ident.Release]quantity.Minutes
	tried  []worked
}

// worked is a candidate worked through in full.
type worked struct {
	candidate
	clock  jobs.Answer
	ready  map[int]wait
	at     time.Time      // at gate or dock, as it is due
	others quantity.Money // presses, overtime and all other releases' lateness
	own    quantity.Money // the release's lateness
	ahead  bool           // put before others
	over   bool           // overtime allowed for it
	thawed bool           // a freeze is broken
}

// cost is what the way costs beyond the plan in force, the release's own lateness aside.
func (w worked) cost(plain quantity.Money) quantity.Money { return w.candidate.cost + w.others - plain }

func newSolver(p Problem, opt Options) (*solver, error) {
	s := &solver{finder: finder{Problem: p, orders: map[string]runs.Order{}, prices: map[ident.Grade]float64{}}, opt: opt, late: map[ident.Release]quantity.Minutes{}}
	for _, o := range p.Trim.Orders {
		s.orders[o.Order] = o
	}
	for _, g := range p.Trim.Grades {
		s.prices[g.Grade] = price(g)
	}
	s.order, s.known = p.order()
	one := p.Clock
	one.Releases, one.Runs = []jobs.Release{p.ask()}, nil
	latest, err := jobs.LatestExits(one)
	if err != nil {
		return nil, err
	}
	s.latest = latest[0]
	if s.latest.Refusal != "" {
		return s, nil
	}
	return s, s.standing()
}

// standing works the plan in force through without the release.
func (s *solver) standing() error {
	c := s.Clock
	c.Runs = renumbered(c.Runs)
	ready, _ := s.paperFor(c.Runs)
	c.PaperAt = moments(ready)
	c.Releases = slices.Clone(c.Releases)
	if len(s.mine(c.Runs)) == 0 {
		c.Releases = slices.Delete(c.Releases, s.Ask, s.Ask+1)
	}
	c.Overtime = plant.Overtime{}
	var err error
	if s.plain, err = jobs.Solve(context.Background(), c, jobs.Options{Rounds: -1, Start: s.Jobs}); err != nil {
		return err
	}
	for _, t := range s.plain.Runs {
		s.ends = append(s.ends, t.End)
	}
	for _, f := range s.plain.Finishes {
		s.late[f.Release] = f.Late
	}
	s.base = runs.Of(s.Trim.Admitting(c.Runs), c.Runs).Totals.Cost
	return nil
}

func moments(ready map[int]wait) map[int]time.Time {
	out := map[int]time.Time{}
	for seq, w := range ready {
		if !w.at.IsZero() {
			out[seq] = w.at
		}
	}
	return out
}

// plainCost is the presses and all other releases' lateness in the plan in force.
func (s *solver) plainCost() quantity.Money {
	sum := s.plain.Cost + s.plain.LateCost
	for _, f := range s.plain.Finishes {
		if f.Release == s.ask().Key {
			sum -= f.LateCost
		}
	}
	return sum
}

// try works candidates through: half of the tries for the cheapest by a guess,
// half for the earliest; each as the due time wants it, and the earliest ahead of others.
func (s *solver) try(ctx context.Context) {
	all := s.candidates()
	left := cmp.Or(s.opt.Tries, defaultTries)
	cheap, early := slices.Clone(all), slices.Clone(all)
	slices.SortStableFunc(cheap, func(a, b candidate) int {
		return cmp.Or(boolean(a.frozen, b.frozen), cmp.Compare(s.guess(a), s.guess(b)))
	})
	slices.SortStableFunc(early, func(a, b candidate) int { return a.exit.Compare(b.exit) })
	free := slices.DeleteFunc(slices.Clone(early), func(c candidate) bool { return c.frozen && !c.asIs })
	s.some(ctx, cheap, left/3, manner{})
	s.some(ctx, free, left/6, manner{ahead: true})
	s.some(ctx, free, left/6, manner{ahead: true, over: true})
	s.some(ctx, early, left/6, manner{ahead: true, over: true, thaw: true})
	s.some(ctx, cheap, left/6, manner{ahead: true})
}

func boolean(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return 1
	}
	return -1
}

// guess is the cost of a candidate with the lateness that its exit makes certain.
func (s *solver) guess(c candidate) float64 {
	sum := float64(c.cost)
	if over := c.exit.Sub(s.latest.Exit).Hours(); over > 0 {
		r := s.ask()
		sum += float64(s.Clock.Prices.LateEach) + over/24*s.Clock.Prices.LatePctPerDay/100*float64(r.Value)
	}
	return sum
}

// best is the cheapest of those tried that break no freeze, lateness priced; of
// equals the earlier.
func (s *solver) best() worked {
	pool := slices.DeleteFunc(slices.Clone(s.tried), func(w worked) bool { return w.thawed })
	if len(pool) == 0 {
		pool = s.tried
	}
	plain := s.plainCost()
	return slices.MinFunc(pool, func(a, b worked) int {
		return cmp.Or(cmp.Compare(a.cost(plain)+a.own, b.cost(plain)+b.own), a.at.Compare(b.at))
	})
}

// noWay says why no run can make the release.
func (s *solver) noWay() string {
	if !s.known {
		return "it has no sheets and no run makes any"
	}
	o, ok := s.Problem.order()
	if !ok {
		return "no run makes its sheets"
	}
	return s.noWeb(o)
}
