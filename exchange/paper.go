package exchange

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/exchange/cells"
	"github.com/flutewright/flutewright/plant/board"
)

var paperColumns = []string{
	"paper!", "kind", "description", "grammage_gsm!", "sct_cd_kn_m", "rct_cd_kn_m", "caliper_mm", "burst_kpa", "cobb60_gsm",
	"moisture_pct", "moisture_band_pct", "surface", "price_per_t", "webs_mm",
}

// Grammages that papers for corrugated board have; beyond them the unit was mistaken.
const (
	leastGrammage = 50 * quantity.Gram
	mostGrammage  = 500 * quantity.Gram
)

func (in *tableFile) paper(r *cells.Record) {
	r.Needs("grammage_gsm")
	v := board.Paper{
		Code: ident.Paper(r.Text("paper")), Kind: r.Word("kind"), Description: r.Text("description"), Grammage: r.Grammage("grammage_gsm"),
		SCT: r.LineLoad("sct_cd_kn_m"), RCT: r.LineLoad("rct_cd_kn_m"), Caliper: r.Length("caliper_mm"), Burst: r.Pressure("burst_kpa"),
		Cobb60: r.Grammage("cobb60_gsm"), MoisturePct: r.Percent("moisture_pct"), MoistureBand: r.Percent("moisture_band_pct"), Surface: r.Word("surface"),
		PricePerTonne: r.PerTonne("price_per_t"), Webs: r.Lengths("webs_mm"),
	}
	if !r.Empty("grammage_gsm") && len(r.Faults) == 0 {
		judgeGrammage(r, v.Grammage)
	}
	ranges(r, []limit{
		{"sct_cd_kn_m", v.SCT.KilonewtonsPerMetre(), 0, 30}, {"rct_cd_kn_m", v.RCT.KilonewtonsPerMetre(), 0, 30},
		{"caliper_mm", v.Caliper.Millimetres(), 0, 2}, {"burst_kpa", float64(v.Burst) / 1000, 0, 5000}, {"cobb60_gsm", v.Cobb60.Gsm(), 0, 500},
		{"moisture_pct", v.MoisturePct, 0, 30}, {"moisture_band_pct", v.MoistureBand, 0, 30}, {"price_per_t", float64(v.PricePerTonne), 0, 100_000},
	})
	if !slices.IsSorted(v.Webs) {
		slices.Sort(v.Webs)
	}
	v.Webs = slices.Compact(v.Webs)
	if len(v.Webs) > 0 && (v.Webs[0] < 200*quantity.Millimetre || v.Webs[len(v.Webs)-1] > 6*quantity.Metre) {
		r.Add("webs_mm", "each web must be from 200 mm to 6000 mm", "")
	}
	take(in, r, &in.table.Papers, v)
}

// judgeGrammage refuses a grammage that no paper has, and asks whether the unit was mistaken.
func judgeGrammage(r *cells.Record, g quantity.Grammage) {
	if g >= leastGrammage && g <= mostGrammage {
		return
	}
	msf := float64(quantity.PoundPerMSF / quantity.Gram)
	rule := fmt.Sprintf("must be from %.0f to %.0f g/m² (%.0f to %.0f lb/1000 ft²)", leastGrammage.Gsm(), mostGrammage.Gsm(), leastGrammage.Gsm()/msf, mostGrammage.Gsm()/msf)
	remedy := ""
	switch v := r.Number("grammage_gsm"); {
	case g > mostGrammage && v >= leastGrammage.Gsm() && v <= mostGrammage.Gsm():
		remedy = fmt.Sprintf("did you mean %.0f g/m² (%.0f lb)?", v, v/msf)
	case g < leastGrammage && v*msf >= leastGrammage.Gsm() && v*msf <= mostGrammage.Gsm():
		remedy = fmt.Sprintf("did you mean %.0f lb/1000 ft² (%.0f g/m²)?", v, v*msf)
	}
	r.Add("grammage_gsm", rule, remedy)
}

// limit is a number with the range that it must lie in.
type limit struct {
	column      string
	value       float64
	least, most float64
}

func ranges(r *cells.Record, limits []limit) {
	for _, l := range limits {
		if !r.Empty(l.column) && !(l.value >= l.least && l.value <= l.most) && !math.IsNaN(l.value) {
			r.Add(l.column, fmt.Sprintf("must be from %v to %v", l.least, l.most), "")
		}
	}
}

var gradeColumns = []string{
	"grade!", "description", "flute!", "plies!", "dry_adhesive_gsm", "ect_stated_kn_m", "caliper_stated_mm", "ect_min_kn_m", "caliper_min_mm",
	"may_upgrade_to", "surface",
}

// grade reads a grade. Its plies stand from the outside in with slashes between
// them, a medium with its flute behind a colon: TL140/RM110:B/TL140.
func (in *tableFile) grade(r *cells.Record) {
	r.Needs("flute", "plies")
	v := board.Grade{
		Code: ident.Grade(r.Text("grade")), Description: r.Text("description"), Flute: ident.Flute(r.Code("flute")),
		DryAdhesive: r.Grammage("dry_adhesive_gsm"), StatedECT: r.LineLoad("ect_stated_kn_m"), StatedCaliper: r.Length("caliper_stated_mm"),
		ECTMin: r.LineLoad("ect_min_kn_m"), CaliperMin: r.Length("caliper_min_mm"), UpgradeTo: codes[ident.Grade](r.List("may_upgrade_to")),
		Surface: r.Word("surface"),
	}
	for _, s := range r.List("plies") {
		paper, flute, _ := strings.Cut(s, ":")
		v.Plies = append(v.Plies, board.Ply{Paper: ident.Paper(strings.TrimSpace(paper)), Flute: ident.Flute(strings.TrimSpace(flute))})
	}
	in.judgePlies(r, v)
	ranges(r, []limit{
		{"dry_adhesive_gsm", v.DryAdhesive.Gsm(), 0, 100}, {"ect_stated_kn_m", v.StatedECT.KilonewtonsPerMetre(), 0, 100},
		{"caliper_stated_mm", v.StatedCaliper.Millimetres(), 0, 30}, {"ect_min_kn_m", v.ECTMin.KilonewtonsPerMetre(), 0, 100},
		{"caliper_min_mm", v.CaliperMin.Millimetres(), 0, 30},
	})
	take(in, r, &in.table.Grades, v)
}

func (in *tableFile) judgePlies(r *cells.Record, g board.Grade) {
	var papers, flutes []string
	for _, p := range in.book.Plant.Papers {
		papers = append(papers, string(p.Code))
	}
	for _, f := range in.book.Plant.Flutes {
		flutes = append(flutes, string(f.Code))
	}
	said := map[string]bool{}
	for _, ply := range g.Plies {
		if code := string(ply.Paper); !slices.Contains(papers, code) && !said[code] {
			said[code] = true
			unknown(r, "plies", code, "papers", papers)
		}
		if code := string(ply.Flute); code != "" && !slices.Contains(flutes, code) && !said[code] {
			said[code] = true
			unknown(r, "plies", code, "flutes", flutes)
		}
	}
	if n := len(g.Plies); n > 0 && (n%2 == 0 || n > 7 || g.Walls() != n/2) {
		r.Add("plies", "liners and mediums must take turns, from liner to liner, a medium with its flute: TL140/RM110:B/TL140", "")
	}
}
