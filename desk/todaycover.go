package desk

import (
	"context"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/roll"
)

// PaperCover answers whether the runs ahead are covered by named, usable rolls.
type PaperCover struct {
	rolls.Cover
	Plan ident.Plan
	Caps []rolls.Cap // least board first: what each grade of these runs can be given at each web
	Out  []StockOut
}

// StockOut is a paper at a width of which no usable metre is in the house while a delivery is on its way.
type StockOut struct {
	Paper   ident.Paper
	Width   quantity.Length
	Until   time.Time
	Inbound string
	Brings  quantity.Distance
}

// PaperCover sets the runs of the plan in force that start before until against
// the rolls as they are now, ply by ply. The zero moment stands for the end of
// the shift that is on or begins next. fault.NotFound without a plan.
func (d *Desk) PaperCover(ctx context.Context, until time.Time) (PaperCover, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return PaperCover{}, err
	}
	p, head, err := d.Current(ctx)
	if err != nil {
		return PaperCover{}, err
	}
	now := d.Clock()
	if until.IsZero() {
		until = s.ShiftEnd(now)
	}
	out := PaperCover{Plan: head.ID, Cover: rolls.CoverUntil(p.Rolls, s.runTimes(p, head.ID, now), s.Rolls, now, until)}
	ahead := map[int]bool{}
	for _, n := range out.Plies {
		ahead[n.Run] = true
	}
	out.Caps = s.caps(p, func(r runs.Run) bool { return ahead[r.Seq] })
	free := map[roll.PaperWeb]bool{}
	for _, r := range s.Rolls {
		if !r.Hold && r.Length > 0 {
			free[roll.PaperWeb{Paper: r.Paper, Web: r.Width}] = true
		}
	}
	for _, in := range s.Inbound {
		if k := (roll.PaperWeb{Paper: in.Paper, Web: in.Width}); !free[k] && in.ETA.After(now) {
			out.Out = append(out.Out, StockOut{in.Paper, in.Width, in.ETA, in.ID, in.Metres()})
			free[k] = true
		}
	}
	return out, nil
}

// ShiftEnd is when the shift that is on ends, or the next one where it is in
// its last hour or none is on; a day from now where the calendar knows none.
func (s *Snapshot) ShiftEnd(now time.Time) time.Time {
	for _, t := range s.turns(now, now.Add(10*dayAhead)) {
		if t.Until.After(now.Add(time.Hour)) {
			return t.Until
		}
	}
	return now.Add(dayAhead)
}
