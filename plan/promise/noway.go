package promise

import (
	"fmt"
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
)

// noWeb names, in SI, the limit of the corrugator that keeps an order's sheet
// off every web; where none does alone, that its paper never comes or nothing
// fills its web.
func (s *solver) noWeb(o runs.Order) string {
	limits := s.Trim.Corrugator
	mm := func(l quantity.Length) string { return quantity.Format{}.Length(l) + " mm" }
	switch {
	case o.Slit < limits.MinSlit:
		return fmt.Sprintf("its sheet is %s wide; the slitter cuts none under %s", mm(o.Slit), mm(limits.MinSlit))
	case o.Chop < limits.MinChop:
		return fmt.Sprintf("its sheet is %s long; the knife cuts none under %s", mm(o.Chop), mm(limits.MinChop))
	case limits.MaxChop != nil && o.Chop > *limits.MaxChop:
		return fmt.Sprintf("its sheet is %s long; the knife cuts none over %s", mm(o.Chop), mm(*limits.MaxChop))
	case limits.Scorers != nil && len(o.Scores) > *limits.Scorers:
		return fmt.Sprintf("its sheet has %d scores; the corrugator has %d scorers", len(o.Scores), *limits.Scorers)
	}
	webs := slices.Clone(limits.Webs)
	for _, g := range s.Trim.Grades {
		if g.Grade == o.Grade && len(g.Webs) > 0 {
			webs = slices.Clone(g.Webs)
		}
	}
	webs = slices.DeleteFunc(webs, func(w quantity.Length) bool {
		return slices.Contains(o.BarredWebs, w) || slices.Contains(s.Trim.BarredWebs, w)
	})
	if len(webs) == 0 {
		return fmt.Sprintf("grade %s has no web that it may run on", o.Grade)
	}
	widest, least := slices.Max(webs), slices.Min(webs)
	if o.Slit+2*limits.SideTrimMin > widest {
		return fmt.Sprintf("its sheet is %s wide and needs %s of trim at each side; the widest web of %s is %s", mm(o.Slit), mm(limits.SideTrimMin), o.Grade, mm(widest))
	}
	if limits.SideTrimMax != nil && limits.MaxOuts != nil && o.Slit*quantity.Length(*limits.MaxOuts)+2**limits.SideTrimMax < least {
		return fmt.Sprintf("%d times its sheet of %s leave more than %s of trim at each side of the least web, %s, and no order of its grade stands beside it", *limits.MaxOuts, mm(o.Slit), mm(*limits.SideTrimMax), mm(least))
	}
	return fmt.Sprintf("no web of %s from %s to %s takes its sheet of %s alone or beside an order of its grade, or its paper never comes", o.Grade, mm(least), mm(widest), mm(o.Slit))
}
