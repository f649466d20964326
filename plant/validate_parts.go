package plant

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/corrugator"
	"github.com/flutewright/flutewright/plant/load"
)

const mm = quantity.Millimetre

func machineCode(m convert.Machine) ident.Machine { return m.Code }

func (c *check) corrugator(p Plant) {
	k := p.Corrugator
	start := len(c.v)
	c.add("corrugator.machine", string(k.Code), k.Code != "", "must have a code")
	c.webs("corrugator.limits.webs_mm", k.Limits.Webs)
	c.add("corrugator.limits.webs_mm", "", len(k.Limits.Webs) > 0, "must list at least one web width")
	c.limits("corrugator.limits", k.Limits)
	c.within("corrugator.average_factor", k.AverageFactor, 0.05, 1)
	c.within("corrugator.heavy_factor", k.HeavyFactor, 0, 1)
	for _, v := range []struct {
		field string
		v     quantity.Money
	}{{"cost_per_h", k.CostPerHour}, {"idle_cost_per_h", k.IdleCostPerHour}, {"limits.minute_cost", k.Limits.MinuteCost}} {
		c.within("corrugator."+v.field, float64(v.v), 0, 1e6)
	}
	c.length("corrugator.stack_height_max_mm", k.StackHeightMax, 0, 6000*mm)
	c.length("corrugator.full_speed_chop_mm", k.FullSpeedChop, 0, 6000*mm)
	c.within("corrugator.splice_loss_m", k.SpliceLoss.Metres(), 0, 1000)
	c.length("corrugator.slit_trial_mm", k.SlitTrial, 0, 50*mm)
	c.within("corrugator.butt_min_m", k.ButtMin.Metres(), 0, 10_000)
	c.within("corrugator.roll_move_min", float64(k.RollMove), 0, 24*60)
	c.within("corrugator.roll_handling", float64(k.RollHandling), 0, 1e6)
	c.within("corrugator.preferred_min_run_m", k.PreferredMinRun.Metres(), 0, 100_000)
	for name, change := range map[string]corrugator.Change{"flute_change": k.FluteChange, "wall_change": k.WallChange, "adhesive_change": k.AdhesiveChange} {
		c.within("corrugator."+name+".minutes", float64(change.Minutes), 0, 1440)
		c.within("corrugator."+name+".loss_m", change.Loss.Metres(), 0, 10_000)
	}
	for flute, speed := range k.SpeedMax {
		c.known("corrugator.speed_max_m_min", string(flute), "flutes and combinations", slices.Concat(c.names.boards, c.names.flutes))
		c.within("corrugator.speed_max_m_min."+string(flute), speed.MetresPerMinute(), 1, 1000)
	}
	for i, s := range k.Shifts {
		c.known(fmt.Sprintf("corrugator.shifts[%d]", i), s, "shifts", c.names.shifts)
	}
	slices.SortStableFunc(c.v[start:], byField) // maps come in any order
}

func (c *check) limits(path string, l corrugator.Limits) {
	at := func(name string) string { return path + "." + name }
	c.length(at("side_trim_min_mm"), l.SideTrimMin, 0, 1000*mm)
	if l.SideTrimMax != nil {
		c.length(at("side_trim_max_mm"), *l.SideTrimMax, l.SideTrimMin, 3000*mm)
	}
	count := func(name string, n *int, least, most int) {
		if n != nil {
			c.within(at(name), float64(*n), float64(least), float64(most))
		}
	}
	count("max_outs", l.MaxOuts, 1, 50)
	count("max_outs_per_level", l.MaxOutsPerLevel, 1, 50)
	count("scorers", l.Scorers, 0, 200)
	count("max_orders_per_run", l.MaxOrdersPerRun, 1, 50)
	levels := atLeast1(l.KnifeLevels)
	c.within(at("knife_levels"), float64(levels), 1, 8)
	for i, n := range l.OutsByLevel {
		c.within(fmt.Sprintf("%s[%d]", at("outs_by_level"), i), float64(n), 0, 50)
	}
	c.add(at("outs_by_level"), strconv.Itoa(len(l.OutsByLevel)), len(l.OutsByLevel) == 0 || len(l.OutsByLevel) == levels, "must name each knife level")
	c.length(at("min_slit_mm"), l.MinSlit, 0, 3000*mm)
	c.length(at("min_score_to_score_mm"), l.MinScoreToScore, 0, 1000*mm)
	c.length(at("min_score_to_slit_mm"), l.MinScoreToSlit, 0, 1000*mm)
	c.length(at("min_chop_mm"), l.MinChop, 0, 6000*mm)
	if l.MaxChop != nil {
		c.length(at("max_chop_mm"), *l.MaxChop, max(l.MinChop, mm), 20_000*mm)
	}
	c.within(at("min_run_m"), l.MinRun.Metres(), 0, 100_000)
	c.within(at("reject_cuts_per_lane"), float64(l.RejectCutsPerLane), 0, 1000)
	c.within(at("run_change_loss_m"), l.RunChangeLoss.Metres(), 0, 1000)
	c.within(at("web_change_loss_m"), l.WebChangeLoss.Metres(), 0, 10_000)
	c.within(at("grade_change_loss_m"), l.GradeChangeLoss.Metres(), 0, 10_000)
	c.within(at("speed_m_min"), l.Speed.MetresPerMinute(), 0, 1000)
	c.within(at("section_setup_s"), l.SectionSetup, 0, 86_400)
}

