package board

import (
	"fmt"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
)

// NewPaper returns p, or all its violations. Grammage is from 60 to 500 g/m²;
// strengths, caliper and price may be unknown (0) but not impossible.
func NewPaper(p Paper) (Paper, error) {
	var v fault.Violations
	v.Require(p.Code != "", "paper", "", "must be named")
	number(&v, "grammage_gsm", p.Grammage.Gsm(), 60, 500)
	number(&v, "sct_cd_kn_m", p.SCT.KilonewtonsPerMetre(), 0, 30)
	number(&v, "rct_cd_kn_m", p.RCT.KilonewtonsPerMetre(), 0, 30)
	number(&v, "caliper_mm", p.Caliper.Millimetres(), 0, 2)
	number(&v, "burst_kpa", float64(p.Burst)/1000, 0, 5000)
	number(&v, "cobb60_gsm", p.Cobb60.Gsm(), 0, 500)
	number(&v, "moisture_pct", p.MoisturePct, 0, 30)
	number(&v, "moisture_band_pct", p.MoistureBand, 0, 30)
	number(&v, "price_per_t", float64(p.PricePerTonne), 0, 1e7)
	for i, w := range p.Webs {
		v.Require(w > 0 && w <= 5*quantity.Metre, fmt.Sprintf("webs_mm[%d]", i), w.String(), "must be more than 0 and at most 5000 mm")
	}
	if err := v.Err(); err != nil {
		return Paper{}, err
	}
	return p, nil
}

// NewFlute returns f, or all its violations. The take-up is from 1.05 to 1.80.
func NewFlute(f Flute) (Flute, error) {
	var v fault.Violations
	v.Require(f.Code != "", "flute", "", "must be named")
	number(&v, "take_up", f.TakeUp, 1.05, 1.8)
	number(&v, "flute_height_mm", f.Height.Millimetres(), 0.2, 10)
	number(&v, "flutes_per_m", f.PerMetre, 0, 1000)
	number(&v, "dry_starch_gsm_per_line", f.Starch.Gsm(), 0, 30)
	number(&v, "k_ect", f.KECT, 0, 2)
	number(&v, "facer_speed_m_min", f.FacerSpeed.MetresPerMinute(), 0, 600)
	if err := v.Err(); err != nil {
		return Flute{}, err
	}
	return f, nil
}

// NewGrade returns g, or all its violations: plies known to the catalogue,
// liners outside, and a medium between each two liners.
func NewGrade(g Grade, c Catalogue) (Grade, error) {
	var v fault.Violations
	v.Require(g.Code != "", "grade", "", "must be named")
	v.Require(g.Flute != "", "flute", "", "must be named: it picks the allowances")
	if n := len(g.Plies); n < 2 || n > 9 {
		v.Add("plies", fmt.Sprint(n), "must be from 2 to 9", "list them from the print side in")
	}
	for i, p := range g.Plies {
		at := fmt.Sprintf("plies[%d]", i)
		_, known := c.Papers[p.Paper]
		v.Require(known, at+".paper", string(p.Paper), "is not a paper of the plant")
		if p.Flute != "" {
			_, known = c.Flutes[p.Flute]
			v.Require(known, at+".flute", string(p.Flute), "is not a flute of the plant")
		}
		medium := i%2 == 1
		v.Require((p.Flute != "") == medium, at, string(p.Flute), "liner and medium must take turns, a liner first")
	}
	number(&v, "dry_adhesive_gsm", g.DryAdhesive.Gsm(), 0, 100)
	number(&v, "ect_stated_kn_m", g.StatedECT.KilonewtonsPerMetre(), 0, 100)
	number(&v, "k_ect", g.KECT, 0, 2)
	number(&v, "caliper_stated_mm", g.StatedCaliper.Millimetres(), 0, 30)
	number(&v, "ect_min_kn_m", g.ECTMin.KilonewtonsPerMetre(), 0, 100)
	number(&v, "caliper_min_mm", g.CaliperMin.Millimetres(), 0, 30)
	if err := v.Err(); err != nil {
		return Grade{}, err
	}
	return g, nil
}

// number requires low ≤ x ≤ high within the noise of a unit conversion; a NaN is refused.
func number(v *fault.Violations, field string, x, low, high float64) {
	const noise = 1e-9
	ok := x >= low*(1-noise) && x <= high*(1+noise)
	v.Require(ok, field, fmt.Sprintf("%.6g", x), fmt.Sprintf("must be from %g to %g", low, high))
}
