package plan

import (
	"context"
	"fmt"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/loads"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plan/stock"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/corrugator"
)

// Options of Make; Now is needed, the rest works as zero.
type Options struct {
	Now        time.Time
	Seconds    float64 // wall-clock budget of the trim engine; 0: 3 s
	Seed       uint64
	Rounds     int     // end the trim search after so many rounds instead: the same seed then gives the same plan
	Minute     Minute  // which price a corrugator minute has
	Choices    Choices // what people have decided by hand
	Front      Front   // what the plans in force have frozen
	OnProgress func(Progress)
}

// Progress of a plan being made.
type Progress struct {
	Stage   string         `json:"stage"` // sheets, runs, jobs, rolls, loads, checked
	Cost    quantity.Money `json:"cost"`  // of the best runs so far
	Bound   quantity.Money `json:"bound"`
	Seconds float64        `json:"seconds"`
}

// Make plans a book the whole way, forwards: sheets wanted → runs → clock →
// rolls → set-ups → loads → notices. It starts from what the book says is
// done, and adds the stock orders that are wanted and not in it. Cancelling ctx is a normal end: the best runs so far go the rest of
// the way. It returns fault.Violations for a book that states no open order or
// no working plant. Every plan it returns has passed Check.
func Make(ctx context.Context, book plant.Book, opt Options) (*Plan, error) {
	m, p, err := begin(book, opt)
	if err != nil {
		return nil, err
	}
	if err := m.corrugate(ctx, p); err != nil {
		return nil, err
	}
	after := context.WithoutCancel(ctx) // the rest is quick, and a plan without it is of no use
	for _, station := range []func(context.Context, *Plan) error{m.clock, m.hasten, m.paper, m.setUps, m.load, m.ship} {
		if err := station(after, p); err != nil {
			return nil, err
		}
	}
	m.conclude(p)
	if err := Check(m.ix.book, p); err != nil {
		return nil, err
	}
	m.tell("checked", p.Totals.Cost, p.Totals.Bound)
	return p, nil
}

// begin prices the minute, indexes the book and works out what is wanted.
func begin(book plant.Book, opt Options) (*maker, *Plan, error) {
	var err error
	if book.Plant.Corrugator, err = opt.Minute.at(book.Plant.Corrugator); err != nil {
		return nil, nil, err
	}
	book = stock.Filled(book, opt.Now)
	m := &maker{ix: newIndex(book), opt: opt, began: time.Now()}
	m.ix.choices = opt.Choices
	if err := opt.Choices.check(m.ix); err != nil {
		return nil, nil, err
	}
	if len(opt.Choices.Exchanges) > 0 {
		m.ix = newIndex(Exchanged(book, opt.Choices.Exchanges))
		m.ix.choices = opt.Choices
	}
	m.all = wants(m.ix, opt.Now)
	if len(m.all) == 0 {
		return nil, nil, fault.Violations{{Field: "orders", Rule: "there is no open order to plan", Remedy: "import orders, or take some off hold"}}
	}
	m.tell("sheets", 0, 0)
	p := &Plan{Now: opt.Now, Exchanges: opt.Choices.Exchanges}
	m.place = make(map[ident.Release]int, len(m.all))
	for i := range m.all {
		p.Demands = append(p.Demands, m.all[i].Demand)
		m.place[m.all[i].Release] = i
	}
	return m, p, nil
}

// maker carries a plan from station to station.
type maker struct {
	ix    *index
	opt   Options
	began time.Time
	all   []want
	place map[ident.Release]int // among all
	ws    []want                // those that are planned here: no fault
	trim  runs.Problem
	exits map[ident.Release]jobs.Latest
	ready map[int]time.Time // paper, by run
	given *Given            // runs and jobs that are decided already; nil: none

	thawed []string // frozen runs that could not be kept, in words
}

func (m *maker) tell(stage string, cost, bound quantity.Money) {
	if m.opt.OnProgress != nil {
		m.opt.OnProgress(Progress{stage, cost, bound, time.Since(m.began).Seconds()})
	}
}

// corrugate decides the runs and their sequence.
func (m *maker) corrugate(ctx context.Context, p *Plan) error {
	cut, err := m.divide()
	if err != nil {
		return err
	}
	wanted := map[string]bool{}
	for _, w := range cut {
		wanted[w.Release.String()] = true
	}
	m.thawed = m.opt.Front.settle(wanted)
	if len(cut) > 0 {
		if m.trim, p.Answer, err = solveRuns(ctx, m.ix, cut, m.exits, m.opt); err != nil {
			return err
		}
		if p.Answer, m.ready, err = sequenced(context.WithoutCancel(ctx), m.ix, m.trim, p.Answer, cut, m.exits, m.opt); err != nil {
			return err
		}
		if err := runs.Check(m.trim, p.Answer); err != nil {
			return fmt.Errorf("runs: %w", err)
		}
	}
	m.refuseFaulty(p)
	m.tell("runs", p.Totals.Cost, p.Totals.Bound)
	return nil
}