// webs must rise, so that "the next wider" is the next one.
func (c *check) webs(path string, webs []quantity.Length) {
	for i, w := range webs {
		field := fmt.Sprintf("%s[%d]", path, i)
		c.length(field, w, 200*mm, 6000*mm)
		c.add(field, w.String(), i == 0 || w > webs[i-1], "webs must rise")
	}
}

func (c *check) machines(p Plant) {
	c.unique("machines", each(p.Machines, machineCode))
	for i, m := range p.Machines {
		at := fmt.Sprintf("machines[%d].", i)
		c.add(at+"machine", string(m.Code), m.Code != p.Corrugator.Code, "is the corrugator's code")
		c.word(at+"kind", string(m.Kind), string(convert.FolderGluer), string(convert.DieCutter), string(convert.SpecialtyFolderGluer))
		for _, s := range []struct {
			field string
			l     quantity.Length
		}{{"max_sheet.across_mm", m.Max.Across}, {"max_sheet.feed_mm", m.Max.Feed}, {"min_sheet.across_mm", m.Min.Across}, {"min_sheet.feed_mm", m.Min.Feed}, {"min_panel_mm", m.MinPanel}} {
			c.length(at+s.field, s.l, 0, 10_000*mm)
		}
		c.add(at+"min_sheet", m.Min.Across.String()+" × "+m.Min.Feed.String(),
			(m.Max.Across == 0 || m.Min.Across <= m.Max.Across) && (m.Max.Feed == 0 || m.Min.Feed <= m.Max.Feed), "must not be more than max_sheet")
		c.within(at+"max_colours", float64(m.MaxColours), 0, 12)
		c.within(at+"plan_speed_per_h", m.PlanSpeed, 1, 100_000)
		c.within(at+"cost_per_h", float64(m.CostPerHour), 0, 1e6)
		c.within(at+"min_order", float64(m.MinOrder), 0, 1e7)
		c.within(at+"crew", float64(m.Crew), 0, 100)
		for _, t := range []struct {
			field string
			m     quantity.Minutes
		}{{"base_min", m.SetUp.Base}, {"per_colour_min", m.SetUp.PerColour}, {"slot_shift_min", m.SetUp.SlotShift}, {"flute_change_min", m.SetUp.FluteChange}, {"die_change_min", m.SetUp.DieChange}} {
			c.within(at+"set_up."+t.field, float64(t.m), 0, 1440)
		}
		c.within(at+"loss.set_up_sheets", float64(m.Loss.SetUpSheets), 0, 10_000)
		c.within(at+"loss.per_colour_sheets", float64(m.Loss.PerColourSheets), 0, 10_000)
		c.within(at+"loss.running_pct", m.Loss.RunningPct, 0, 50)
		for n, f := range m.Flutes {
			c.known(fmt.Sprintf("%sflutes[%d]", at, n), string(f), "flutes and combinations", slices.Concat(c.names.boards, c.names.flutes))
		}
		for n, s := range m.Shifts {
			c.known(fmt.Sprintf("%sshifts[%d]", at, n), s, "shifts", c.names.shifts)
		}
	}
}

