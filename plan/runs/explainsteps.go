package runs

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// ladder is one limit loosened step by step, the least first.
type ladder struct {
	steps []step
	grows bool // each step allows all that the one before it allows
}

// step is one loosening of a limit.
type step struct {
	limit  string
	words  string
	loosen func(*Problem, *Order)
	tell   func(Problem, Answer) string // words that need the plan; nil: words
	wide   bool                         // it changes more than it loosens: the runs that are kept may not be legal with it
}

func secondsOf(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

// ladders are the limits that may free an order, each by itself.
func (p Problem) ladders(o Order, opt ExplainOptions) []ladder {
	var out []ladder
	for _, l := range [][]ladder{p.webLadders(o), p.trimLadders(o), toleranceLadders(o), p.gradeLadders(o), p.partnerLadders(o), p.machineLadders(o), p.sheetLadders(o), p.paperLadders(o), p.slitLadders(o, cmp.Or(opt.Slit, slitAllowance)), standInLadders(o, opt.StandIn)} {
		out = append(out, l...)
	}
	return slices.DeleteFunc(out, func(l ladder) bool { return len(l.steps) == 0 })
}

func one(s step) ladder { return ladder{steps: []step{s}} }

// onGrade changes the board of the problem that an order is made of.
func onGrade(p *Problem, name ident.Grade, change func(*Grade)) {
	for i := range p.Grades {
		if p.Grades[i].Grade == name {
			change(&p.Grades[i])
		}
	}
}

// newWebStep is the raster that new widths of paper are thought up in (common practice: mills slit to whole centimetres).
const newWebStep = 10 * quantity.Millimetre

// webLadders offers each web in the house that the order may not be on, and new
// widths up to the corrugator's widest: as wide as so many outs and the least trim ask.
func (p Problem) webLadders(o Order) []ladder {
	c, own := p.Corrugator, p.allowed(o)[0]
	may := p.websOf(own)
	var out []ladder
	for _, web := range slices.Compact(slices.Sorted(slices.Values(c.Webs))) {
		if slices.Contains(may, web) && !slices.Contains(o.BarredWebs, web) || web < o.Slit+2*c.SideTrimMin {
			continue
		}
		out = append(out, one(step{limit: "webs_mm", words: fmt.Sprintf("let it run on the web of %s", web), loosen: letOn(web)}))
	}
	fresh := ladder{}
	widest := slices.Max(c.Webs)
	for n := 1; n <= mostOuts; n++ {
		web := (quantity.Length(n)*o.Slit + 2*c.SideTrimMin + newWebStep - 1) / newWebStep * newWebStep
		if web > widest {
			break
		}
		if !slices.Contains(c.Webs, web) {
			fresh.steps = append(fresh.steps, step{limit: "webs_mm", words: fmt.Sprintf("keep %s in a new web of %s, %d × %s and trim", own.Grade, web, n, o.Slit), loosen: letOn(web)})
		}
	}
	slices.Reverse(fresh.steps) // more outs make more sheets a metre
	return append(out, fresh)
}

// letOn lets an order's board, and the order, on a web.
func letOn(web quantity.Length) func(*Problem, *Order) {
	without := func(list []quantity.Length) []quantity.Length {
		return slices.DeleteFunc(slices.Clone(list), func(w quantity.Length) bool { return w == web })
	}
	return func(p *Problem, o *Order) {
		if before := p.Corrugator.Webs; !slices.Contains(before, web) {
			for i := range p.Grades { // the others stay as they are
				if p.Grades[i].Webs == nil {
					p.Grades[i].Webs = slices.Clone(before)
				}
			}
			p.Corrugator.Webs = append(slices.Clone(before), web)
		}
		p.BarredWebs, o.BarredWebs = without(p.BarredWebs), without(o.BarredWebs)
		onGrade(p, o.Grade, func(g *Grade) {
			if g.Webs != nil && !slices.Contains(g.Webs, web) {
				g.Webs = append(slices.Clone(g.Webs), web)
			}
		})
	}
}

// trimLadders offers as much side trim as the nearest outs leave, and as little.
func (p Problem) trimLadders(o Order) []ladder {
	c := p.Corrugator
	var wide, narrow []quantity.Length
	for _, g := range p.allowed(o) {
		for _, web := range p.websOf(g) {
			for n := quantity.Length(1); n*o.Slit <= web; n++ {
				switch trim := web - n*o.Slit; {
				case c.SideTrimMax != nil && trim > 2**c.SideTrimMax:
					wide = append(wide, (trim+1)/2)
				case trim < 2*c.SideTrimMin:
					narrow = append(narrow, trim/2)
				}
			}
		}
	}
	steps := func(limit, words string, list []quantity.Length, set func(*Problem, quantity.Length)) ladder {
		l := ladder{grows: true}
		for _, side := range slices.Compact(list) {
			l.steps = append(l.steps, step{limit: limit, words: fmt.Sprintf(words, side), loosen: func(p *Problem, _ *Order) { set(p, side) }})
		}
		return l
	}
	slices.Sort(wide)
	slices.SortFunc(narrow, func(a, b quantity.Length) int { return cmp.Compare(b, a) })
	return []ladder{
		steps("side_trim_max_mm", "allow %s of trim a side for once", wide, func(p *Problem, side quantity.Length) { p.Corrugator.SideTrimMax = &side }),
		steps("side_trim_min_mm", "get by with %s of trim a side, if the knives and the web hold it", narrow, func(p *Problem, side quantity.Length) { p.Corrugator.SideTrimMin = side }),
	}
}

// tolerances are the per cents that a window is widened by.
var tolerances = []float64{1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100}

func toleranceLadders(o Order) []ladder {
	over, under := ladder{grows: true}, ladder{grows: true}
	for _, pct := range tolerances {
		over.steps = append(over.steps, step{limit: "over_pct", words: fmt.Sprintf("agree %g %% over, %g more than now", o.OverPct+pct, pct), loosen: func(_ *Problem, o *Order) { o.OverPct += pct }})
		if o.UnderPct+pct < 100 {
			under.steps = append(under.steps, step{limit: "under_pct", words: fmt.Sprintf("agree %g %% under, %g more than now", o.UnderPct+pct, pct), loosen: func(_ *Problem, o *Order) { o.UnderPct += pct }})
		}
	}
	out := []ladder{over, under}
	if o.MaxParts > 0 {
		parts := ladder{grows: true}
		for n := o.MaxParts + 1; n <= o.MaxParts+4; n++ {
			parts.steps = append(parts.steps, step{limit: "max_parts", words: fmt.Sprintf("spread it over %d runs", n), loosen: func(_ *Problem, o *Order) { o.MaxParts = n }})
		}
		out = append(out, parts)
	}
	return out
}

// slitLadders offers the slit millimetre by millimetre narrower and wider, the scores where they are.
func (p Problem) slitLadders(o Order, most quantity.Length) []ladder {
	var out []ladder
	for _, side := range []quantity.Length{-1, 1} {
		l := ladder{}
		for by := quantity.Millimetre; by <= most; by += quantity.Millimetre {
			q, ok := p.withSlit(o, side*by)
			if !ok {
				break
			}
			l.steps = append(l.steps, step{
				limit: "slit_mm", words: fmt.Sprintf("a slit %s %s, %s instead of %s, if the box stays the one ordered", by, sideWord(side), q.Slit, o.Slit),
				loosen: func(_ *Problem, o *Order) { o.Slit += side * by },
			})
		}
		out = append(out, l)
	}
	return out
}

// standInLadders offers the substitutes that are permitted for an order's board. They hold for every run of it.
func standInLadders(o Order, list []StandIn) []ladder {
	var out []ladder
	for _, in := range list {
		if in.Board.Grade == o.Grade {
			out = append(out, one(step{limit: "plies", words: in.Words, wide: true, loosen: func(p *Problem, o *Order) {
				onGrade(p, o.Grade, func(g *Grade) { *g = in.Board })
			}}))
		}
	}
	return out
}
