package desk

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/sheet"
)

// factsOfShift is more facts than a shift of a large plant tells (a thousand
// units and five hundred stacks a day, each with a few facts).
const factsOfShift = 100_000

// Handover returns what a shift hands to the next: the one that was on at the
// moment, or with the zero moment the latest that began half a shift ago or
// earlier. fault.NotFound where no shift was on.
func (d *Desk) Handover(ctx context.Context, at time.Time) (sheet.Handover, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return sheet.Handover{}, err
	}
	now := d.Clock()
	if at.IsZero() {
		at = s.lastShift(now)
	}
	turns := s.turns(at, at.Add(time.Second))
	if len(turns) == 0 {
		return sheet.Handover{}, fmt.Errorf("a shift at %s: %w", at.Format(time.RFC3339), fault.NotFound)
	}
	turn := turns[len(turns)-1]
	today, err := d.Today(ctx)
	if err != nil {
		return sheet.Handover{}, err
	}
	facts, err := d.Store.Facts(ctx, FactQuery{Since: turn.From, Limit: factsOfShift})
	if err != nil {
		return sheet.Handover{}, err
	}
	h := handing{Snapshot: s, plan: today.Plan, id: today.Head.ID, turn: turn, now: now, words: s.planWords()}
	for _, f := range trace.Standing(facts) {
		if f.At.Before(turn.Until) {
			h.facts = append(h.facts, f)
		}
	}
	out := sheet.Handover{Shift: turn.Shift, From: turn.From, Until: turn.Until, Now: now}
	out.Who, out.Made, out.Waste = h.who(), h.made(), h.waste()
	if out.Running, out.Waits, err = h.runs(ctx, d); err != nil {
		return sheet.Handover{}, err
	}
	for _, m := range today.Matters {
		if m.Kind == "hold" {
			out.Holds = append(out.Holds, m.Text)
		} else if m.Breaks {
			out.Questions = append(out.Questions, m.Text)
		}
	}
	return out, nil
}

// handing is one look at a shift.
type handing struct {
	*Snapshot
	plan  *plan.Plan // nil: none
	id    ident.Plan
	turn  calendar.Turn
	now   time.Time
	words planWords
	facts []trace.Fact // of the shift, standing
}

func (h *handing) who() []string {
	seen := map[string]bool{}
	for _, f := range h.facts {
		if f.Who != "" {
			seen[f.Who] = true
		}
	}
	return slices.Sorted(maps.Keys(seen))
}

// ends says whether a planned end falls into the shift.
func (h *handing) ends(t time.Time) bool { return t.After(h.turn.From) && !t.After(h.turn.Until) }

func (h *handing) made() []sheet.HandoverMade {
	corrugator := h.Plant.Corrugator.Code
	out := []sheet.HandoverMade{h.corrugator(corrugator)}
	for _, m := range h.Plant.Machines {
		v := sheet.HandoverMade{Machine: string(m.Code), Unit: "boxes"}
		planned, good := 0, 0
		if h.plan != nil {
			for _, j := range h.plan.Clock.Jobs {
				if j.Machine == m.Code && h.ends(j.End) {
					v.Of++
					planned += j.Pieces
				}
			}
		}
		for _, f := range h.facts {
			if f.Machine != m.Code {
				continue
			}
			switch f.Kind {
			case trace.JobEnded:
				v.Done++
				good += f.Good
			case trace.JobCounted:
				good += f.Good
			}
		}
		v.Planned, v.Made = h.words.Count(planned), h.words.Count(good)
		v.Stood, v.Why = h.stood(m.Code)
		out = append(out, v)
	}
	return out
}

// corrugator counts the metres of the runs that were to end and that ended.
func (h *handing) corrugator(code ident.Machine) sheet.HandoverMade {
	v := sheet.HandoverMade{Machine: string(code), Unit: h.words.RunUnit()}
	planned, made := quantity.Distance(0), quantity.Distance(0)
	if h.plan != nil {
		ended := map[int]bool{}
		for _, f := range h.facts {
			if f.Kind == trace.RunEnded && f.Plan == h.id {
				ended[f.Run] = true
			}
		}
		end := map[int]time.Time{}
		for _, t := range h.plan.Clock.Runs {
			end[t.Run] = t.End
		}
		for _, r := range h.plan.Runs {
			if h.ends(end[r.Seq]) {
				v.Of++
				planned += r.Length
			}
			if ended[r.Seq] {
				v.Done++
				made += r.Length
			}
		}
	}
	v.Planned, v.Made = h.words.Run(planned), h.words.Run(made)
	v.Stood, v.Why = h.stood(code)
	return v
}

