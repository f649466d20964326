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
	same string // what else makes the same change: of those the dearest order is told; "" for a change of its own
}

// estimates are the changes of a plan's orders that are worth telling, the dearest first.
func (p Problem) estimates(ctx context.Context, a Answer, x *priced, opt ExplainOptions) []estimate {
	if ctx.Err() != nil { // prices that were cut short are too low
		return nil
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
		c, ok := x.changesOf(k, made[o.Order])
		if !ok {
			continue
		}
		if _, begun := x.frozen[o.Order]; !begun { // what is run already has its slit
			c.slits(opt.Slit)
		}
		c.windows()
		c.boards()
		c.papers()
		c.later(opt.Later[o.Order])
		for _, e := range c.found {
			if e.tells(c.cost * c.need) {
				out = append(out, e)
			}
		}
	}
	out = append(out, x.standIns(ctx, opt.StandIn, made)...)
	slices.SortStableFunc(out, func(x, y estimate) int { return cmp.Compare(y.About, x.About) })
	return out
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

// changesOf is an order with what a piece of it costs today; false where no run that could still change makes it.
func (x *priced) changesOf(k int, made bool) (*changes, bool) {
	o := x.p.Orders[k]
	worth, cut := x.worth[o.Order]
	if !cut || !made {
		return nil, false
	}
	c := &changes{priced: x, o: o, at: k, need: float64(o.Sheets)}
	if o.ShortCost <= 0 {
		least, _ := o.window()
		c.need = float64(least)
	}
	if c.need -= float64(x.frozen[o.Order]); c.need <= 0 {
		return nil, false
	}
	c.now = x.best(o, x.p.allowed(o))
	c.cost = min(worth, c.now.cost)
	return c, true
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
	c.found = append(c.found, estimate{Detail: Detail{Order: c.o.Order, Field: field, Change: change, Words: words, About: quantity.Money(saves)}, at: c.at, with: with, make: loosen})
}

// saving is what a column saves on the pieces of the order that its partners' sheets
// and the paper in the house last for.
func (c *changes) saving(col column) float64 {
	if math.IsInf(col.cost, 1) {
		return 0
	}
	own := col.lanes[0]
	return c.upTo(col, c.reach(col.board, col.web)*float64(own.outs)/own.o.Chop.Metres())
}

// upTo is what a column saves on at most so many pieces.
func (c *changes) upTo(col column, pieces float64) float64 {
	if math.IsInf(col.cost, 1) {
		return 0
	}
	pieces = min(pieces, c.need)
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
			words := fmt.Sprintf("A slit %s %s lets %s", by, sideWord(side), c.way("run", col))
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

// way words how a column runs, beside what, and on which web in place of the one
// of today's cheapest: "2 × A run beside 1 × B on 1990 mm in place of 2000 mm".
func (c *changes) way(verb string, col column) string {
	s := ""
	for k, l := range col.lanes {
		switch k {
		case 0:
			s = fmt.Sprintf("%d × %s %s", l.outs, l.o.Order, verb)
		case 1:
			s += fmt.Sprintf(" beside %d × %s", l.outs, l.o.Order)
		default:
			s += fmt.Sprintf(" and %d × %s", l.outs, l.o.Order)
		}
	}
	switch now := c.now.web; {
	case now > col.web:
		return s + fmt.Sprintf(" on a narrower web, %s in place of %s", col.web, now)
	case now > 0 && now != col.web:
		return s + fmt.Sprintf(" on %s in place of %s", col.web, now)
	}
	return s + fmt.Sprintf(" on %s", col.web)
}

// windows prices one per cent of tolerance either way: under, a piece at its
// price, or what that is above the price of a short one; over, what longer runs save.
func (c *changes) windows() {
	one := float64(c.o.Sheets) / 100
	if c.o.UnderPct+1 < 100 {
		c.add("under_pct", 1, fmt.Sprintf("1 %% more under-delivery leaves %.0f sheets unmade", math.Floor(one)), max(0, c.cost-float64(c.o.ShortCost))*one, column{}, func(_ *Problem, o *Order) { o.UnderPct++ })
	}
	o := c.o
	o.OverPct++
	col := c.best(o, c.p.allowed(o))
	c.add("over_pct", 1, "1 % more over-delivery lets "+c.way("run longer", col), c.saving(col), col, func(_ *Problem, o *Order) { o.OverPct++ })
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
		words := fmt.Sprintf("On %s instead of %s, where strength and customer allow it, %s", g.Grade, c.o.Grade, c.way("runs", col))
		c.add("may_upgrade_to", 0, words, c.saving(col), col, upgraded(g.Grade))
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
