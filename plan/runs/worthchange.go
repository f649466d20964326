package runs

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// slitAllowance is by how much a slit is changed at most where the options name
// nothing: what a designer may give or take on a flap or a glue lap (common
// practice, no published source).
const slitAllowance = 4 * quantity.Millimetre

// estimate is a change with what it would be worth about.
type estimate struct {
	Detail
	at   int      // place of the order
	with []string // the orders of its column, itself first
	make func(*Problem, *Order)
}

// estimates are the changes of a plan's orders that are worth telling, the dearest first.
func (p Problem) estimates(ctx context.Context, a Answer, opt ExplainOptions) ([]estimate, error) {
	x, err := p.priced(ctx, a)
	if err != nil {
		return nil, err
	}
	if ctx.Err() != nil { // prices that were cut short are too low
		return nil, nil
	}
	made := map[string]bool{}
	for _, m := range a.Orders {
		made[m.Order] = len(m.Runs) > 0
	}
	var out []estimate
	for k, o := range p.Orders {
		if ctx.Err() != nil {
			break
		}
		worth, cut := x.worth[o.Order]
		if !cut || !made[o.Order] {
			continue
		}
		c := changes{priced: x, o: o, at: k, need: float64(o.Sheets)}
		if o.ShortCost <= 0 {
			least, _ := o.window()
			c.need = float64(least)
		}
		c.now = x.best(o, p.allowed(o))
		c.cost = min(worth, c.now.cost)
		c.slits(opt.Slit)
		c.windows()
		c.boards()
		c.papers()
		for _, e := range c.found {
			if e.tells(c.cost * c.need) {
				out = append(out, e)
			}
		}
	}
	slices.SortStableFunc(out, func(x, y estimate) int { return cmp.Compare(y.About, x.About) })
	return out, nil
}

// changes are those of one order.
type changes struct {
	*priced
	o     Order
	at    int
	need  float64 // pieces that the relaxation makes
	now   column
	cost  float64 // of a piece today
	found []estimate
}

// add tells what a column saves that a change allows.
func (c *changes) add(field string, change float64, words string, saves float64, col column, loosen func(*Problem, *Order)) {
	if saves <= 0 {
		return
	}
	with := []string{c.o.Order}
	for _, l := range col.lanes[min(1, len(col.lanes)):] {
		with = append(with, l.o.Order)
	}
	c.found = append(c.found, estimate{Detail{Order: c.o.Order, Field: field, Change: change, Words: words, About: quantity.Money(saves)}, c.at, with, loosen})
}

// saving is what a column saves on the pieces of the order that its partners' sheets last for.
func (c *changes) saving(col column) float64 {
	if math.IsInf(col.cost, 1) {
		return 0
	}
	pieces := c.need
	own := col.lanes[0]
	for _, l := range col.lanes[1:] {
		_, most := l.o.window()
		pieces = min(pieces, float64(most)*l.o.Chop.Metres()/float64(l.outs)*float64(own.outs)/own.o.Chop.Metres())
	}
	return (c.cost - col.cost) * pieces
}

// slits looks for the smallest change of the slit, millimetre by millimetre to
// either side, that lets a cheaper column be cut, and for what the whole allowance
// saves where that is more by a half. The scores stay where they are.
func (c *changes) slits(most quantity.Length) {
	for _, side := range []quantity.Length{-1, 1} {
		told := 0.0
		for by := quantity.Millimetre; by <= most; by += quantity.Millimetre {
			o, ok := c.p.withSlit(c.o, side*by)
			if !ok {
				break
			}
			col := c.best(o, c.p.allowed(o))
			saves := c.saving(col)
			if saves <= max(1.5*told, worthTelling*c.cost*c.need) {
				continue
			}
			told = saves
			words := fmt.Sprintf("%s %s%s", by, sideWord(side), c.instead(col))
			c.add("slit_mm", (side * by).Millimetres(), words, saves, col, func(_ *Problem, o *Order) { o.Slit += side * by })
		}
	}
}

// withSlit is an order with its slit changed and its scores where they are; false
// where no such sheet can be cut.
func (p Problem) withSlit(o Order, by quantity.Length) (Order, bool) {
	o.Slit += by
	return o, o.Slit > 0 && (len(o.Scores) == 0 || slices.Max(o.Scores) < o.Slit) && p.neverCut(o) == ""
}

