package runs

import (
	"fmt"
	"math"
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
)

// shortOf reports whether too little of a board's paper is left in a web to make
// an order on it, the order's own runs there not counted.
func (x *priced) shortOf(o Order, g Grade, web quantity.Length) bool {
	if len(x.left) == 0 {
		return false
	}
	own := quantity.Distance(0)
	for _, r := range x.runs {
		if r.Web == web && r.Grade == g.Grade && slices.ContainsFunc(r.Lanes, func(l Lane) bool { return l.Order == o.Order }) {
			own += r.Length
		}
	}
	outs := max(1, int((web-2*x.p.Corrugator.SideTrimMin)/o.Slit))
	length := quantity.Distance(float64(o.Chop) * math.Ceil(float64(o.Sheets)/float64(outs)))
	return g.lacks(x.left, web, max(0, length-own))
}

// metre is what a metre of a board's papers that run short in a web is worth to other orders.
func (x *priced) metre(g Grade, web quantity.Length) float64 {
	sum := 0.0
	for _, s := range x.short {
		for _, ply := range g.Plies {
			if ply.Paper == s.Paper && s.Web == web {
				sum += float64(s.Worth) * ply.draw()
			}
		}
	}
	return sum
}

// reach is how many metres of a board there is paper for in a web, frozen runs not counted.
func (x *priced) reach(g Grade, web quantity.Length) float64 {
	most := math.Inf(1)
	for _, s := range x.p.papersLess(x.p.Frozen) {
		draw := 0.0
		for _, ply := range g.Plies {
			if ply.Paper == s.Paper {
				draw += ply.draw()
			}
		}
		if have, limited := s.Metres[web]; limited && draw > 0 {
			most = min(most, have.Metres()/draw)
		}
	}
	return most
}

// papers prices enough paper of each board and web that is short of it, at the
// price of what there is.
func (c *changes) papers() {
	if len(c.p.Papers) == 0 {
		return
	}
	own := c.p.allowed(c.o)[0]
	for _, web := range c.p.websOf(own) {
		if !c.shortOf(c.o, own, web) && c.metre(own, web) == 0 {
			continue
		}
		only := *c.priced
		only.left = nil
		only.short = slices.DeleteFunc(slices.Clone(c.short), func(m Metre) bool { return m.Web == web && own.holds(m.Paper) })
		g := own
		g.Webs = []quantity.Length{web}
		col := only.best(c.o, []Grade{g})
		words := fmt.Sprintf("Enough paper for %s in %s, which runs short there, lets %s; before what that paper costs", own.Grade, web, c.way("run", col))
		n := len(c.found)
		c.add("papers", 0, words, c.upTo(col, c.need), col, func(p *Problem, _ *Order) { p.plenty(own, web) })
		for k := range c.found[n:] {
			c.found[n+k].same = fmt.Sprintf("papers %s %s", own.Grade, web)
		}
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
