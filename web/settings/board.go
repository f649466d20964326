package settings

import (
	"math"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/corrugator"
)

func corrugatorPart(b *form, p *plant.Plant) {
	k := &p.Corrugator
	l := &k.Limits
	const lim = "corrugator.limits."
	b.group("", "")
	code(b, entry{name: "corrugator.machine", label: "Code"}, &k.Code)
	b.lengths(entry{name: lim + "webs_mm", label: "Webs", hint: "parted by semicolons", wide: true}, &l.Webs)
	codes(b, entry{name: "corrugator.shifts", label: "Crewed shifts"}, &k.Shifts)
	b.group("Trim and slitters", "")
	b.length(entry{name: lim + "side_trim_min_mm", label: "Side trim least", hint: "each side"}, &l.SideTrimMin)
	b.lengthOr(entry{name: lim + "side_trim_max_mm", label: "Side trim most", hint: "each side; empty: no limit"}, &l.SideTrimMax)
	b.countOr(entry{name: lim + "max_outs", label: "Outs at most"}, &l.MaxOuts)
	b.countOr(entry{name: lim + "max_outs_per_level", label: "Outs a knife level"}, &l.MaxOutsPerLevel)
	b.numbers(entry{name: lim + "outs_by_level", label: "Outs by level", hint: "where levels differ"}, &l.OutsByLevel)
	b.countOr(entry{name: lim + "scorers", label: "Scorers"}, &l.Scorers)
	b.length(entry{name: lim + "min_slit_mm", label: "Least slit"}, &l.MinSlit)
	b.length(entry{name: lim + "min_score_to_score_mm", label: "Score to score"}, &l.MinScoreToScore)
	b.length(entry{name: lim + "min_score_to_slit_mm", label: "Score to slit"}, &l.MinScoreToSlit)
	b.length(entry{name: "corrugator.slit_trial_mm", label: "Slits are tried by", hint: "either way, where a plan says what a detail is worth; 0: as is usual"}, &k.SlitTrial)
	b.group("Knives and runs", "")
	b.count(entry{name: lim + "knife_levels", label: "Knife levels", hint: "one: no run has two chop lengths"}, &l.KnifeLevels)
	b.countOr(entry{name: lim + "max_orders_per_run", label: "Orders a run"}, &l.MaxOrdersPerRun)
	b.length(entry{name: lim + "min_chop_mm", label: "Least chop"}, &l.MinChop)
	b.lengthOr(entry{name: lim + "max_chop_mm", label: "Most chop"}, &l.MaxChop)
	b.run(entry{name: lim + "min_run_m", label: "Least run"}, &l.MinRun)
	b.run(entry{name: "corrugator.preferred_min_run_m", label: "Rather"}, &k.PreferredMinRun)
	b.count(entry{name: lim + "reject_cuts_per_lane", label: "Rejects a lane", hint: "first cuts"}, &l.RejectCutsPerLane)
	b.number(entry{name: lim + "section_setup_s", label: "Section set-up"}, "s", &l.SectionSetup)
	b.length(entry{name: "corrugator.stack_height_max_mm", label: "Stack height at most"}, &k.StackHeightMax)
	b.group("Lost at changes", "")
	b.run(entry{name: lim + "run_change_loss_m", label: "Run"}, &l.RunChangeLoss)
	b.run(entry{name: lim + "web_change_loss_m", label: "Web"}, &l.WebChangeLoss)
	b.run(entry{name: lim + "grade_change_loss_m", label: "Grade"}, &l.GradeChangeLoss)
	for _, c := range []struct {
		name, label string
		c           *corrugator.Change
	}{{"flute_change", "Flute", &k.FluteChange}, {"wall_change", "Wall", &k.WallChange}, {"adhesive_change", "Adhesive", &k.AdhesiveChange}} {
		b.minutes(entry{name: "corrugator." + c.name + ".minutes", label: c.label}, &c.c.Minutes)
		b.run(entry{name: "corrugator." + c.name + ".loss_m", label: c.label + " loses"}, &c.c.Loss)
	}
	b.run(entry{name: "corrugator.splice_loss_m", label: "A splice"}, &k.SpliceLoss)
	b.run(entry{name: "corrugator.butt_min_m", label: "A butt is kept from"}, &k.ButtMin)
	corrugatorSpeeds(b, p)
}

