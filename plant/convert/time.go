package convert

import (
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
)

// SetUpMinutes is the time from the last good piece of the job before to the
// first of this one:
//
//	base + colours · per colour
//	     + slot shift   when the sheet's size or scores differ from the job before
//	     + flute change when the flute differs
//	     + die change   when the die differs
//
// before nil leaves the last three out: the set-up on a machine that stands as
// this box wants it. Composition: common practice, no published source.
func SetUpMinutes(m Machine, s Spec, before *Spec) quantity.Minutes {
	t := m.SetUp.Base + quantity.Minutes(min(s.Colours, m.MaxColours))*m.SetUp.PerColour
	if before == nil {
		return t
	}
	if before.Sheet.Chop != s.Sheet.Chop || before.Sheet.Slit != s.Sheet.Slit || !slices.Equal(before.Sheet.Scores, s.Sheet.Scores) {
		t += m.SetUp.SlotShift
	}
	if before.Flute != s.Flute {
		t += m.SetUp.FluteChange
	}
	if before.Die != s.Die {
		t += m.SetUp.DieChange
	}
	return t
}

// RunMinutes is the time to feed so many sheets at the planned net speed; 0 when no speed is stated.
func RunMinutes(m Machine, fed int) quantity.Minutes {
	if m.PlanSpeed <= 0 {
		return 0
	}
	return quantity.Minutes(float64(fed) / m.PlanSpeed * 60)
}

// Cost is (set-up + run)·€/h + waste sheets·€ a sheet.
func Cost(m Machine, setUp, run quantity.Minutes, wasteSheets float64, perSheet quantity.Money) quantity.Money {
	return quantity.Money(float64(setUp+run)/60)*m.CostPerHour + quantity.Money(wasteSheets)*perSheet
}
