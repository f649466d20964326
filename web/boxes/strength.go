package boxes

import (
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/order"
)

// strength is what the item's box bears, with the band of the estimate.
type strength struct {
	ECT       quantity.LineLoad
	Stated    bool
	Caliper   quantity.Length
	BCT       quantity.Force
	Low, High quantity.Force
	Outside   []string // why the formula holds less well here
	Check     *board.StackCheck
	Factors   []factor
	Holds     int // boxes high
	Duty      *order.StackingDuty
}

type factor struct {
	Words string
	Keeps float64
}

// strengthOf estimates a box's compression strength; nil where its style or
// its board gives nothing to compute with.
func strengthOf(snap *desk.Snapshot, i order.Item, g board.Grade) *strength {
	if i.Style == "0110" || i.Style == "0501" || i.Inside.Length <= 0 || i.Inside.Width <= 0 {
		return nil
	}
	c := board.NewCatalogue(snap.Plant.Papers, snap.Plant.Flutes)
	ect, stated := g.ECT(c)
	caliper := g.Caliper(c)
	if ect <= 0 || caliper <= 0 {
		return nil
	}
	s := &strength{ECT: ect, Stated: stated, Caliper: caliper, Duty: i.Stacking}
	s.BCT = board.CompressionMcKee(ect, 2*(i.Inside.Length+i.Inside.Width), caliper)
	s.Low, s.High = board.Low(s.BCT), board.High(s.BCT)
	s.Outside = board.OutsideMcKeeRange(i.Inside.Length, i.Inside.Width, i.Inside.Height)
	if i.Stacking == nil {
		return s
	}
	d := board.Duty{
		GrossMass: i.Stacking.GrossMass, BoxesHigh: i.Stacking.BoxesHigh, ContentsShare: i.Stacking.ContentsCarryPct / 100,
		Conditions: board.Conditions{Days: i.Stacking.StorageDays, HumidityPct: i.Stacking.HumidityPct, Arrangement: i.Stacking.Arrangement},
	}
	check, err := board.CheckStack(d, s.BCT)
	if err != nil {
		return s // a duty that can't be judged is refused where it is typed; the strength stands alone
	}
	s.Check, s.Holds = &check, check.HighThatHolds(d)
	for name, keeps := range check.Multipliers {
		s.Factors = append(s.Factors, factor{name, keeps})
	}
	slices.SortFunc(s.Factors, func(a, b factor) int {
		if a.Words < b.Words {
			return -1
		}
		return 1
	})
	return s
}
