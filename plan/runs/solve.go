package runs

import (
	"context"
	"math"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/corrugator"
	"github.com/flutewright/flutewright/solve/combine"
)

// defaultSeconds is the search time where Options name none.
const defaultSeconds = 5

// Solve plans the orders. Cancelling ctx is a normal end: the best plan so far
// is returned with status Stopped. It returns fault.Violations for a problem
// that cannot be; orders that cannot be made are answered as unplanned.
//
// Without Options.Rounds the search ends with its time, so two runs may differ;
// with Rounds the same seed gives the same plan.
func Solve(ctx context.Context, p Problem, opt Options) (Answer, error) {
	if err := p.Validate(); err != nil {
		return Answer{}, err
	}
	start := time.Now()
	m := translate(p)
	seconds := opt.Seconds
	if seconds <= 0 {
		seconds = defaultSeconds
	}
	budget := time.Duration(seconds * float64(time.Second))
	last := time.Time{}
	copt := combine.Options{
		Seed: opt.Seed, Rounds: opt.Rounds, Unproven: opt.Unproven,
		Done: func() bool { return ctx.Err() != nil || time.Since(start) > budget },
	}
	if opt.Rounds > 0 {
		copt.Done = func() bool { return ctx.Err() != nil }
	} else {
		copt.Share = func() float64 { return float64(time.Since(start)) / float64(budget) }
	}
	if opt.Start != nil {
		copt.Start = m.start(*opt.Start)
	}
	if opt.OnProgress != nil {
		copt.Progress = func(round int, cost, bound float64) {
			if now := time.Now(); now.Sub(last) > 100*time.Millisecond {
				last = now
				opt.OnProgress(Progress{round, m.money(cost), m.money(bound), now.Sub(start).Seconds()})
			}
		}
	}
	res := combine.Solve(&m.problem, copt)
	a := m.answer(res, opt.Seed)
	a.Totals.Seconds = time.Since(start).Seconds()
	return a, nil
}

// translation is the problem in the solver's words: whole nanometres for
// lengths, money per square nanometre × areaUnit for prices.
type translation struct {
	p       Problem
	problem combine.Problem
	kind    map[ident.Grade]int
	items   []int          // order of each item
	barred  map[int]string // orders that can never be cut, with the reason
	item    map[string]int // of each order that has one
	held    []int          // place in Pinned of each run of the solver's Hold
	offered int            // stocks that a run may be on; those behind are for frozen runs only
	unheld  []int          // places in Pinned that name no web and orders to be had
}

const (
	nm       = 1e-9
	squareNM = nm * nm
)

// start puts the runs of an answer behind the frozen ones into the solver's
// words; runs that name something this problem does not hold are left out.
func (m *translation) start(a Answer) []combine.Run {
	out := []combine.Run{}
	for _, r := range a.Runs[min(len(m.p.Frozen), len(a.Runs)):] {
		if c, known := m.worded(r); known {
			out = append(out, c)
		}
	}
	return out
}

func (m *translation) money(v float64) quantity.Money { return quantity.Money(v) }

func translate(p Problem) *translation {
	m := &translation{p: p, kind: map[ident.Grade]int{}, barred: map[int]string{}, item: map[string]int{}}
	c := p.Corrugator
	m.problem.Line = combine.Line{
		TrimLeast: int64(2 * c.SideTrimMin), TrimMost: math.MaxInt64 / 4,
		Outs: mostOuts, Orders: mostOuts, Marks: math.MaxInt32,
		LevelOuts: levelOuts(c), RunLeast: max(1, int64(c.MinRun)), Rejects: int64(c.RejectCutsPerLane),
		RunLoss: float64(c.RunChangeLoss), WidthLoss: float64(c.WebChangeLoss), KindLoss: float64(c.GradeChangeLoss),
	}
	if c.SideTrimMax != nil {
		m.problem.Line.TrimMost = int64(2 * *c.SideTrimMax)
	}
	atMost := func(to *int, n *int) {
		if n != nil {
			*to = min(*to, *n)
		}
	}
	atMost(&m.problem.Line.Outs, c.MaxOuts)
	atMost(&m.problem.Line.Orders, c.MaxOrdersPerRun)
	if c.Scorers != nil {
		m.problem.Line.Marks = *c.Scorers
	}
	m.stocks()
	m.orders()
	m.given()
	return m
}

