// Package peers lets general mixed-integer solvers plan the books that the trim
// engine is measured on: it writes a programme of its own, sharing no code with
// the engine, runs the solvers that are installed and judges what they answer.
package peers

import (
	"fmt"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/solve/combine"
)

const metre = 1000.0 // millimetres: problems are in whole millimetres, programmes in metres

// column is one pattern: strips of one or two items on the narrowest web that
// takes them. The same pattern twice would only lose another change.
type column struct {
	items, outs [2]int // one item alone: the second has no outs
	stock       int
	price       float64 // cost of a metre
	longest     float64 // m; more would make too much of some item
}

// Model is the programme of a book: for each column whether it runs (y) and for
// how many metres (x),
//
//	min Σ price·(x + loss·y)   least ≤ Σ outs·x ≤ most for each item,
//	shortest·y ≤ x ≤ longest·y,   y 0 or 1.
type Model struct {
	problem        combine.Problem
	least, most    []float64 // m of one strip, for each item
	shortest, loss float64   // m of a run
	columns        []column
	listed         int
}

// New lists every column of a problem. It knows what the made-up books of
// trimcase.Continuous hold, and refuses with fault.Invalid what else a problem
// may hold.
func New(p combine.Problem) (*Model, error) {
	m := &Model{problem: p, shortest: float64(p.Line.RunLeast) / metre, loss: p.Line.RunLoss / metre}
	if err := m.known(); err != nil {
		return nil, err
	}
	for _, it := range p.Items {
		m.least = append(m.least, float64(it.Least)/metre)
		m.most = append(m.most, float64(it.Most)/metre)
	}
	for i := range p.Items {
		for a := 1; a <= p.Line.Outs; a++ {
			m.list(column{items: [2]int{i, i}, outs: [2]int{a, 0}})
			for j := i + 1; j < len(p.Items); j++ {
				for b := 1; a+b <= p.Line.Outs && m.list(column{items: [2]int{i, j}, outs: [2]int{a, b}}); b++ {
				}
			}
		}
	}
	m.listed = len(m.columns)
	return m, nil
}

// known refuses problems with limits or prices that the programme does not write.
func (m *Model) known() error {
	p := m.problem
	l := p.Line
	if len(p.Limits)+len(p.Apart)+len(p.Front)+len(p.Hold) > 0 || l.Orders != 2 || l.Rejects != 0 || l.WidthLoss != 0 || l.KindLoss != 0 {
		return fmt.Errorf("the programme knows runs of one or two items and one loss a run only: %w", fault.Invalid)
	}
	for _, s := range p.Stocks {
		if s.Kind != p.Stocks[0].Kind || s.Credit != 0 || s.Rate != 0 || s.Floor != 0 || len(s.Draws) > 0 || s.Width-l.TrimMost > 0 {
			return fmt.Errorf("the programme knows webs of one kind, any trim and a price by area only: %w", fault.Invalid)
		}
	}
	for _, it := range p.Items {
		if it.Length != 1 || it.Marks != 0 || it.Class != 0 || it.Short != 0 || it.Over != 0 || it.Split != 0 || it.Parts != 0 || len(it.Barred) > 0 {
			return fmt.Errorf("the programme knows continuous lengths between two bounds only: %w", fault.Invalid)
		}
	}
	return nil
}

// list appends a column where some web takes it, and reports whether one does.
// One that no legal run is short enough for is left out.
func (m *Model) list(c column) bool {
	p := m.problem
	wide := p.Line.TrimLeast
	for k, i := range c.items {
		wide += int64(c.outs[k]) * p.Items[i].Width
	}
	c.stock = -1
	for s, st := range p.Stocks {
		if st.Width >= wide && (c.stock < 0 || st.Width < p.Stocks[c.stock].Width) {
			c.stock = s
		}
	}
	if c.stock < 0 {
		return false
	}
	st := p.Stocks[c.stock]
	c.price = st.Price * float64(st.Width) * metre
	c.longest = m.most[c.items[0]] / float64(c.outs[0])
	if c.outs[1] > 0 {
		c.longest = min(c.longest, m.most[c.items[1]]/float64(c.outs[1]))
	}
	if c.longest >= m.shortest {
		m.columns = append(m.columns, c)
	}
	return true
}

// Columns returns how many columns the programme has, and how many there are in all.
func (m *Model) Columns() (written, all int) { return len(m.columns), m.listed }
