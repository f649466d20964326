package plan

import (
	"fmt"
	"math"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/corrugator"
)

// strength is the stacking check of a release whose item states a duty; nil
// where there is none, or where the style has no perimeter to compute with.
func strength(ix *index, w *want) *Strength {
	duty := w.item.Stacking
	if duty == nil || w.blank == nil || w.item.Style == "0110" || w.item.Style == "0501" {
		return nil
	}
	d := board.Duty{
		GrossMass: duty.GrossMass, BoxesHigh: duty.BoxesHigh, ContentsShare: duty.ContentsCarryPct / 100,
		Conditions: board.Conditions{Days: duty.StorageDays, HumidityPct: duty.HumidityPct, Arrangement: duty.Arrangement},
	}
	check, ok := stack(ix, w, w.grade, d)
	if !ok {
		return nil
	}
	s := &Strength{BCT: check.BCT, Allowed: check.Allowed, Load: check.Load, Verdict: string(check.Verdict)}
	if check.Verdict != board.Holds {
		s.Advice = advice(ix, w, d, check)
	}
	return s
}

func stack(ix *index, w *want, g board.Grade, d board.Duty) (board.StackCheck, bool) {
	ect, _ := g.ECT(ix.catalogue)
	if ect <= 0 {
		return board.StackCheck{}, false
	}
	c, err := board.CheckStack(d, board.CompressionMcKee(ect, w.item.Inside.Perimeter(), g.Caliper(ix.catalogue)))
	return c, err == nil
}

// advice names the cheapest grade that bears the load, or how high it may be stacked.
func advice(ix *index, w *want, d board.Duty, c board.StackCheck) string {
	best, found, err := board.Cheapest(ix.book.Plant.Grades, ix.catalogue, d, w.item.Inside.Perimeter(), false)
	high := fmt.Sprintf("%d high holds on %s", c.HighThatHolds(d), w.Grade)
	if err != nil || !found {
		return high + "; no grade of the plant bears it at " + fmt.Sprint(d.BoxesHigh)
	}
	per1000 := 1000 * float64(best.Grade.PaperPrice(ix.catalogue)-w.grade.PaperPrice(ix.catalogue)) * float64(w.Sheet.Area()) / float64(w.PerSheet)
	if per1000 <= 0 {
		return fmt.Sprintf("%s bears it at no dearer paper; or %s", best.Grade.Code, high)
	}
	return fmt.Sprintf("%s bears it for %.0f more a thousand boxes in paper; or %s; ask the customer, and test boxes", best.Grade.Code, math.Ceil(per1000), high)
}

// boardOf is a grade as the corrugator and the clock see it.
func boardOf(ix *index, g board.Grade, adhesive string) corrugator.Board {
	return corrugator.Board{
		Flute: g.Flute, Walls: g.Walls(), White: g.Surface == "white",
		Grammage: g.BoardGrammage(ix.catalogue), Adhesive: adhesive,
	}
}

func boards(ix *index) map[ident.Grade]corrugator.Board {
	out := map[ident.Grade]corrugator.Board{}
	for _, g := range ix.book.Plant.Grades {
		out[g.Code] = boardOf(ix, g, "")
	}
	return out
}

// paperMass is the mass of the paper that all runs draw, change losses aside.
func paperMass(ix *index, p *Plan) quantity.Mass {
	var sum quantity.Mass
	for _, r := range p.Runs {
		g := ix.grades[r.Grade]
		sum += quantity.Mass(float64(g.PaperGrammage(ix.catalogue)) * r.Web.Metres() * r.Length.Metres())
	}
	return sum
}
