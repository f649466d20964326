package runs

import (
	"fmt"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/corrugator"
)

// Bounds of what a problem may state; beyond them a value is a typing error.
const (
	mostSheets = 10_000_000
	mostOuts   = 64
	mostLevels = 16
	mostWeb    = 10 * quantity.Metre
	mostChop   = 100 * quantity.Metre
	mostLoss   = quantity.Distance(10_000 * quantity.Metre)
	mostMetres = 1e9 // of one out of an order: sums stay exact in whole nanometres
	mostBehind = quantity.Minutes(365 * 24 * 60)
	mostPaper  = quantity.Distance(1_000_000*quantity.Metre) * 1000
)

// Validate returns every violation of the problem, with the field's JSON path.
func (p Problem) Validate() error {
	var v fault.Violations
	p.checkCorrugator(&v)
	grades := map[ident.Grade]bool{}
	for _, g := range p.Grades {
		grades[g.Grade] = true
	}
	p.checkGrades(&v, grades)
	papers := map[ident.Paper]bool{}
	for i, s := range p.Papers {
		v.Require(!papers[s.Paper], fmt.Sprintf("papers[%d].paper", i), string(s.Paper), "stands twice")
		papers[s.Paper] = true
		for web, metres := range s.Metres {
			v.Require(metres >= 0 && metres <= mostPaper, fmt.Sprintf("papers[%d].metres[%s]", i, web), metres.String(), "must be from 0 to 1,000,000,000 m")
		}
	}
	p.checkOrders(&v, grades)
	p.checkGiven(&v, grades)
	return v.Err()
}

func (p Problem) checkCorrugator(v *fault.Violations) {
	c := p.Corrugator
	at := func(f string) string { return "corrugator." + f }
	v.Require(len(c.Webs) > 0, at("webs_mm"), "", "must name at least one web width")
	for i, w := range c.Webs {
		v.Require(w > 0 && w <= mostWeb, fmt.Sprintf("corrugator.webs_mm[%d]", i), w.String(), "must be more than 0 and at most 10,000 mm")
	}
	lengths := map[string]quantity.Length{"side_trim_min_mm": c.SideTrimMin, "min_slit_mm": c.MinSlit, "min_score_to_score_mm": c.MinScoreToScore, "min_score_to_slit_mm": c.MinScoreToSlit, "min_chop_mm": c.MinChop}
	if c.SideTrimMax != nil {
		lengths["side_trim_max_mm"] = *c.SideTrimMax
		v.Require(*c.SideTrimMax >= c.SideTrimMin, at("side_trim_max_mm"), c.SideTrimMax.String(), "must not be less than side_trim_min_mm")
	}
	if c.MaxChop != nil {
		lengths["max_chop_mm"] = *c.MaxChop
	}
	for _, name := range sortedKeys(lengths) {
		v.Require(lengths[name] >= 0 && lengths[name] <= mostChop, at(name), lengths[name].String(), "must be from 0 to 100,000 mm")
	}
	losses := map[string]quantity.Distance{"min_run_m": c.MinRun, "run_change_loss_m": c.RunChangeLoss, "web_change_loss_m": c.WebChangeLoss, "grade_change_loss_m": c.GradeChangeLoss}
	for _, name := range sortedKeys(losses) {
		v.Require(losses[name] >= 0 && losses[name] <= mostLoss, at(name), losses[name].String(), "must be from 0 to 10,000 m")
	}
	counts := map[string]*int{"max_outs": c.MaxOuts, "max_outs_per_level": c.MaxOutsPerLevel, "max_orders_per_run": c.MaxOrdersPerRun}
	for _, name := range sortedKeys(counts) {
		if n := counts[name]; n != nil {
			v.Require(*n >= 1 && *n <= 999, at(name), fmt.Sprint(*n), "must be from 1 to 999")
		}
	}
	if c.Scorers != nil {
		v.Require(*c.Scorers >= 0 && *c.Scorers <= 999, at("scorers"), fmt.Sprint(*c.Scorers), "must be from 0 to 999")
	}
	for i, n := range c.OutsByLevel {
		v.Require(n >= 1 && n <= 999, fmt.Sprintf("corrugator.outs_by_level[%d]", i), fmt.Sprint(n), "must be from 1 to 999")
	}
	v.Require(c.KnifeLevels >= 0 && c.KnifeLevels <= mostLevels, at("knife_levels"), fmt.Sprint(c.KnifeLevels), "must be from 1 to 16")
	v.Require(c.RejectCutsPerLane >= 0 && c.RejectCutsPerLane <= 1000, at("reject_cuts_per_lane"), fmt.Sprint(c.RejectCutsPerLane), "must be from 0 to 1000")
	v.Require(c.Speed >= 0 && c.SectionSetup >= 0 && c.MinuteCost >= 0, at("speed_m_min, section_setup_s, minute_cost"), "", "must not be negative")
}