// stood is how long a machine stood in the shift, as told, with the causes. A
// stop that was told before the shift counts from its begin.
func (h *handing) stood(m ident.Machine) (sum time.Duration, why []string) {
	since := time.Time{}
	until := h.turn.Until
	if h.now.Before(until) {
		until = h.now
	}
	cause := func(c string) {
		if c == "" {
			c = "no cause told"
		}
		if !slices.Contains(why, c) {
			why = append(why, c)
		}
	}
	st, standing := h.Floor.Stops[m]
	if standing && st.Since.Before(h.turn.From) {
		cause(st.Cause)
		return until.Sub(h.turn.From), why
	}
	for _, f := range h.facts {
		switch {
		case f.Machine != m:
		case f.Kind == trace.Stopped && since.IsZero():
			since = f.At
			cause(f.Reason)
		case f.Kind == trace.Running && !since.IsZero():
			sum += f.At.Sub(since)
			since = time.Time{}
		}
	}
	if !since.IsZero() {
		sum += until.Sub(since)
	}
	return max(0, sum), why
}

// waste sums what was told of waste by reason and place, the heaviest first.
func (h *handing) waste() []sheet.HandoverWaste {
	sums := map[[2]string]*sheet.HandoverWaste{}
	for _, f := range h.facts {
		place := cmp.Or(f.Place, string(f.Machine), "no place told")
		switch f.Kind {
		case trace.WasteBooked, trace.JobCounted, trace.JobEnded, trace.RunEnded:
		default:
			continue
		}
		if f.Waste == 0 && f.Mass == 0 {
			continue
		}
		k := [2]string{cmp.Or(f.Reason, "no reason told"), place}
		if sums[k] == nil {
			sums[k] = &sheet.HandoverWaste{Reason: k[0], Place: k[1]}
		}
		sums[k].Mass += f.Mass
		sums[k].Sheets += f.Waste
	}
	out := make([]sheet.HandoverWaste, 0, len(sums))
	for _, v := range sums {
		out = append(out, *v)
	}
	slices.SortFunc(out, func(a, b sheet.HandoverWaste) int {
		return cmp.Or(cmp.Compare(b.Mass, a.Mass), cmp.Compare(b.Sheets, a.Sheets), cmp.Compare(a.Reason, b.Reason), cmp.Compare(a.Place, b.Place))
	})
	return out
}

// runs says what is on the machines now, and what the next jobs wait for.
func (h *handing) runs(ctx context.Context, d *Desk) (running, waits []string, err error) {
	if on := h.Floor.RunOn; on != nil {
		running = append(running, fmt.Sprintf("%s: run %d of plan %d since %s", h.Plant.Corrugator.Code, on.Run, on.Plan, h.words.clock(h.Floor.RunSince, h.now)))
	}
	for _, m := range h.Plant.Machines {
		c, err := d.CrewMachine(ctx, m.Code)
		if errors.Is(err, fault.NotFound) {
			continue
		}
		if err != nil {
			return nil, nil, err
		}
		switch {
		case c.On != nil:
			running = append(running, fmt.Sprintf("%s: %s since %s, %s of %s good told", m.Code, c.On.Release, h.words.clock(h.Floor.JobsOn[m.Code].Since, h.now), h.words.Count(c.On.Good), h.words.Count(c.On.Pieces)))
		case c.Stopped != nil:
			running = append(running, fmt.Sprintf("%s stands since %s%s", m.Code, h.words.clock(c.Stopped.Since, h.now), because(c.Stopped.Cause)))
		}
		if len(c.Next) > 0 && len(c.Next[0].Missing) > 0 {
			waits = append(waits, fmt.Sprintf("%s: next is %s; %s", m.Code, c.Next[0].Release, c.Next[0].Missing[0].Words))
		}
	}
	return running, waits, nil
}
