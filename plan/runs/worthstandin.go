package runs

import (
	"context"
	"fmt"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// standIns prices each permitted substitute for every run of its board, for that is
// how it is said yes to: what each order of the board would cost less, or more,
// in its cheapest column on the board as it would be.
func (x *priced) standIns(ctx context.Context, list []StandIn, made map[string]bool) []estimate {
	var out []estimate
	for _, s := range list {
		e := estimate{Detail: Detail{Grade: s.Board.Grade, Field: "substitutes", Words: s.Words}, with: x.onBoard(s.Board.Grade), make: s.put}
		now, gains, most := 0.0, 0, 0.0
		var best string
		for k, o := range x.p.Orders {
			if ctx.Err() != nil {
				return out
			}
			if o.Grade != s.Board.Grade {
				continue
			}
			c, ok := x.changesOf(k, made[o.Order])
			if !ok {
				continue
			}
			now += c.cost * c.need
			col := c.best(o, append([]Grade{s.Board}, c.p.allowed(o)[1:]...))
			saves := c.saving(col)
			e.About += quantity.Money(saves)
			if saves > worthTelling*c.cost*c.need {
				gains++
			}
			if saves > most {
				most, best = saves, c.way("runs", col)
			}
		}
		if gains > 0 {
			e.Words += fmt.Sprintf(": %s gain, most of all where %s", ordersOf(gains), best)
		}
		if e.tells(now) {
			out = append(out, e)
		}
	}
	return out
}

func ordersOf(n int) string {
	if n == 1 {
		return "1 order may"
	}
	return fmt.Sprintf("%d orders may", n)
}

// put makes the board what it is with the substitute.
func (s StandIn) put(p *Problem, _ *Order) {
	onGrade(p, s.Board.Grade, func(g *Grade) { *g = s.Board })
}

// onBoard are the orders that stand on the board's runs.
func (x *priced) onBoard(grade ident.Grade) []string {
	var out []string
	for _, r := range x.runs {
		for _, l := range r.Lanes {
			if r.Grade == grade && !slices.Contains(out, l.Order) {
				out = append(out, l.Order)
			}
		}
	}
	return out
}

// decided is how much less the frozen runs of a vicinity's answer cost under another
// problem: what is decided is neither dearer nor cheaper by a change.
func (p Problem) decided(q Problem, v Vicinity, part Answer) quantity.Money {
	n := 0
	for _, r := range v.kept[:min(len(p.Frozen), len(v.kept))] {
		if slices.ContainsFunc(r.Lanes, func(l Lane) bool { return slices.Contains(v.Orders, l.Order) }) {
			n++
		}
	}
	return p.bare(part.Runs[:n]) - q.bare(part.Runs[:n])
}

// bare is what runs cost by themselves.
func (p Problem) bare(list []Run) quantity.Money {
	x := pricing{p: p, grades: p.byGrade(), orders: p.byOrder(), t: &Totals{CostTerms: map[string]quantity.Money{}}, bare: true}
	for _, r := range list {
		x.run(r)
	}
	sum := quantity.Money(0)
	for _, name := range sortedKeys(x.t.CostTerms) {
		sum += x.t.CostTerms[name]
	}
	return sum
}
