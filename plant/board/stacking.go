package board

import (
	"fmt"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
)

// Conditions are what a stack goes through. A zero field means "left out": no loss.
type Conditions struct {
	Days        float64 `json:"days,omitempty"`         // under load
	HumidityPct float64 `json:"humidity_pct,omitempty"` // relative
	Arrangement string  `json:"arrangement,omitempty"`  // column, misaligned, interlocked
	Overhang    bool    `json:"overhang,omitempty"`
	DeckGap     bool    `json:"deck_gap,omitempty"`
	Handling    bool    `json:"handling,omitempty"`
}

type point struct{ at, keeps float64 }

// Retained shares of strength. Source: Fibre Box Association, Fibre Box
// Handbook, "compression loss" table; time, humidity and aligned column as
// reprinted on a trade page, the other rows from memory (middle of the range).
var (
	keptByDays     = []point{{0, 1}, {10, .63}, {30, .60}, {90, .55}, {180, .50}}
	keptByHumidity = []point{{50, 1}, {60, .90}, {70, .80}, {80, .68}, {90, .48}, {100, .15}}
	keptByStack    = map[string]float64{"": 1, "column": 1, "misaligned": .875, "column misaligned": .875, "interlocked": .50}
)

const (
	keptByOverhang = .70  // 20–40 % lost
	keptByDeckGap  = .825 // 10–25 % lost
	keptByHandling = .75  // 10–40 % lost
)

// Arrangements lists the known arrangements.
func Arrangements() []string { return []string{"column", "misaligned", "interlocked"} }

// Multipliers returns the retained shares by name; their product is the share
// of the short-time strength that a stack may use. Between the table's points
// it is linear; beyond the last day the last value holds, below 50 % humidity
// nothing is lost. It returns fault.Violations for values that cannot be.
func Multipliers(c Conditions) (map[string]float64, error) {
	var v fault.Violations
	v.Require(c.Days >= 0 && c.Days <= 3650, "days", fmt.Sprint(c.Days), "must be from 0 to 3650")
	v.Require(c.HumidityPct >= 0 && c.HumidityPct <= 100, "humidity_pct", fmt.Sprint(c.HumidityPct), "must be from 0 to 100")
	stack, known := keptByStack[c.Arrangement]
	v.Require(known, "stack", c.Arrangement, "must be one of "+strings.Join(Arrangements(), ", "))
	if err := v.Err(); err != nil {
		return nil, err
	}
	m := map[string]float64{}
	if c.Days > 0 {
		m["days"] = between(keptByDays, c.Days)
	}
	if c.HumidityPct > 0 {
		m["humidity"] = between(keptByHumidity, c.HumidityPct)
	}
	if c.Arrangement != "" {
		m["stack"] = stack
	}
	for name, f := range map[string]struct {
		on    bool
		keeps float64
	}{"overhang": {c.Overhang, keptByOverhang}, "deck_gap": {c.DeckGap, keptByDeckGap}, "handling": {c.Handling, keptByHandling}} {
		if f.on {
			m[name] = f.keeps
		}
	}
	return m, nil
}

// Product multiplies the retained shares, in the order of their names so that the last digit is always the same.
func Product(m map[string]float64) float64 {
	names := make([]string, 0, len(m))
	for n := range m {
		names = append(names, n)
	}
	slices.Sort(names)
	p := 1.0
	for _, n := range names {
		p *= m[n]
	}
	return p
}

func between(table []point, x float64) float64 {
	if x <= table[0].at {
		return table[0].keeps
	}
	for i := 1; i < len(table); i++ {
		a, b := table[i-1], table[i]
		if x <= b.at {
			return a.keeps + (b.keeps-a.keeps)*(x-a.at)/(b.at-a.at)
		}
	}
	return table[len(table)-1].keeps
}

// Gravity in m/s², standard (ISO 80000-3).
const Gravity = 9.80665

// Duty is what the lowest box of a stack must stand.
type Duty struct {
	GrossMass     quantity.Mass // one filled box
	BoxesHigh     int
	ContentsShare float64 // share of the load that the contents bear, 0 to 1
	Conditions
}

// Load returns the force on the lowest box, F = m · g · (n − 1) · (1 − contents share).
func (d Duty) Load() quantity.Force {
	return quantity.Force(float64(d.GrossMass) * Gravity * float64(max(d.BoxesHigh-1, 0)) * (1 - d.ContentsShare))
}

// Verdict of a stacking check.
type Verdict string

const (
	Holds Verdict = "holds" // even at the low end of the band
	Close Verdict = "close" // the estimate's error decides: test a box
	Fails Verdict = "fails" // not even at the high end of the band
)

// StackCheck is the answer of CheckStack.
type StackCheck struct {
	BCT         quantity.Force     `json:"bct_n"`
	Multipliers map[string]float64 `json:"multipliers"`
	Allowed     quantity.Force     `json:"allowed_load_n"`
	Load        quantity.Force     `json:"load_n"`
	Verdict     Verdict            `json:"verdict"`
}

// CheckStack sets what a box of strength bct may bear under the duty against
// the load. Allowed = BCT · Π multipliers; the verdict is Fails when the load
// is above Allowed by more than the error band, Holds when it is below by more
// than the band, and Close between: there the model cannot tell.
func CheckStack(d Duty, bct quantity.Force) (StackCheck, error) {
	m, err := Multipliers(d.Conditions)
	if err != nil {
		return StackCheck{}, err
	}
	c := StackCheck{BCT: bct, Multipliers: m, Allowed: bct * quantity.Force(Product(m)), Load: d.Load()}
	switch {
	case c.Load > High(c.Allowed):
		c.Verdict = Fails
	case c.Load > Low(c.Allowed):
		c.Verdict = Close
	default:
		c.Verdict = Holds
	}
	return c, nil
}

// HighThatHolds returns the greatest number of boxes high whose load is not
// above what is allowed; at least 1.
func (c StackCheck) HighThatHolds(d Duty) int {
	per := float64(d.GrossMass) * Gravity * (1 - d.ContentsShare)
	if per <= 0 {
		return d.BoxesHigh
	}
	return 1 + int(float64(c.Allowed)/per)
}