func (c *check) papers(papers []board.Paper) {
	c.unique("papers", c.names.papers)
	for i, p := range papers {
		at := fmt.Sprintf("papers[%d].", i)
		c.within(at+"grammage_gsm", p.Grammage.Gsm(), 30, 1000)
		c.within(at+"sct_cd_kn_m", p.SCT.KilonewtonsPerMetre(), 0, 50)
		c.within(at+"rct_cd_kn_m", p.RCT.KilonewtonsPerMetre(), 0, 50)
		c.length(at+"caliper_mm", p.Caliper, 0, 5*mm)
		c.within(at+"moisture_pct", p.MoisturePct, 0, 50)
		c.within(at+"moisture_band_pct", p.MoistureBand, 0, 50)
		c.within(at+"price_per_t", float64(p.PricePerTonne), 0, 1e6)
		c.webs(at+"webs_mm", p.Webs)
	}
}

func (c *check) flutes(flutes []board.Flute) {
	c.unique("flutes", c.names.flutes)
	for i, f := range flutes {
		at := fmt.Sprintf("flutes[%d].", i)
		c.within(at+"take_up", f.TakeUp, 1, 2)
		c.length(at+"flute_height_mm", f.Height, 0, 20*mm)
		c.within(at+"k_ect", f.KECT, 0, 2)
		c.within(at+"facer_speed_m_min", f.FacerSpeed.MetresPerMinute(), 0, 1000)
	}
}

func (c *check) allowances(list []box.Allowance) {
	c.unique("allowances", c.names.boards)
	for i, a := range list {
		if _, err := box.NewAllowance(a); err != nil {
			c.under(fmt.Sprintf("allowances[%d]", i), err)
		}
	}
}

func (c *check) grades(p Plant) {
	c.unique("grades", c.names.grades)
	for i, g := range p.Grades {
		at := fmt.Sprintf("grades[%d].", i)
		c.known(at+"flute", string(g.Flute), "flutes that have allowances", c.names.boards)
		c.add(at+"plies", strconv.Itoa(len(g.Plies)), len(g.Plies)%2 == 1 && len(g.Plies) <= 7 && g.Walls() == len(g.Plies)/2,
			"must be liners and mediums in turn, 3, 5 or 7 of them, a medium with its flute")
		for n, ply := range g.Plies {
			c.known(fmt.Sprintf("%splies[%d].paper", at, n), string(ply.Paper), "papers", c.names.papers)
			if ply.Flute != "" {
				c.known(fmt.Sprintf("%splies[%d].flute", at, n), string(ply.Flute), "flutes", c.names.flutes)
			}
		}
		for n, up := range g.UpgradeTo {
			c.known(fmt.Sprintf("%smay_upgrade_to[%d]", at, n), string(up), "grades", c.names.grades)
			c.add(fmt.Sprintf("%smay_upgrade_to[%d]", at, n), string(up), up != g.Code, "a grade is no upgrade of itself")
		}
		c.within(at+"dry_adhesive_gsm", g.DryAdhesive.Gsm(), 0, 200)
		c.within(at+"ect_stated_kn_m", g.StatedECT.KilonewtonsPerMetre(), 0, 100)
		c.length(at+"caliper_stated_mm", g.StatedCaliper, 0, 50*mm)
	}
}

func (c *check) pallets(pallets []load.Pallet, trailers []load.Trailer) {
	c.unique("pallets", c.names.pallets)
	for i, p := range pallets {
		at := fmt.Sprintf("pallets[%d].", i)
		c.length(at+"length_mm", p.Length, 200*mm, 6000*mm)
		c.length(at+"width_mm", p.Width, 200*mm, 6000*mm)
		c.length(at+"height_mm", p.Height, 0, 1000*mm)
		c.within(at+"mass_kg", float64(p.Mass), 0, 1000)
		c.within(at+"max_load_kg", float64(p.MaxLoad), 0, 20_000)
		c.within(at+"price", float64(p.Price), 0, 1e6)
	}
	for i, t := range trailers {
		at := fmt.Sprintf("trailers[%d].", i)
		c.length(at+"length_mm", t.Length, 500*mm, 30_000*mm)
		c.length(at+"width_mm", t.Width, 500*mm, 5000*mm)
		c.length(at+"height_mm", t.Height, 500*mm, 5000*mm)
		c.within(at+"payload_kg", float64(t.Payload), 0, 100_000)
	}
}
