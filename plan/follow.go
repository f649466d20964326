package plan

import (
	"context"
	"fmt"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/solve/sequence"
)

// Given is what of a plan is decided already.
type Given struct {
	Runs []runs.Run       // in sequence; lengths, webs and lanes hold, all else is worked out anew
	Jobs []jobs.Job       // machines and sequences to begin from; other jobs find a place between them
	Left []runs.Unplanned // why an order has no run, where that is known and no given run makes it
	Over []jobs.Manning   // overtime of the corrugator: kept where there is work in it; no more is sought while jobs keep their sequence

	Improve  bool // sequence the machines anew from there; else jobs keep machine and sequence
	Sequence bool // put the runs behind the first Fixed in the cheapest sequence
	Fixed    int
}

// Follow plans a book on given runs: it walks the stations behind the trim
// engine — clock, rolls, set-ups, loads, trucks, notices — as Make does, and
// keeps the runs and their sequence. Orders that no given run makes are
// unplanned. Windows, parts and barred webs that the runs break are priced, not
// refused; a machine's limit or paper that is not there is an error. Every plan
// it returns has passed Check.
func Follow(ctx context.Context, book plant.Book, given Given, opt Options) (*Plan, error) {
	d, err := Prepare(book, opt)
	if err != nil {
		return nil, err
	}
	return d.Follow(ctx, given)
}

// Prepared is a book made ready to be followed on many sets of runs and jobs,
// by several goroutines at once.
type Prepared struct {
	m    *maker
	p    *Plan
	cut  []want
	trim runs.Problem // without paper's limits
}

// Prepare works out what of Follow does not depend on what is given.
func Prepare(book plant.Book, opt Options) (*Prepared, error) {
	m, p, err := begin(book, opt)
	if err != nil {
		return nil, err
	}
	cut, err := m.divide()
	if err != nil {
		return nil, err
	}
	return &Prepared{m, p, cut, trimProblem(m.ix, cut, nil)}, nil
}

// Follow is the package's Follow on the prepared book.
func (d *Prepared) Follow(ctx context.Context, given Given) (*Plan, error) {
	c, err := d.Clocked(ctx, given)
	if err != nil {
		return nil, err
	}
	return c.Whole(ctx)
}

// Clocked is a plan as far as the clock, to be weighed against others: runs and
// jobs with their times and costs, not yet judged by any check. Rolls, set-ups,
// loads and notices stay empty.
type Clocked struct {
	Plan  *Plan
	m     *maker
	clock jobs.Problem
}

// Clocked is Follow as far as the clock. Cancelling ctx ends the sequencing of
// machines with the best so far.
func (d *Prepared) Clocked(ctx context.Context, given Given) (*Clocked, error) {
	m, p := *d.m, *d.p
	m.given = &given
	if err := m.followRuns(&p, d.cut, d.trim); err != nil {
		return nil, err
	}
	c := &Clocked{Plan: &p, m: &m, clock: m.clockOf(&p)}
	var err error
	if p.Clock, err = jobs.Solve(ctx, c.clock, m.jobOptions()); err != nil {
		return nil, fmt.Errorf("clock: %w", err)
	}
	m.summarise(&p)
	return c, nil
}

// Whole goes on from the clock to the whole plan, checked. What it goes on from stays as it is.
func (c *Clocked) Whole(ctx context.Context) (*Plan, error) {
	m, p := *c.m, *c.Plan
	p.Demands = slices.Clone(p.Demands)
	if err := jobs.Check(c.clock, p.Clock); err != nil {
		return nil, fmt.Errorf("clock: %w", err)
	}
	for _, station := range []func(context.Context, *Plan) error{m.paper, m.setUps, m.load, m.ship} {
		if err := station(context.WithoutCancel(ctx), &p); err != nil {
			return nil, err
		}
	}
	m.conclude(&p)
	return &p, Check(m.ix.book, &p)
}

// Trim returns the trim problem of a book at a moment: the orders that still
// want sheets, and the paper in the house and on the way. Choices are in it.
func Trim(book plant.Book, opt Options) (runs.Problem, error) {
	d, err := Prepare(book, opt)
	if err != nil {
		return runs.Problem{}, err
	}
	return d.Trim(), nil
}

// Trim is the package's Trim of the prepared book.
func (d *Prepared) Trim() runs.Problem {
	house, now := houseStock(d.m.ix), d.m.opt.Now
	p := trimProblem(d.m.ix, d.cut, withInbound(d.m.ix, house, now))
	barWebs(d.m.ix, &p, d.cut, house, d.m.exits, now)
	d.m.opt.Choices.onRuns(&p)
	return p
}

// followRuns takes the runs as given.
func (m *maker) followRuns(p *Plan, cut []want, trim runs.Problem) error {
	wanted := map[string]bool{}
	for _, w := range cut {
		wanted[w.Release.String()] = true
	}
	for _, r := range m.given.Runs {
		for _, l := range r.Lanes {
			if !wanted[l.Order] {
				return fmt.Errorf("run %d makes %s, which wants no sheets: %w", r.Seq, l.Order, fault.Infeasible)
			}
		}
	}
	m.trim = trim.Admitting(m.given.Runs)
	p.Answer = runs.Of(m.trim, m.given.Runs)
	for i, u := range p.Unplanned {
		if k := slices.IndexFunc(m.given.Left, func(l runs.Unplanned) bool { return l.Order == u.Order }); k >= 0 {
			p.Unplanned[i].Reason = m.given.Left[k].Reason
		}
	}
	if err := runs.Check(m.trim, p.Answer); err != nil {
		return fmt.Errorf("runs: %w", err)
	}
	if m.given.Sequence {
		if err := m.resequence(p, cut); err != nil {
			return err
		}
	}
	m.ready = paperReady(m.ix, p.Runs, m.opt.Now)
	m.refuseFaulty(p)
	return nil
}

// resequence puts the runs behind the fixed ones in the order that costs least
// in changes and lateness together.
func (m *maker) resequence(p *Plan, cut []want) error {
	fixed := min(m.given.Fixed, len(p.Runs))
	if len(p.Runs)-fixed < 2 {
		return nil
	}
	s, err := newSequencer(m.ix, p.Runs, cut, m.exits, m.opt.Now)
	if err != nil {
		return err
	}
	var front int64 // seconds that the fixed runs take
	for i := range fixed {
		front += s.jobs[i].Time
		if i > 0 {
			front += s.change(i-1, i).Time
		}
	}
	rest := slices.Clone(s.jobs[fixed:])
	for i := range rest {
		rest[i].Due, rest[i].Release = rest[i].Due-front, max(0, rest[i].Release-front)
	}
	n := len(rest)
	between := make([]sequence.Change, (n+1)*n) // row 0: behind the fixed front
	for next := range n {
		between[next] = s.change(fixed-1, next+fixed)
		for before := range n {
			between[(before+1)*n+next] = s.change(before+fixed, next+fixed)
		}
	}
	change := func(before, next int) sequence.Change { return between[(before+1)*n+next] }
	start := make([]int, len(rest))
	for i := range start {
		start[i] = i
	}
	res, err := sequence.Solve(context.Background(), sequence.Problem{Jobs: rest, Change: change}, sequence.Options{Seed: m.opt.Seed, Start: start})
	if err != nil {
		return err
	}
	order := make([]int, 0, len(p.Runs))
	for i := range fixed {
		order = append(order, i)
	}
	for _, i := range res.Order {
		order = append(order, i+fixed)
	}
	p.Answer = runs.Resequence(m.trim, p.Answer, order)
	return nil
}
