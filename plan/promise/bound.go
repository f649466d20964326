package promise

import (
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/order"
)

// notBefore is a time that no plan can beat: the first paper, its metres at full
// speed on as many outs as fit, the cure, each step at its quickest machine
// without a set-up, at any hour; then the load and the road.
func (s *solver) notBefore() time.Time {
	at := s.Clock.Now
	r := s.ask()
	board := s.Clock.Boards[r.Grade]
	if s.known {
		at = s.firstExit()
		wait := s.Clock.Cure.SingleWall
		if board.Walls > 1 {
			wait = s.Clock.Cure.DoubleWall
		}
		if board.White {
			wait = max(wait, s.Clock.Cure.White)
		}
		if len(s.latest.Steps) > 0 && s.order.Grade == r.Grade && s.order.UpgradeBarred {
			at = at.Add(wait.Duration().Truncate(time.Second))
		}
	}
	if n := len(s.latest.Steps); n > 0 {
		fastest := 0.0
		for _, m := range s.Clock.Machines {
			fastest = max(fastest, m.PlanSpeed)
		}
		pieces := float64(r.Pieces) / float64(max(r.PiecesPerSheet, 1))
		if fastest > 0 {
			at = at.Add(time.Duration(pieces / fastest * float64(time.Hour)).Truncate(time.Second))
		}
	}
	at = at.Add((s.Clock.Dispatch.LoadForming + s.Clock.Dispatch.Loading).Duration().Truncate(time.Second))
	if r.DueAt != order.AtGate && s.Clock.Dispatch.RoadSpeed > 0 {
		at = at.Add(time.Duration(r.Road.Metres() / float64(s.Clock.Dispatch.RoadSpeed) * float64(time.Second)).Truncate(time.Second))
	}
	return at
}

// firstExit is before any corrugator could have made the sheets wanted at least.
func (s *solver) firstExit() time.Time {
	best := time.Time{}
	sheets := float64(s.order.Sheets) * (1 - s.order.UnderPct/100)
	for _, g := range s.grades() {
		webs := g.Webs
		if webs == nil {
			webs = s.Trim.Corrugator.Webs
		}
		for _, web := range webs {
			at := s.Clock.Now
			for _, ply := range g.Plies {
				i := slices.IndexFunc(s.Paper, func(a Arrival) bool { return a.Paper == ply.Paper && a.Web == web })
				if i >= 0 { // the first: they stand by time
					at = later(at, s.Paper[i].At)
				}
			}
			outs := max(s.mostOuts(web), 1)
			metres := quantity.FromMetres(sheets / float64(outs) * s.order.Chop.Metres())
			at = at.Add(s.Clock.Corrugator.Speed(s.Clock.Boards[g.Grade], quantity.FromMetres(1e6)).RunMinutes(metres).Duration().Truncate(time.Second))
			if best.IsZero() || at.Before(best) {
				best = at
			}
		}
	}
	return later(best, s.Clock.Now)
}