func (p Problem) checkGrades(v *fault.Violations, known map[ident.Grade]bool) {
	v.Require(len(p.Grades) > 0, "grades", "", "must name at least one grade")
	seen := map[ident.Grade]bool{}
	for i, g := range p.Grades {
		at := func(f string) string { return fmt.Sprintf("grades[%d].%s", i, f) }
		v.Require(g.Grade != "", at("grade"), "", "must not be empty")
		v.Require(!seen[g.Grade], at("grade"), string(g.Grade), "stands twice")
		seen[g.Grade] = true
		v.Require(g.price() >= 0 && g.WasteCredit >= 0, at("price_per_m2, waste_credit_per_m2"), "", "must not be negative")
		v.Require(g.WasteCredit <= g.price(), at("waste_credit_per_m2"), fmt.Sprint(float64(g.WasteCredit)), "must not be above price_per_m2: waste cannot be worth more than paper")
		v.Require(g.Speed >= 0, at("speed_m_min"), "", "must not be negative")
		for _, u := range g.MayUpgradeTo {
			v.Require(known[u], at("may_upgrade_to"), string(u), "is not a grade of this problem")
		}
		for k, w := range g.Webs {
			v.Require(w > 0 && w <= mostWeb, fmt.Sprintf("grades[%d].webs_mm[%d]", i, k), w.String(), "must be more than 0 and at most 10,000 mm")
		}
		for k, ply := range g.Plies {
			v.Require(ply.TakeUp >= 0 && ply.TakeUp <= 5, fmt.Sprintf("grades[%d].plies[%d].take_up", i, k), fmt.Sprint(ply.TakeUp), "must be from 0 to 5")
		}
	}
}

func (p Problem) checkOrders(v *fault.Violations, known map[ident.Grade]bool) {
	seen := map[string]bool{}
	for i, o := range p.Orders {
		at := func(f string) string { return fmt.Sprintf("orders[%d].%s", i, f) }
		v.Require(o.Order != "", at("order"), "", "must not be empty")
		v.Require(!seen[o.Order], at("order"), o.Order, "stands twice")
		seen[o.Order] = true
		v.Require(known[o.Grade], at("grade"), string(o.Grade), "is not a grade of this problem")
		v.Require(o.Slit > 0 && o.Slit <= mostWeb, at("slit_mm"), o.Slit.String(), "must be more than 0 and at most 10,000 mm")
		v.Require(o.Chop > 0 && o.Chop <= mostChop, at("chop_mm"), o.Chop.String(), "must be more than 0 and at most 100,000 mm")
		v.Require(o.Sheets >= 1 && o.Sheets <= mostSheets, at("sheets"), fmt.Sprint(o.Sheets), "must be from 1 to 10,000,000")
		v.Require(o.UnderPct >= 0 && o.UnderPct <= 100, at("under_pct"), fmt.Sprint(o.UnderPct), "must be from 0 to 100")
		v.Require(o.OverPct >= 0 && o.OverPct <= 1000, at("over_pct"), fmt.Sprint(o.OverPct), "must be from 0 to 1000")
		v.Require(o.ShortCost >= 0 && o.OverCost >= 0, at("short_cost_per_sheet, over_cost_per_sheet"), "", "must not be negative")
		v.Require(o.MaxParts >= 0 && o.MaxParts <= 999, at("max_parts"), fmt.Sprint(o.MaxParts), "must be from 0 to 999")
		v.Require(float64(o.Sheets)*(1+o.OverPct/100)*o.Chop.Metres() <= mostMetres, at("sheets"), fmt.Sprint(o.Sheets), "times chop_mm and over_pct must not be more than 1,000,000,000 m of one out")
		v.Require(o.SplitCost >= 0 && o.LateCost >= 0, at("split_cost, late_cost_per_h"), "", "must not be negative")
		v.Require(o.Behind >= 0 && o.Behind <= mostBehind, at("behind_min"), fmt.Sprint(float64(o.Behind)), "must be from 0 to 525,600 minutes")
		v.Require(o.LateCost == 0 || o.Due.IsZero() || !p.Begins.IsZero(), at("late_cost_per_h"), fmt.Sprint(float64(o.LateCost)), "needs begins, the moment of the first run")
		for k, s := range o.Scores {
			v.Require(s > 0 && s < o.Slit, fmt.Sprintf("orders[%d].scores_mm[%d]", i, k), s.String(), "must lie between 0 and the slit width")
		}
	}
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

func (g Grade) price() quantity.Money {
	if g.PricePerM2 == nil {
		return 1
	}
	return *g.PricePerM2
}

// webs are the grade's own, or the corrugator's; narrow to wide, each once.
func (g Grade) webs(c corrugator.Limits) []quantity.Length {
	w := c.Webs
	if g.Webs != nil {
		w = g.Webs
	}
	w = slices.Clone(w)
	slices.Sort(w)
	return slices.Compact(w)
}

// window is the least and the greatest number of good sheets of an order.
func (o Order) window() (least, most int) {
	least = int(ceilPct(o.Sheets, 100-o.UnderPct))
	most = int(floorPct(o.Sheets, 100+o.OverPct))
	return least, most
}
