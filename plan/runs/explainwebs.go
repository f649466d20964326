package runs

import (
	"fmt"
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
)

// WebChoice is why a run is on its web.
type WebChoice struct {
	Seq   int             `json:"seq"`
	Web   quantity.Length `json:"web_mm"`
	Trim  quantity.Length `json:"trim_mm"`
	Words string          `json:"words"`  // one sentence, in SI
	Other []WebInstead    `json:"others"` // every other web of the corrugator, in its sequence
}

// WebInstead is a run's lanes, as they are and as long, on another web.
type WebInstead struct {
	Web  quantity.Length `json:"web_mm"`
	Trim quantity.Length `json:"trim_mm"` // negative: so much is missing
	Cost quantity.Money  `json:"extra"`   // of paper less the credit of waste against the run's web; negative: less
	Bar  Bar             `json:"bar,omitempty"`
}

// Further bars of a web.
const (
	NotStocked Bar = "not stocked" // the board is not stocked in it, or it is barred for every run
	NotForOne  Bar = "barred"      // for an order of the run
	NoPaper    Bar = "no paper"    // less than the run draws is in the house
)

// WebChoices says of every run why it is on its web.
func WebChoices(p Problem, a Answer) []WebChoice {
	out := []WebChoice{}
	grades, orders := p.byGrade(), p.byOrder()
	left := p.papersLess(a.Runs)
	for _, r := range a.Runs {
		g := grades[r.Grade]
		w := WebChoice{Seq: r.Seq, Web: r.Web, Trim: r.Trim, Other: []WebInstead{}}
		for _, o := range OtherWebs(r, p.Corrugator, g.price(), g.WasteCredit) {
			v := WebInstead{o.Web, o.Trim, o.Cost, o.Bar}
			switch {
			case v.Bar != "":
			case !slices.Contains(p.websOf(g), v.Web):
				v.Bar = NotStocked
			case slices.ContainsFunc(r.Lanes, func(l Lane) bool { return slices.Contains(orders[l.Order].BarredWebs, v.Web) }):
				v.Bar = NotForOne
			case len(left) > 0 && g.lacks(left, v.Web, r.Length):
				v.Bar = NoPaper
			}
			w.Other = append(w.Other, v)
		}
		w.Words = w.sentence(r, p.Corrugator.SideTrimMin)
		out = append(out, w)
	}
	return out
}

// lacks reports whether a run of the board would draw more in a web than is left.
func (g Grade) lacks(left []Stock, web quantity.Length, length quantity.Distance) bool {
	for _, s := range left {
		metres, limited := s.Metres[web]
		drawn := 0.0
		for _, ply := range g.Plies {
			if ply.Paper == s.Paper {
				drawn += float64(length) * ply.draw()
			}
		}
		if limited && drawn > float64(metres) {
			return true
		}
	}
	return false
}

// sentence weighs a run's web against the cheapest other that is open to it, or
// says what bars the next narrower one.
func (w WebChoice) sentence(r Run, leastTrim quantity.Length) string {
	var open, narrower *WebInstead
	for i := range w.Other {
		o := &w.Other[i]
		if o.Bar == "" && (open == nil || o.Cost < open.Cost) {
			open = o
		}
		if o.Web < w.Web && (narrower == nil || o.Web > narrower.Web) {
			narrower = o
		}
	}
	here := fmt.Sprintf("%s leaves %s of trim", w.Web, r.Trim)
	var reasons string
	if narrower != nil {
		reasons = "; " + narrower.barWords(leastTrim)
		if narrower.Bar == "" && open != nil && narrower.Web == open.Web {
			reasons = ""
		}
	}
	switch {
	case open == nil && narrower == nil:
		return here + "; no other web takes these lanes."
	case open == nil:
		return here + reasons + ", and no other web takes these lanes."
	case open.Cost < 0:
		return fmt.Sprintf("%s; the same lanes would cost %.2f less on %s, with %s of trim, before the change of web and what the other runs would then lack%s.", here, float64(-open.Cost), open.Web, open.Trim, reasons)
	}
	return fmt.Sprintf("%s; the next cheapest open to it, %s, would leave %s and cost %.2f more%s.", here, open.Web, open.Trim, float64(open.Cost), reasons)
}

func (o WebInstead) barWords(leastTrim quantity.Length) string {
	switch o.Bar {
	case TooNarrow:
		return fmt.Sprintf("%s is too narrow by %s, least trim included", o.Web, 2*leastTrim-o.Trim)
	case TooWide:
		return fmt.Sprintf("%s would leave more trim than the sides may have", o.Web)
	case NotStocked:
		return fmt.Sprintf("%s is not open to its board", o.Web)
	case NotForOne:
		return fmt.Sprintf("%s is barred for one of its orders", o.Web)
	case NoPaper:
		return fmt.Sprintf("too little paper is left for it at %s", o.Web)
	}
	return fmt.Sprintf("%s is open to it", o.Web)
}