func sideWord(side quantity.Length) string {
	if side < 0 {
		return "narrower"
	}
	return "wider"
}

// instead says which web a column is on, and beside what, where today's cheapest is on another.
func (c *changes) instead(col column) string {
	s := ": " + col.String()
	if now := c.now; now.web > col.web {
		s += fmt.Sprintf(" on a narrower web, %s in place of %s", col.web, now.web)
	} else if now.web != col.web {
		s += fmt.Sprintf(" on %s in place of %s", col.web, now.web)
	} else {
		s += fmt.Sprintf(" on %s", col.web)
	}
	return s
}

// String names the lanes: "2 × A beside 1 × B".
func (c column) String() string {
	s := ""
	for k, l := range c.lanes {
		switch k {
		case 0:
			s = fmt.Sprintf("%d × %s", l.outs, l.o.Order)
		case 1:
			s += fmt.Sprintf(" beside %d × %s", l.outs, l.o.Order)
		default:
			s += fmt.Sprintf(" and %d × %s", l.outs, l.o.Order)
		}
	}
	return s
}

// windows prices one per cent of tolerance either way: under, a piece at its
// price, or what that is above the price of a short one; over, what longer runs save.
func (c *changes) windows() {
	one := float64(c.o.Sheets) / 100
	if c.o.UnderPct+1 < 100 {
		c.add("under_pct", 1, "1 % more under", max(0, c.cost-float64(c.o.ShortCost))*one, column{}, func(_ *Problem, o *Order) { o.UnderPct++ })
	}
	o := c.o
	o.OverPct++
	col := c.best(o, c.p.allowed(o))
	c.add("over_pct", 1, "1 % more over", c.saving(col), col, func(_ *Problem, o *Order) { o.OverPct++ })
}

// boards prices each other board of the same flutes that the order may not run
// on yet. Whether it serves is for people to say.
func (c *changes) boards() {
	may := c.p.allowed(c.o)
	for _, g := range c.p.Grades {
		if slices.ContainsFunc(may, func(m Grade) bool { return m.Grade == g.Grade }) || !alike(may[0], g) || g.price() < may[0].price() {
			continue
		}
		col := c.best(c.o, []Grade{g})
		words := fmt.Sprintf("on %s instead of %s, where strength and customer allow it%s", g.Grade, c.o.Grade, c.instead(col))
		c.add("may_upgrade_to", 0, words, c.saving(col), col, upgraded(g.Grade))
	}
}

// papers prices a substitute, at the price of the paper it stands in for, for what
// is short of each board's paper in a web.
func (c *changes) papers() {
	if len(c.p.Papers) == 0 {
		return
	}
	own := c.p.allowed(c.o)[0]
	for _, web := range c.p.websOf(own) {
		if !c.shortOf(c.o, own, web) {
			continue
		}
		only := *c.priced
		only.left = nil
		g := own
		g.Webs = []quantity.Length{web}
		col := only.best(c.o, []Grade{g})
		words := fmt.Sprintf("a substitute, or more, of the paper for %s that is short in %s%s; before what it costs more", own.Grade, web, c.instead(col))
		c.add("papers", 0, words, c.saving(col), col, func(p *Problem, _ *Order) { p.plenty(own, web) })
	}
}

// plenty takes the limit off a board's papers in a web.
func (p *Problem) plenty(g Grade, web quantity.Length) {
	for i, s := range p.Papers {
		left := map[quantity.Length]quantity.Distance{}
		for w, metres := range s.Metres {
			if w != web || !g.holds(s.Paper) {
				left[w] = metres
			}
		}
		p.Papers[i].Metres = left
	}
}

// upgraded lets an order alone run on another board beside those it may run on.
func upgraded(to ident.Grade) func(*Problem, *Order) {
	return func(p *Problem, o *Order) {
		onGrade(p, o.Grade, func(own *Grade) {
			twin := *own
			twin.Grade, twin.MayUpgradeTo = own.Grade+" "+ident.Grade(o.Order), []ident.Grade{own.Grade, to}
			if !o.UpgradeBarred {
				twin.MayUpgradeTo = append(twin.MayUpgradeTo, own.MayUpgradeTo...)
			}
			p.Grades = append(p.Grades, twin)
		})
		o.Grade, o.UpgradeBarred = p.Grades[len(p.Grades)-1].Grade, false
	}
}
