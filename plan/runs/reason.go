package runs

import (
	"fmt"
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
)

// neverCut says why an order can be cut on no web at all, with what would free
// it; "" when the machine's own limits let it pass.
func (p Problem) neverCut(o Order) string {
	c := p.Corrugator
	switch {
	case o.Slit < c.MinSlit:
		return fmt.Sprintf("slit %s is narrower than the slitter cuts (min_slit_mm %s); ask for a sheet of several pieces across", o.Slit, c.MinSlit)
	case o.Chop < c.MinChop:
		return fmt.Sprintf("chop %s is shorter than the knife cuts (min_chop_mm %s); ask for a sheet of several pieces along", o.Chop, c.MinChop)
	case c.MaxChop != nil && o.Chop > *c.MaxChop:
		return fmt.Sprintf("chop %s is longer than the knife cuts (max_chop_mm %s); only another knife frees it", o.Chop, *c.MaxChop)
	}
	marks := slices.Clone(o.Scores)
	slices.Sort(marks)
	for i, s := range marks {
		if edge := min(s, o.Slit-s); edge < c.MinScoreToSlit && (i == 0 || i == len(marks)-1) {
			return fmt.Sprintf("the score at %s stands %s from the slit, the least is %s (min_score_to_slit_mm); leave the sheet unscored and score it on the press", s, edge, c.MinScoreToSlit)
		}
		if i > 0 && s-marks[i-1] < c.MinScoreToScore {
			return fmt.Sprintf("scores at %s and %s stand %s apart, the least is %s (min_score_to_score_mm); leave the sheet unscored and score it on the press", marks[i-1], s, s-marks[i-1], c.MinScoreToScore)
		}
	}
	return ""
}

// noRun says which limit keeps an order from every run that was tried: the
// nearest web first, then stock, then the quantity window.
func (p Problem) noRun(o Order) string {
	c := p.Corrugator
	outs := slices.Max(levelOuts(c))
	if c.MaxOuts != nil {
		outs = min(outs, *c.MaxOuts)
	}
	if c.Scorers != nil && len(o.Scores) > 0 {
		outs = min(outs, *c.Scorers/len(o.Scores))
	}
	if outs < 1 {
		return fmt.Sprintf("one out needs %d scorers, the section has %d; score it on the press", len(o.Scores), *c.Scorers)
	}
	fits, nearest := false, ""
	least := quantity.Length(1) << 62
	for _, g := range p.allowed(o) {
		for _, web := range p.websOf(g) {
			n := min(quantity.Length(outs), (web-2*c.SideTrimMin)/o.Slit)
			if n < 1 {
				continue
			}
			trim := web - n*o.Slit
			if c.SideTrimMax == nil || trim <= 2**c.SideTrimMax {
				fits = true
				continue
			}
			if trim < least {
				least = trim
				nearest = fmt.Sprintf("%d × %s on %s at %s leaves %s of trim, %s a side", n, o.Slit, g.Grade, web, trim, trim/2)
			}
		}
	}
	switch {
	case fits:
		return p.stockOrWindow(o)
	case nearest != "":
		return fmt.Sprintf("no web takes it alone with at most %s of trim a side (side_trim_max_mm), and no partner was found that fits beside it; nearest: %s; a web from %s to %s would free it; a partner of the grade or an upgrade may",
			*c.SideTrimMax, nearest, o.Slit+2*c.SideTrimMin, o.Slit+2**c.SideTrimMax)
	}
	return fmt.Sprintf("slit %s and twice the side trim of %s are wider than every web of grade %s; a web of at least %s would free it", o.Slit, c.SideTrimMin, o.Grade, o.Slit+2*c.SideTrimMin)
}

func (p Problem) stockOrWindow(o Order) string {
	least, most := o.window()
	if len(p.Papers) > 0 {
		return fmt.Sprintf("a web fits, but no paper is left in the house for %d to %d sheets of grade %s on it, or the window is too narrow for whole cuts and the least run of %s; more paper, a wider tolerance or more parts may free it", least, most, o.Grade, p.Corrugator.MinRun)
	}
	return fmt.Sprintf("a web fits, but no run of at least %s makes between %d and %d good sheets; a wider tolerance (over_pct) or more parts may free it", p.Corrugator.MinRun, least, most)
}

// allowed are the grades an order may run on, its own first.
func (p Problem) allowed(o Order) []Grade {
	var own Grade
	for _, g := range p.Grades {
		if g.Grade == o.Grade {
			own = g
		}
	}
	out := []Grade{own}
	if o.UpgradeBarred {
		return out
	}
	for _, g := range p.Grades {
		if slices.Contains(own.MayUpgradeTo, g.Grade) && g.Grade != own.Grade {
			out = append(out, g)
		}
	}
	return out
}