func corrugatorSpeeds(b *form, p *plant.Plant) {
	k := &p.Corrugator
	b.group("Speed", "")
	speeds := map[ident.Flute]quantity.Speed{}
	for _, f := range flutesOf(p) {
		v := k.SpeedMax[f]
		b.speed(entry{name: "corrugator.speed_max_m_min." + string(f), label: string(f) + " at most"}, &v)
		if v != 0 {
			speeds[f] = v
		}
	}
	k.SpeedMax = speeds
	b.number(entry{name: "corrugator.average_factor", label: "Average over allowed", hint: "a share, such as 0.82"}, "", &k.AverageFactor)
	b.grammageAny(entry{name: "corrugator.heavy_over_gsm", label: "Heavy board over"}, &k.HeavyOver)
	b.number(entry{name: "corrugator.heavy_factor", label: "Heavy board runs at", hint: "a share"}, "", &k.HeavyFactor)
	b.length(entry{name: "corrugator.full_speed_chop_mm", label: "Full speed from a chop of"}, &k.FullSpeedChop)
	b.knife(entry{name: "corrugator.knife_speed_m_min_per_mm", label: "Below it"}, &k.KnifeSpeedPerMM)
	b.count(entry{name: "corrugator.slitters_per_section", label: "Slitters a section"}, &k.SlittersPerSect)
	b.group("Cost", "The one price holds while the corrugator is the bottleneck, the other when it is not.")
	b.money(entry{name: "corrugator.cost_per_h", label: "An hour as the bottleneck"}, &k.CostPerHour)
	b.money(entry{name: "corrugator.idle_cost_per_h", label: "An hour when it is not"}, &k.IdleCostPerHour)
	b.yes(entry{name: "corrugator.bottleneck", label: "It is the bottleneck"}, &k.Bottleneck)
	b.yes(entry{name: "corrugator.print_liner_down", label: "Print liner down in the stack"}, &k.PrintLinerDown)
	b.yes(entry{name: "corrugator.wide_to_narrow", label: "Wide webs first"}, &k.WideToNarrow)
}

// grammageAny is a grammage of board, which has no paper's range.
func (b *form) grammageAny(e entry, v *quantity.Grammage) {
	unit := float64(quantity.Gram)
	if b.US {
		unit = float64(quantity.PoundPerMSF)
	}
	n := float64(*v) / unit
	b.add(e.field(b.GrammageUnit(), blank(b.Grammage(*v))), func(s string) error {
		typed, err := parsed(s, quantity.ParseNumber)
		if err == nil {
			n = typed
			*v = quantity.Grammage(n * unit)
		}
		return err
	})
}

// knife is the web speed that the knife allows for each length of chop.
func (b *form) knife(e entry, v *float64) {
	const usPerMetric = 25.4 / 0.3048 // ft/min per in; NIST SP 811, 2008, appendix B
	unit, factor := b.SpeedUnit()+" per "+b.LengthUnit(), 1.0
	if b.US {
		factor = usPerMetric
	}
	b.add(e.field(unit, blank(strconv.FormatFloat(math.Round(*v*factor*1e4)/1e4, 'f', -1, 64))), func(s string) error {
		n, err := parsed(s, quantity.ParseNumber)
		if err == nil {
			*v = n / factor
		}
		return err
	})
}

