package jobs

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/order"
)

// answer writes jobs, finishes and costs.
func (f *floor) answer(a *Answer, batches [][]batch) {
	f.wear()
	last := map[int]*task{}
	waits := map[*task]string{}
	crewing := slices.Clone(f.over)
	for _, q := range f.queues {
		crewing = append(crewing, q.crewing...)
	}
	for _, m := range crewing {
		a.Manning = append(a.Manning, m)
		a.Overtime += m.Cost
		a.Cost += m.Cost
	}
	for _, q := range f.queues {
		var before *task
		for k, t := range q.tasks {
			j := f.job(q, before, t)
			j.Seq = k + 1
			a.Jobs = append(a.Jobs, j)
			a.Cost += j.Cost
			waits[t], before = j.WaitsFor, t
			if t.next == nil {
				last[t.release] = t
			}
		}
	}
	slices.SortStableFunc(a.Manning, func(x, y Manning) int { return cmp.Or(cmp.Compare(x.Machine, y.Machine), x.From.Compare(y.From)) })
	refused := map[string]string{}
	for _, r := range a.Refused {
		refused[r.Release.String()] = r.Reason
	}
	for i, r := range f.Releases {
		fin := Finish{Release: r.Key, Due: r.Due, DueAt: string(r.DueAt), Overdue: r.Due.Before(f.Now)}
		l := f.latest(r)
		fin.LatestExit, fin.LatestPress = l.Exit, l.Press
		if r.DueAt == "" {
			fin.DueAt = string(order.AtDock)
		}
		switch t := last[i]; {
		case t != nil:
			fin.MadeAt, fin.WaitsFor = t.end, waits[t]
		case refused[r.Key.String()] != "":
			fin.WaitsFor = "a machine: " + refused[r.Key.String()]
		default:
			fin.MadeAt, fin.WaitsFor = f.unconverted(r, batches[i])
		}
		f.deliver(r, &fin)
		if last[i] == nil {
			f.padsLate += fin.LateCost
		}
		a.LateCost += fin.LateCost
		a.Finishes = append(a.Finishes, fin)
	}
}

// unconverted is when a release without jobs is made: its sheets are the
// product, or nothing is left to make, or there are no sheets for it.
func (f *floor) unconverted(r Release, bs []batch) (made time.Time, waits string) {
	switch {
	case r.Pieces <= 0:
		return f.Now.In(f.clock.Zone()), ""
	case supply(r, bs) <= 0:
		return time.Time{}, "sheets: no run makes any"
	}
	made = enough(r, bs, convert.SheetsWanted(r.Pieces, r.PiecesPerSheet, nil, 0), func(b batch) time.Time { return b.end })
	if made.IsZero() {
		return f.Now.In(f.clock.Zone()), ""
	}
	return made, "corrugator"
}

// deliver goes on from MadeAt to the dock and sets that against the due time.
func (f *floor) deliver(r Release, fin *Finish) {
	if fin.MadeAt.IsZero() {
		return
	}
	fin.AtGate = fin.MadeAt.Add(f.afterPress())
	fin.AtDock = fin.AtGate.Add(f.onRoad(r))
	there := fin.AtDock
	if r.DueAt == order.AtGate {
		there = fin.AtGate
	}
	fin.Float = quantity.InMinutes(r.Due.Sub(there))
	fin.Late = max(0, -fin.Float)
	fin.LateCost = f.lateCost(r, fin.MadeAt)
}

func (f *floor) job(q *queue, before, t *task) Job {
	r, c := f.Releases[t.release], t.choice()
	j := Job{
		Release: r.Key, Step: t.step + 1, Machine: q.Code, Sheets: c.fed, Pieces: c.good, SetUp: c.setUp, Run: c.run,
		SheetsAt: c.ready, Start: t.start, End: t.end, Turn: convert.Turn(q.Machine, f.Corrugator.PrintLinerDown, t.spec.Colours),
		Cost: machineCost(q.Machine, c.setUp, c.run), Why: f.why(r, t),
		Begun: t.begun, Frozen: t.frozen, Warning: t.warning, Overtime: quantity.InMinutes(q.within(t.start, t.end)),
	}
	if t.before != nil {
		j.SheetsAt = t.before.end
	}
	if j.SheetsAt.IsZero() {
		j.SheetsAt = f.Now.In(f.clock.Zone())
	}
	if start, ok := q.manned.SubWorking(t.made, wholeSeconds(q.setUp(nil, t))+wholeSeconds(c.run)); ok {
		j.LatestStart = start
	}
	j.WaitsFor = f.waitsFor(before, t)
	return j
}

// waitsFor names what held the start back; "" when the job starts now.
func (f *floor) waitsFor(before, t *task) string {
	c, cause, at := t.choice(), "", f.Now
	later := func(when time.Time, what string) {
		if when.After(at) {
			at, cause = when, what
		}
	}
	later(c.ready, "sheets")
	if t.before != nil {
		later(t.before.end, fmt.Sprintf("step %d", t.step))
	}
	later(c.tool, c.toolName)
	if t.after != nil {
		later(t.after.end, "the tool, on "+string(f.press[t.after.choice().press].Code)+" for "+f.Releases[t.after.release].Key.String())
	}
	if before != nil {
		later(before.end, "machine, busy with "+f.Releases[before.release].Key.String())
	}
	switch {
	case t.start.After(at) && cause == "":
		return f.absent(t, at)
	case t.start.After(at):
		return cause + ", then " + f.absent(t, at)
	}
	return cause
}

// absent says why the machine is not manned at a moment: a stop, or no crew.
func (f *floor) absent(t *task, at time.Time) string {
	code := f.press[t.choice().press].Code
	for _, s := range f.Stops {
		if s.Machine == code && !at.Before(s.From) && at.Before(s.Until) {
			return fmt.Sprintf("%s, which stands: %s", code, cmp.Or(s.Cause, "no cause stated"))
		}
	}
	return "crew"
}

// why says why the task stands on its machine.
func (f *floor) why(r Release, t *task) string {
	switch {
	case t.begun:
		return "in progress"
	case t.frozen:
		return "frozen: as the plan in force has it"
	}
	if len(r.Route) > 0 {
		return "agreed route"
	}
	if len(t.choices) == 1 {
		return "the only manned machine that can make it"
	}
	c := t.choice()
	least := c
	for i := range t.choices {
		if t.choices[i].cost < least.cost {
			least = &t.choices[i]
		}
	}
	if least == c {
		return fmt.Sprintf("cheapest of %d machines", len(t.choices))
	}
	return fmt.Sprintf("%s by itself is cheaper by %.0f; its queue makes it dearer", f.press[least.press].Code, float64(c.cost-least.cost))
}