// levelOuts is the greatest number of outs of each knife level.
func levelOuts(c corrugator.Limits) []int {
	levels := make([]int, max(c.KnifeLevels, 1))
	for k := range levels {
		levels[k] = mostOuts
		if c.MaxOutsPerLevel != nil {
			levels[k] = min(levels[k], *c.MaxOutsPerLevel)
		}
		if k < len(c.OutsByLevel) {
			levels[k] = min(levels[k], c.OutsByLevel[k])
		}
	}
	return levels
}

type stockKey struct {
	paper ident.Paper
	web   quantity.Length
}

// stocks lists every web of every grade, with the paper it draws where that is
// limited; behind them webs that only frozen runs are on.
func (m *translation) stocks() {
	resource := map[stockKey]int{}
	for _, s := range m.p.Papers {
		for _, web := range sortedWebs(s.Metres) {
			resource[stockKey{s.Paper, web}] = len(m.problem.Limits)
			m.problem.Limits = append(m.problem.Limits, float64(s.Metres[web]))
		}
	}
	for k, g := range m.p.Grades {
		m.kind[g.Grade] = k
		for _, web := range m.p.websOf(g) {
			m.problem.Stocks = append(m.problem.Stocks, m.stock(k, web, resource))
		}
	}
	m.offered = len(m.problem.Stocks)
	for _, r := range m.p.Frozen {
		if _, known := m.stockOf(r); !known {
			m.problem.Stocks = append(m.problem.Stocks, m.stock(m.kind[r.Grade], r.Web, resource))
		}
	}
}

// stock is one web of one grade.
func (m *translation) stock(kind int, web quantity.Length, resource map[stockKey]int) combine.Stock {
	g := m.p.Grades[kind]
	rate, floor := m.p.timeCost(g)
	s := combine.Stock{
		Kind: kind, Width: int64(web), Rate: rate * nm, Floor: floor,
		Price: float64(g.price()) * squareNM, Credit: float64(g.WasteCredit) * squareNM,
	}
	use := map[int]float64{}
	var order []int
	for _, ply := range g.Plies {
		if r, limited := resource[stockKey{ply.Paper, web}]; limited {
			if _, twice := use[r]; !twice {
				order = append(order, r)
			}
			use[r] += ply.draw()
		}
	}
	for _, r := range order {
		s.Draws = append(s.Draws, combine.Draw{Resource: r, PerLength: use[r]})
	}
	return s
}

func (p Ply) draw() float64 {
	if p.TakeUp == 0 {
		return 1
	}
	return p.TakeUp
}

func (m *translation) orders() {
	classes := map[string]int{}
	frozen := m.p.frozenSheets()
	for i, o := range m.p.Orders {
		least, most := o.window()
		why := m.p.neverCut(o)
		if why == "" && most < max(least, 1) {
			why = "its window holds no whole number of sheets; widen under_pct or over_pct"
		}
		made, begun := frozen[o.Order]
		if why != "" && (!begun || made < least) {
			m.barred[i] = why
		}
		if why != "" && !begun {
			continue
		}
		it := combine.Item{
			Width: int64(o.Slit), Length: int64(o.Chop), Marks: len(o.Scores),
			Least: int64(least), Want: int64(o.Sheets), Most: int64(most),
			Short: float64(o.ShortCost), Over: float64(o.OverCost), Split: float64(o.SplitCost), Parts: o.MaxParts,
		}
		if why != "" { // its frozen runs are all that is made of it
			it.Least, it.Most = 0, min(it.Most, int64(made))
		}
		if o.Adhesive != "" {
			if classes[o.Adhesive] == 0 {
				classes[o.Adhesive] = len(classes) + 1
			}
			it.Class = classes[o.Adhesive]
		}
		it.Barred = m.barredStocks(o)
		own := m.kind[o.Grade]
		it.Kinds = append(it.Kinds, own)
		if !o.UpgradeBarred {
			for _, u := range m.p.Grades[own].MayUpgradeTo {
				if k := m.kind[u]; k != own {
					it.Kinds = append(it.Kinds, k)
				}
			}
		}
		m.item[o.Order] = len(m.items)
		m.problem.Items = append(m.problem.Items, it)
		m.items = append(m.items, i)
	}
}