// divide parts the wants without a fault from the others, and returns those of
// them that still need sheets.
func (m *maker) divide() ([]want, error) {
	for _, w := range m.all {
		if w.Fault == "" {
			m.ws = append(m.ws, w)
		}
	}
	var err error
	m.exits, err = latest(m.ix, m.ws, m.opt.Now)
	return planned(m.ws), err
}

// refuseFaulty leaves what has a fault unplanned, with the fault for a reason.
func (m *maker) refuseFaulty(p *Plan) {
	for _, w := range m.all {
		if w.Fault != "" {
			p.Unplanned = append(p.Unplanned, runs.Unplanned{Order: w.Release.String(), Reason: w.Fault})
		}
	}
}

// clock works out when each run, job and delivery is.
func (m *maker) clock(ctx context.Context, p *Plan) error {
	problem := m.clockOf(p)
	var err error
	if p.Clock, err = jobs.Solve(ctx, problem, m.jobOptions()); err != nil {
		return fmt.Errorf("clock: %w", err)
	}
	if err := jobs.Check(problem, p.Clock); err != nil {
		return fmt.Errorf("clock: %w", err)
	}
	m.tell("jobs", p.Totals.Cost, p.Totals.Bound)
	return nil
}

// clockOf states the clock side of what the plan's runs make and of what has its sheets.
func (m *maker) clockOf(p *Plan) jobs.Problem {
	made := map[string]bool{}
	for _, o := range p.Orders {
		made[o.Order] = true
	}
	var on []want
	for _, w := range m.ws {
		if made[w.Release.String()] || w.Wanted == 0 || m.given != nil && w.OnFloor > 0 {
			on = append(on, w)
		}
	}
	problem := clockProblem(m.ix, on, m.opt.Now, p.Runs, m.ready)
	if m.given == nil {
		problem.Frozen, problem.RunBegun = m.opt.Front.Jobs, m.opt.Front.Begun
	} else {
		problem.Manning = m.given.Over
	}
	return problem
}

// jobOptions begins from the jobs that are given, where there are any.
func (m *maker) jobOptions() jobs.Options {
	o := jobs.Options{Seed: m.opt.Seed}
	if m.given != nil {
		o.Start = m.given.Jobs
		if !m.given.Improve {
			o.Rounds = -1
		}
	}
	return o
}

// paper sets what the runs draw against the rolls.
func (m *maker) paper(ctx context.Context, p *Plan) error {
	c := m.ix.book.Plant.Corrugator
	problem := rolls.Problem{
		Runs: p.Runs, Times: p.Clock.Runs, Grades: m.ix.book.Plant.Grades, Catalogue: m.ix.catalogue,
		Rolls: m.ix.book.Rolls, Inbound: m.ix.book.Inbound, Now: m.opt.Now,
		RunChangeLoss: c.Limits.RunChangeLoss, WebChangeLoss: c.Limits.WebChangeLoss, GradeChangeLoss: c.Limits.GradeChangeLoss,
		SpliceLoss: c.SpliceLoss, ButtMin: c.ButtMin, MoveTime: c.RollMove, Handling: c.RollHandling,
		WastePerTon: m.ix.book.Plant.Prices.WasteCreditPerTonne,
	}
	var err error
	if p.Rolls, err = rolls.Solve(ctx, problem, rolls.Options{Seed: m.opt.Seed}); err != nil {
		return fmt.Errorf("rolls: %w", err)
	}
	if err := rolls.Check(problem, p.Rolls); err != nil {
		return fmt.Errorf("rolls: %w", err)
	}
	m.tell("rolls", p.Totals.Cost, p.Totals.Bound)
	return nil
}

// setUps says where slitters and scorers stand in each run.
func (m *maker) setUps(_ context.Context, p *Plan) error {
	scores := map[string][]quantity.Length{}
	for _, w := range m.ws {
		scores[w.Release.String()] = w.Sheet.Scores
	}
	for _, r := range p.Runs {
		var lanes []corrugator.Lane
		for _, l := range r.Lanes {
			lanes = append(lanes, corrugator.Lane{Order: l.Order, Level: l.Level, Outs: l.Outs, Slit: l.Slit, Chop: l.Chop, Scores: scores[l.Order], Cuts: l.Cuts})
		}
		p.Setups = append(p.Setups, Setup{Run: r.Seq, SetUp: corrugator.NewSetUp(r.Web, r.Length, lanes)})
	}
	return nil
}

// load stands what each release makes on pallets.
func (m *maker) load(_ context.Context, p *Plan) error {
	problem := loads.Problem{Pallets: m.ix.book.Plant.Pallets}
	for _, w := range m.ws {
		if n, ok := loadNeed(m.ix, w); ok {
			problem.Needs = append(problem.Needs, n)
		}
	}
	var err error
	if p.Loads, err = loads.Solve(problem); err != nil {
		return fmt.Errorf("loads: %w", err)
	}
	if err := loads.Check(problem, p.Loads); err != nil {
		return fmt.Errorf("loads: %w", err)
	}
	m.tell("loads", p.Totals.Cost, p.Totals.Bound)
	return nil
}
