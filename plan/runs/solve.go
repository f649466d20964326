package runs

import (
	"context"
	"math"
	"slices"
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
		Seed: opt.Seed, Rounds: opt.Rounds,
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
	a := m.answer(res)
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
}

const (
	nm       = 1e-9
	squareNM = nm * nm
)

// start puts the runs of an answer into the solver's words; runs that name
// something this problem does not hold are left out.
func (m *translation) start(a Answer) []combine.Run {
	item := map[string]int{}
	for k, i := range m.items {
		item[m.p.Orders[i].Order] = k
	}
	out := []combine.Run{}
	for _, r := range a.Runs {
		c := combine.Run{Stock: -1, Length: int64(r.Length)}
		for k, st := range m.problem.Stocks {
			if st.Kind == m.kind[r.Grade] && st.Width == int64(r.Web) {
				c.Stock = k
			}
		}
		known := c.Stock >= 0
		for _, l := range r.Lanes {
			k, ok := item[l.Order]
			known = known && ok
			c.Lanes = append(c.Lanes, combine.Lane{Item: k, Outs: l.Outs, Level: l.Level - 1})
		}
		if known {
			out = append(out, c)
		}
	}
	return out
}

func (m *translation) money(v float64) quantity.Money { return quantity.Money(v) }

func translate(p Problem) *translation {
	m := &translation{p: p, kind: map[ident.Grade]int{}, barred: map[int]string{}}
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

// stocks lists every web of every grade, with the paper it draws where that is limited.
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
		rate, floor := timeCost(m.p.Corrugator, g)
		for _, web := range g.webs(m.p.Corrugator) {
			s := combine.Stock{
				Kind: k, Width: int64(web), Rate: rate * nm, Floor: floor,
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
			m.problem.Stocks = append(m.problem.Stocks, s)
		}
	}
}

func (p Ply) draw() float64 {
	if p.TakeUp == 0 {
		return 1
	}
	return p.TakeUp
}

// timeCost is the price of a metre, and of the shortest run.
func timeCost(c corrugator.Limits, g Grade) (perMetre, least float64) {
	speed := c.Speed
	if g.Speed > 0 {
		speed = g.Speed
	}
	if c.MinuteCost <= 0 || speed <= 0 {
		return 0, 0
	}
	return float64(c.MinuteCost) / speed.MetresPerMinute(), float64(c.MinuteCost) * c.SectionSetup / 60
}

func (m *translation) orders() {
	classes := map[string]int{}
	for i, o := range m.p.Orders {
		if why := m.p.neverCut(o); why != "" {
			m.barred[i] = why
			continue
		}
		least, most := o.window()
		if most < max(least, 1) {
			m.barred[i] = "its window holds no whole number of sheets; widen under_pct or over_pct"
			continue
		}
		it := combine.Item{
			Width: int64(o.Slit), Length: int64(o.Chop), Marks: len(o.Scores),
			Least: int64(least), Want: int64(o.Sheets), Most: int64(most),
			Short: float64(o.ShortCost), Over: float64(o.OverCost), Parts: o.MaxParts,
		}
		if o.Adhesive != "" {
			if classes[o.Adhesive] == 0 {
				classes[o.Adhesive] = len(classes) + 1
			}
			it.Class = classes[o.Adhesive]
		}
		for k, st := range m.problem.Stocks {
			if slices.Contains(o.BarredWebs, quantity.Length(st.Width)) {
				it.Barred = append(it.Barred, k)
			}
		}
		own := m.kind[o.Grade]
		it.Kinds = append(it.Kinds, own)
		if !o.UpgradeBarred {
			for _, u := range m.p.Grades[own].MayUpgradeTo {
				if k := m.kind[u]; k != own {
					it.Kinds = append(it.Kinds, k)
				}
			}
		}
		m.problem.Items = append(m.problem.Items, it)
		m.items = append(m.items, i)
	}
}
