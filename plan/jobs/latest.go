package jobs

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/convert"
)

// LatestExits works back from each due time: road, loading, load forming, the
// converting steps in manned time on the cheapest machines, cure in wall time.
// Set-ups are those of a machine that stands right; queues are not looked at.
// The result is indexed like p.Releases. It returns fault.Violations when the
// calendar, a machine's shifts or a grade is faulty.
func LatestExits(p Problem) ([]Latest, error) {
	s, err := newShop(p)
	if err != nil {
		return nil, err
	}
	out := make([]Latest, len(p.Releases))
	for i, r := range p.Releases {
		out[i] = s.latest(r)
	}
	return out, nil
}

func (s *shop) latest(r Release) Latest {
	l := Latest{Made: s.madeBy(r).In(s.clock.Zone())}
	cure := s.cure(s.Boards[r.Grade])
	steps, refusal := s.candidates(r)
	if refusal != "" || len(steps) == 0 {
		l.Refusal = refusal
		l.Sheets = convert.SheetsWanted(r.Pieces, r.PiecesPerSheet, nil, 0)
		if len(steps) == 0 && refusal == "" {
			cure = 0 // the sheet is the product: it leaves uncured
		}
		l.Exit = l.Made.Add(-cure)
		return l
	}
	route := s.cheapest(r, steps)
	sheets, fed := convert.Fed(r.Pieces, r.PiecesPerSheet, machinesOf(s, route), r.Colours)
	l.Sheets = sheets
	l.Steps, l.Route = make([]time.Time, len(route)), make([]ident.Machine, len(route))
	at := l.Made
	for i := len(route) - 1; i >= 0; i-- {
		m := s.press[route[i]]
		l.Route[i] = m.Code
		if end, ok := m.own.SubWorking(at, 0); ok {
			at = end
		}
		if i == len(route)-1 {
			l.Made = at
		}
		work := s.nominal(r, m, fed[i], i)
		start, ok := m.own.SubWorking(at, work)
		if !ok {
			start = at.Add(-work) // no crew that far back: by the clock alone
		}
		l.Steps[i], at = start, start
	}
	l.Press, l.Exit = at, at.Add(-cure)
	return l
}

// nominal is the set-up of a machine that stands right, and the run.
func (s *shop) nominal(r Release, m press, fed, step int) time.Duration {
	return wholeSeconds(convert.SetUpMinutes(m.Machine, s.stepSpec(r, step), nil)) + wholeSeconds(convert.RunMinutes(m.Machine, fed))
}

// stepSpec is the box as the given step (0 the first) sees it: print and tools belong to the first.
func (s *shop) stepSpec(r Release, step int) convert.Spec {
	spec := r.spec(s.Boards[r.Grade])
	if step > 0 {
		spec.Colours, spec.Plate, spec.Die = 0, "", ""
	}
	return spec
}

// cheapest returns for each step the machine with the least own cost, last step
// first; of equals the earlier one of the plant.
func (s *shop) cheapest(r Release, steps [][]int) []int {
	route := make([]int, len(steps))
	for i := len(steps) - 1; i >= 0; i-- {
		var least quantity.Money
		best := -1
		for _, j := range steps[i] {
			route[i] = j
			fed := s.fedFrom(r, route, i)
			if cost := s.ownCost(r, j, i, fed, fed-s.goodFrom(r, i)); best < 0 || cost < least {
				best, least = j, cost
			}
		}
		route[i] = best
	}
	return route
}

// fedFrom is what step i is fed for the pieces wanted, on the route from i on.
func (s *shop) fedFrom(r Release, route []int, i int) int {
	ups, colours := r.PiecesPerSheet, r.Colours
	if i > 0 {
		ups, colours = 1, 0
	}
	return convert.SheetsWanted(r.Pieces, ups, machinesOf(s, route[i:]), colours)
}

// goodFrom is the pieces wanted in what step i is fed.
func (s *shop) goodFrom(r Release, i int) int {
	if i > 0 {
		return r.Pieces
	}
	return convert.SheetsWanted(r.Pieces, r.PiecesPerSheet, nil, 0)
}

// ownCost is machine j's cost for a step without the job before it. Sheets lost
// at a later step are pieces and cost their share of a sheet.
func (s *shop) ownCost(r Release, j, step, fed, lost int) quantity.Money {
	m := s.press[j].Machine
	perSheet := r.SheetCost
	if step > 0 {
		perSheet /= quantity.Money(max(r.PiecesPerSheet, 1))
	}
	return convert.Cost(m, convert.SetUpMinutes(m, s.stepSpec(r, step), nil), convert.RunMinutes(m, fed), float64(lost), perSheet)
}

func machinesOf(s *shop, route []int) []convert.Machine {
	out := make([]convert.Machine, len(route))
	for i, j := range route {
		out[i] = s.press[j].Machine
	}
	return out
}