func boardPart(b *form, p *plant.Plant) {
	list(b, "papers", "Papers", "Widths kept in stock, parted by semicolons.", &p.Papers, 3, func(b *form, v *board.Paper) {
		code(b, entry{name: "paper", label: "Paper"}, &v.Code)
		b.text(entry{name: "kind", label: "Kind"}, &v.Kind)
		b.grammage(entry{name: "grammage_gsm", label: "Grammage"}, &v.Grammage)
		b.caliper(entry{name: "caliper_mm", label: "Caliper"}, &v.Caliper)
		b.lineLoad(entry{name: "sct_cd_kn_m", label: "SCT"}, &v.SCT)
		b.lineLoad(entry{name: "rct_cd_kn_m", label: "RCT"}, &v.RCT)
		b.perTonne(entry{name: "price_per_t", label: "Price"}, &v.PricePerTonne)
		b.lengths(entry{name: "webs_mm", label: "Webs"}, &v.Webs)
	})
	list(b, "flutes", "Flutes", "", &p.Flutes, 1, func(b *form, v *board.Flute) {
		code(b, entry{name: "flute", label: "Flute"}, &v.Code)
		b.number(entry{name: "take_up", label: "Take-up"}, "", &v.TakeUp)
		b.caliper(entry{name: "flute_height_mm", label: "Height"}, &v.Height)
		b.number(entry{name: "k_ect", label: "ECT factor"}, "", &v.KECT)
		b.speed(entry{name: "facer_speed_m_min", label: "Single facer"}, &v.FacerSpeed)
	})
	list(b, "grades", "Grades", "Plies from the outside in, a medium with its flute: TL140/RM110:B/TL140.", &p.Grades, 2, func(b *form, v *board.Grade) {
		code(b, entry{name: "grade", label: "Grade"}, &v.Code)
		b.text(entry{name: "description", label: "Description"}, &v.Description)
		code(b, entry{name: "flute", label: "Flute"}, &v.Flute)
		b.plies(entry{name: "plies", label: "Plies"}, &v.Plies)
		b.lineLoad(entry{name: "ect_stated_kn_m", label: "ECT stated"}, &v.StatedECT)
		b.caliper(entry{name: "caliper_stated_mm", label: "Caliper stated"}, &v.StatedCaliper)
		codes(b, entry{name: "may_upgrade_to", label: "May upgrade to"}, &v.UpgradeTo)
	})
	b.group("Adhesives", "Recipes; the first is the standard.")
	codes(b, entry{name: "adhesives", label: "Adhesives", wide: true}, &p.Adhesives)
}

func (b *form) plies(e entry, v *[]board.Ply) {
	shown := make([]string, len(*v))
	for i, p := range *v {
		shown[i] = string(p.Paper)
		if p.Flute != "" {
			shown[i] += ":" + string(p.Flute)
		}
	}
	b.add(e.field("", strings.Join(shown, "/")), func(s string) error {
		*v = nil
		for part := range strings.SplitSeq(s, "/") {
			paper, flute, _ := strings.Cut(strings.TrimSpace(part), ":")
			if paper == "" {
				return fault.Violations{{Rule: "must be papers with a slash between them, a medium with its flute: TL140/RM110:B/TL140"}}
			}
			*v = append(*v, board.Ply{Paper: ident.Paper(paper), Flute: ident.Flute(flute)})
		}
		return nil
	})
}

func allowancesPart(b *form, p *plant.Plant) {
	list(b, "allowances", "Allowances", "", &p.Allowances, 1, func(b *form, a *box.Allowance) {
		code(b, entry{name: "flute", label: "Flute"}, &a.Flute)
		for _, v := range []struct {
			name, label string
			v           *quantity.Length
		}{{"panel_add", "Panel", &a.PanelAdd}, {"last_panel_less", "Last less", &a.LastPanelLess}, {"depth_add", "Depth", &a.DepthAdd}, {"flap_add", "Flap", &a.FlapAdd},
			{"tray_wall_add", "Tray wall", &a.TrayWallAdd}, {"slot_width", "Slot", &a.SlotWidth}, {"glue_lap", "Lap", &a.GlueLap}, {"lid_clearance", "Lid clearance", &a.LidClearance},
			{"round_up_to", "Rounded up to", &a.RoundUpTo}} {
			b.length(entry{name: v.name, label: v.label}, v.v)
		}
		b.caliper(entry{name: "caliper", label: "Caliper"}, &a.Caliper)
	})
}
