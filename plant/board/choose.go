package board

import "github.com/flutewright/flutewright/base/quantity"

// WasteCredit returns what the waste of a square metre of board brings, at a
// price per tonne of waste paper.
func (g Grade) WasteCredit(c Catalogue, perTonne quantity.Money) quantity.Money {
	return quantity.Money(float64(g.BoardGrammage(c))/1000) * perTonne
}

// Choice is a grade with its stacking check.
type Choice struct {
	Grade Grade      `json:"grade"`
	Check StackCheck `json:"check"`
}

// Cheapest returns the grade of the list with the least paper price that
// carries the duty on a box of the perimeter; of equal prices the first.
// Certain asks that it holds even at the low end of the error band, otherwise
// the estimate itself is enough. Ok is false where no grade does.
func Cheapest(grades []Grade, c Catalogue, d Duty, perimeter quantity.Length, certain bool) (best Choice, ok bool, err error) {
	for _, g := range grades {
		ect, _ := g.ECT(c)
		if ect <= 0 {
			continue
		}
		check, err := CheckStack(d, CompressionMcKee(ect, perimeter, g.Caliper(c)))
		if err != nil {
			return Choice{}, false, err
		}
		if check.Load > check.Allowed || certain && check.Verdict != Holds {
			continue
		}
		if !ok || g.PaperPrice(c) < best.Grade.PaperPrice(c) {
			best, ok = Choice{g, check}, true
		}
	}
	return best, ok, nil
}

// SafetyFactor returns how many times the load the new box must stand, 1/Π of the multipliers.
func SafetyFactor(m map[string]float64) float64 { return 1 / Product(m) }
