package runs

import (
	"context"
	"math"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// columnOrders is how many orders a column holds at most: further partners
// gain little, and looking at all of them takes longer than planning.
const columnOrders = 3

// column is a way to cut one order, paid by the piece: what its run costs, less
// what its partners are worth at their prices.
type column struct {
	board Grade
	web   quantity.Length
	lanes []strip // the order's own first
	cost  float64 // of one piece; +Inf: there is no such column
}

type strip struct {
	o    *Order
	outs int
}

// priced are the orders of a plan with what a piece of each is worth at the
// prices of the bound (see PaperPrices): enough to price a column that is in no plan.
// Gilmore & Gomory, Operations Research 9 (1961) 849–859, price a pattern so.
type priced struct {
	p      Problem
	worth  map[string]float64
	beside map[ident.Grade][]*Order // orders that may run on a board
	dense  map[ident.Grade]float64  // the most that a square metre of sheets is worth on it
	left   []Stock                  // of the papers, beside what the plan's runs draw
	short  []Metre                  // papers that run short, with what a metre more is worth
	runs   []Run
	frozen map[string]int // sheets that frozen runs make
	grades map[ident.Grade]Grade
}

func (p Problem) priced(ctx context.Context, a Answer) (*priced, error) {
	y, short, err := PaperPrices(ctx, p, a.Unplanned)
	if err != nil {
		return nil, err
	}
	x := &priced{p: p, short: short, frozen: p.frozenSheets(), worth: map[string]float64{}, beside: map[ident.Grade][]*Order{}, dense: map[ident.Grade]float64{}, left: p.papersLess(a.Runs), runs: a.Runs, grades: p.byGrade()}
	for i := range p.Orders {
		o := &p.Orders[i]
		v, cut := y[o.Order]
		if !cut {
			continue
		}
		x.worth[o.Order] = float64(v)
		for _, g := range p.allowed(*o) {
			x.beside[g.Grade] = append(x.beside[g.Grade], o)
			x.dense[g.Grade] = max(x.dense[g.Grade], float64(v)/(o.Slit.Metres()*o.Chop.Metres()))
		}
	}
	return x, nil
}

// best is the cheapest column of an order, which may have been changed, on the
// boards given; lengths are the same for all orders but it.
func (x *priced) best(o Order, boards []Grade) column {
	out := column{cost: math.Inf(1)}
	for _, g := range boards {
		for _, web := range x.p.websOf(g) {
			if slices.Contains(o.BarredWebs, web) || slices.Contains(x.p.BarredWebs, web) || x.shortOf(o, g, web) && x.metre(g, web) == 0 {
				continue
			}
			c := lister{priced: x, g: g, web: web, scarce: x.metre(g, web), best: &out}
			for n := 1; quantity.Length(n)*o.Slit <= web-2*x.p.Corrugator.SideTrimMin; n++ {
				c.lanes = append(c.lanes[:0], strip{&o, n})
				if !c.fits() {
					break
				}
				c.price()
				c.extend(0)
			}
		}
	}
	return out
}

// lister lists the columns of an order on one web of one board.
type lister struct {
	*priced
	g      Grade
	web    quantity.Length
	scarce float64 // see metre
	lanes  []strip
	best   *column
}

// extend puts partners beside the lanes that are there, of the orders from place at on.
func (c *lister) extend(at int) {
	most := columnOrders
	if n := c.p.Corrugator.MaxOrdersPerRun; n != nil {
		most = min(most, *n)
	}
	if len(c.lanes) >= most || !c.promising() {
		return
	}
	list := c.beside[c.g.Grade]
	for k := at; k < len(list); k++ {
		o := list[k]
		if o.Order == c.lanes[0].o.Order || slices.Contains(o.BarredWebs, c.web) || !c.meets(o) {
			continue
		}
		for n := 1; ; n++ {
			c.lanes = append(c.lanes, strip{o, n})
			legal := c.fits()
			if legal {
				c.price()
				c.extend(k + 1)
			}
			c.lanes = c.lanes[:len(c.lanes)-1]
			if !legal {
				break
			}
		}
	}
}

// meets reports whether an order may share a run with those of the lanes.
func (c *lister) meets(o *Order) bool {
	for _, l := range c.lanes {
		if l.o.Adhesive != "" && o.Adhesive != "" && l.o.Adhesive != o.Adhesive {
			return false
		}
		for _, pair := range c.p.Apart {
			if pair == [2]string{l.o.Order, o.Order} || pair == [2]string{o.Order, l.o.Order} {
				return false
			}
		}
	}
	return true
}

func (c *lister) used() (w quantity.Length) {
	for _, l := range c.lanes {
		w += quantity.Length(l.outs) * l.o.Slit
	}
	return w
}

// fits reports whether the lanes keep the machine's limits, the greatest trim aside.
func (c *lister) fits() bool {
	m := c.p.Corrugator
	outs, marks := 0, 0
	for _, l := range c.lanes {
		outs += l.outs
		marks += l.outs * len(l.o.Scores)
	}
	switch {
	case c.used() > c.web-2*m.SideTrimMin, m.MaxOuts != nil && outs > *m.MaxOuts, m.Scorers != nil && marks > *m.Scorers:
		return false
	}
	return onLevels(c.lanes, make([]quantity.Length, max(m.KnifeLevels, 1)), levelOuts(m))
}

// onLevels reports whether the lanes find a knife level each: chops are those the
// levels cut so far, 0 for none, left the outs that each still takes.
func onLevels(lanes []strip, chops []quantity.Length, left []int) bool {
	if len(lanes) == 0 {
		return true
	}
	l := lanes[0]
	for k := range chops {
		if was := chops[k]; (was == 0 || was == l.o.Chop) && left[k] >= l.outs {
			chops[k] = l.o.Chop
			left[k] -= l.outs
			found := onLevels(lanes[1:], chops, left)
			chops[k] = was
			left[k] += l.outs
			if found {
				return true
			}
		}
	}
	return false
}

// perMetre is what a metre of the run costs, with what the run costs once spread
// over the longest that its lanes' windows allow, and the sheets of the first
// lane that it makes; ok is false where no run of these lanes is long enough.
func (c *lister) perMetre() (cost, sheets float64, ok bool) {
	m := c.p.Corrugator
	most := math.Inf(1)
	for _, l := range c.lanes {
		_, top := l.o.window()
		most = min(most, float64(top/l.outs+m.RejectCutsPerLane+1)*l.o.Chop.Metres())
	}
	if most <= m.MinRun.Metres() {
		return 0, 0, false
	}
	rate, least := c.p.timeCost(c.g)
	price, credit := float64(c.g.price()), float64(c.g.WasteCredit)
	cost = c.web.Metres()*(price-credit)*(1+m.RunChangeLoss.Metres()/most) + max(rate, least/most) + c.scarce
	for k, l := range c.lanes {
		good := float64(l.outs) * (1/l.o.Chop.Metres() - float64(m.RejectCutsPerLane)/most)
		if good <= 0 {
			return 0, 0, false
		}
		cost += credit * good * l.o.Slit.Metres() * l.o.Chop.Metres()
		if k == 0 {
			sheets = good
		} else {
			cost -= good * c.worth[l.o.Order]
		}
	}
	return cost, sheets, true
}

// price keeps the lanes where they are the cheapest column so far.
func (c *lister) price() {
	if m := c.p.Corrugator.SideTrimMax; m != nil && c.web-c.used() > 2**m {
		return
	}
	cost, sheets, ok := c.perMetre()
	if ok && cost/sheets < c.best.cost*(1-1e-12) {
		*c.best = column{c.g, c.web, slices.Clone(c.lanes), cost / sheets}
	}
}

// promising reports whether the room that is left, filled with the best paying
// sheets, could make the column the cheapest.
func (c *lister) promising() bool {
	cost, sheets, ok := c.perMetre()
	room := (c.web - c.used() - 2*c.p.Corrugator.SideTrimMin).Metres()
	return ok && (cost-room*max(0, c.dense[c.g.Grade]))/sheets < c.best.cost
}
