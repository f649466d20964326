package runs

import (
	"fmt"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// gradeLadders offers every other board of the same flutes that costs no less
// and that the order may not run on yet. Whether it serves is for people to say.
func (p Problem) gradeLadders(o Order) []ladder {
	may := p.allowed(o)
	var out []ladder
	for _, g := range p.Grades {
		if slices.ContainsFunc(may, func(m Grade) bool { return m.Grade == g.Grade }) || !alike(may[0], g) || g.price() < may[0].price() {
			continue
		}
		to := g.Grade
		out = append(out, one(step{limit: "may_upgrade_to", words: fmt.Sprintf("run it on %s instead of %s, where strength and customer allow it", to, o.Grade), loosen: upgraded(to)}))
	}
	return out
}

// alike reports whether two boards have the same flutes, as far as is stated.
func alike(a, b Grade) bool {
	if a.Flute != b.Flute || a.Wall != b.Wall {
		return false
	}
	return slices.EqualFunc(a.Plies, b.Plies, func(x, y Ply) bool { return x.draw() == y.draw() })
}

// partnerLadders offers, for each web and number of outs, the narrowest strip
// of the same chop that brings the trim within its limits, narrow strips first.
func (p Problem) partnerLadders(o Order) []ladder {
	c := p.Corrugator
	if c.SideTrimMax == nil || c.MaxOrdersPerRun != nil && *c.MaxOrdersPerRun < 2 {
		return nil
	}
	type partner struct{ slit, most, web quantity.Length }
	var list []partner
	for _, web := range p.websOf(p.allowed(o)[0]) {
		for n := quantity.Length(1); n*o.Slit < web; n++ {
			least := max(web-n*o.Slit-2**c.SideTrimMax, c.MinSlit, quantity.Millimetre)
			if most := web - n*o.Slit - 2*c.SideTrimMin; least <= most {
				list = append(list, partner{least, most, web})
			}
		}
	}
	slices.SortStableFunc(list, func(a, b partner) int { return int(min(max(a.slit-b.slit, -1), 1)) })
	l := ladder{}
	for _, s := range list[:min(len(list), 6)] {
		l.steps = append(l.steps, step{
			limit: "partner",
			words: fmt.Sprintf("an order of %s from %s to %s wide beside it on %s", o.Grade, s.slit, s.most, s.web),
			loosen: func(p *Problem, o *Order) {
				p.Orders = append(p.Orders, Order{Order: o.Order + " partner", Grade: o.Grade, Slit: s.slit, Chop: o.Chop, Sheets: o.Sheets, UnderPct: 99, OverPct: 900, UpgradeBarred: true})
			},
		})
	}
	return []ladder{l}
}

// machineLadders offers more outs, scorers, orders on a run, and a shorter run.
func (p Problem) machineLadders(o Order) []ladder {
	c := p.Corrugator
	count := func(limit, words string, from *int, most int, set func(*Problem, *int)) ladder {
		l := ladder{grows: true}
		if from == nil {
			return l
		}
		for n := *from + 1; n <= *from+most; n++ {
			l.steps = append(l.steps, step{limit: limit, words: fmt.Sprintf(words, n), loosen: func(p *Problem, _ *Order) { set(p, &n) }})
		}
		return l
	}
	out := []ladder{
		count("max_outs", "%d outs on a run", c.MaxOuts, 4, func(p *Problem, n *int) { p.Corrugator.MaxOuts = n }),
		count("max_outs_per_level", "%d outs on a knife level", c.MaxOutsPerLevel, 4, func(p *Problem, n *int) { p.Corrugator.MaxOutsPerLevel = n }),
		count("scorers", "%d scorers", c.Scorers, 16, func(p *Problem, n *int) { p.Corrugator.Scorers = n }),
		count("max_orders_per_run", "%d orders on a run", c.MaxOrdersPerRun, 2, func(p *Problem, n *int) { p.Corrugator.MaxOrdersPerRun = n }),
	}
	if c.MinRun > 0 {
		out = append(out, one(step{
			limit:  "min_run_m",
			loosen: func(p *Problem, _ *Order) { p.Corrugator.MinRun = 0 },
			tell: func(_ Problem, a Answer) string {
				least := c.MinRun
				for _, r := range a.Runs {
					least = min(least, r.Length)
				}
				if least >= c.MinRun {
					return ""
				}
				return fmt.Sprintf("allow a run of %.0f m, shorter than the least of %s", least.Metres(), c.MinRun)
			},
		}))
	}
	if slices.ContainsFunc(p.Apart, func(pair [2]string) bool { return pair[0] == o.Order || pair[1] == o.Order }) {
		out = append(out, one(step{limit: "apart", words: "let it share runs with the orders it is kept apart from", loosen: func(p *Problem, o *Order) {
			p.Apart = slices.DeleteFunc(slices.Clone(p.Apart), func(pair [2]string) bool { return pair[0] == o.Order || pair[1] == o.Order })
		}}))
	}
	if o.Adhesive != "" {
		out = append(out, one(step{limit: "adhesive", words: fmt.Sprintf("run it with its partner's adhesive instead of %s", o.Adhesive), loosen: func(_ *Problem, o *Order) { o.Adhesive = "" }}))
	}
	return out
}

// sheetLadders offers another sheet: unscored, or of two or three pieces.
func (p Problem) sheetLadders(o Order) []ladder {
	var out []ladder
	if len(o.Scores) > 0 {
		out = append(out, one(step{limit: "scores_mm", words: "run the sheet unscored and score it on the press", loosen: func(_ *Problem, o *Order) { o.Scores = nil }}))
	}
	var across, along ladder
	for n := 2; n <= 3 && o.Sheets/n > 0; n++ {
		fewer := func(o *Order) { o.Sheets = (o.Sheets + n - 1) / n }
		across.steps = append(across.steps, step{limit: "pieces", words: fmt.Sprintf("a sheet of %d pieces across, %s wide, if the converting machine takes it", n, quantity.Length(n)*o.Slit), loosen: func(_ *Problem, o *Order) {
			fewer(o)
			scores := []quantity.Length{}
			for k := range n {
				for _, s := range o.Scores {
					scores = append(scores, quantity.Length(k)*o.Slit+s)
				}
			}
			o.Slit, o.Scores = quantity.Length(n)*o.Slit, scores
		}})
		along.steps = append(along.steps, step{limit: "pieces", words: fmt.Sprintf("a sheet of %d pieces along, %s long, if the converting machine takes it", n, quantity.Length(n)*o.Chop), loosen: func(_ *Problem, o *Order) {
			fewer(o)
			o.Chop *= quantity.Length(n)
		}})
	}
	if widest := slices.Max(p.Corrugator.Webs); 2*o.Slit > widest {
		across.steps = nil
	}
	return append(out, across, along)
}

// paperLadders offers as much paper of the order's boards as is needed, web by web.
func (p Problem) paperLadders(o Order) []ladder {
	if len(p.Papers) == 0 {
		return nil
	}
	own := p.allowed(o)[0]
	var out []ladder
	for _, web := range p.websOf(own) {
		if slices.Contains(o.BarredWebs, web) || !p.papersLimit(own, web) {
			continue
		}
		out = append(out, one(step{
			limit:  "papers",
			loosen: func(p *Problem, _ *Order) { p.plenty(own, web) },
			tell: func(_ Problem, a Answer) string {
				if missing := p.paperMissing(a, own, web); missing != "" {
					return "get in " + missing
				}
				return ""
			},
		}))
	}
	return out
}

func (g Grade) holds(paper ident.Paper) bool {
	return slices.ContainsFunc(g.Plies, func(ply Ply) bool { return ply.Paper == paper })
}

// papersLimit reports whether some paper of a board is limited in a web.
func (p Problem) papersLimit(g Grade, web quantity.Length) bool {
	return slices.ContainsFunc(p.Papers, func(s Stock) bool {
		_, limited := s.Metres[web]
		return limited && g.holds(s.Paper)
	})
}

// paperMissing words the metres of a board's papers in a web that a plan draws beyond what is there; "" for none.
func (p Problem) paperMissing(a Answer, g Grade, web quantity.Length) string {
	grades := p.byGrade()
	var words []string
	for _, s := range p.Papers {
		have, limited := s.Metres[web]
		if !limited || !g.holds(s.Paper) {
			continue
		}
		drawn := 0.0
		for _, r := range a.Runs {
			if r.Web != web {
				continue
			}
			for _, ply := range grades[r.Grade].Plies {
				if ply.Paper == s.Paper {
					drawn += r.Length.Metres() * ply.draw()
				}
			}
		}
		if more := drawn - have.Metres(); more > 0 {
			words = append(words, fmt.Sprintf("%.0f m of %s", more+0.5, s.Paper))
		}
	}
	if len(words) == 0 {
		return ""
	}
	return strings.Join(words, " and ") + fmt.Sprintf(" at %s", web)
}
