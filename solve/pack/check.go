package pack

import (
	"fmt"

	"github.com/flutewright/flutewright/base/fault"
)

// Check returns a fault.Infeasible error unless every place lies on the deck
// and no two overlap. It shares no code with the solver.
func Check(p Problem, places []Place) error {
	size := func(pl Place) (int64, int64) {
		if pl.Turned {
			return p.BoxY, p.BoxX
		}
		return p.BoxX, p.BoxY
	}
	for i, a := range places {
		aw, ah := size(a)
		if a.X < 0 || a.Y < 0 || a.X+aw > p.DeckX || a.Y+ah > p.DeckY {
			return fmt.Errorf("place %d leaves the deck: %w", i+1, fault.Infeasible)
		}
		for j, b := range places[:i] {
			bw, bh := size(b)
			if a.X < b.X+bw && b.X < a.X+aw && a.Y < b.Y+bh && b.Y < a.Y+ah {
				return fmt.Errorf("places %d and %d overlap: %w", j+1, i+1, fault.Infeasible)
			}
		}
	}
	return nil
}
