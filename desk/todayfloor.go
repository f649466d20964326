package desk

import (
	"fmt"
	"maps"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// runDone returns what the ledger says of a run of the plan.
func (l *looking) runDone(seq int) trace.Progress {
	return l.Floor.RunsDone[trace.Run{Plan: l.id, Run: seq}]
}

// lanes tells when the sheet floor is full, and which run to put off.
func (l *looking) lanes(f *SheetFloor) {
	if f == nil || f.Result.FullAt.IsZero() {
		return
	}
	m := Matter{Kind: "floor", ActBy: f.Result.FullAt, Breaks: true}
	m.Text = fmt.Sprintf("the sheet floor is full %s: %s would stand outside its lanes", l.words.clock(f.Result.FullAt, l.now), l.words.metres(f.Result.Outside))
	if d := f.Result.Defer; d != nil {
		m.ActBy = d.From
		m.Text += fmt.Sprintf("; put off run %d from %s to %s", d.Run, l.words.clock(d.From, l.now), l.words.clock(d.To, l.now))
		var all []ident.Release
		if l.plan != nil {
			for _, r := range l.plan.Runs {
				if r.Seq == d.Run {
					all = releasesOn(r)
				}
			}
		}
		m.Money = l.value(all)
		if d.Late {
			m.Text += ", which makes an order late all the same"
		}
	}
	l.find(m)
}

// held looks at releases, units and stacks that facts hold.
func (l *looking) held() {
	units := map[ident.Release][]ident.Unit{}
	reason := map[ident.Release]trace.Hold{}
	for u, h := range l.Holds.Units {
		of, err := l.unitOf(string(u))
		if err != nil {
			continue // a unit that this plant gave no number: nothing of the book hangs on it
		}
		units[of.Release] = append(units[of.Release], u)
		reason[of.Release] = h
	}
	for r, h := range l.Holds.Releases {
		l.holdMatter(r, fmt.Sprintf("%s is on hold as a whole since %s%s", l.called(r), l.words.clock(h.At, l.now), because(h.Reason)))
	}
	for r, list := range units {
		if _, whole := l.Holds.Releases[r]; !whole {
			h := reason[r]
			l.holdMatter(r, fmt.Sprintf("%s of %s %s on hold since %s%s", counted(len(list), "unit", "units"), l.called(r), areOrIs(len(list)), l.words.clock(h.At, l.now), because(h.Reason)))
		}
	}
	stacks := map[ident.Release]int{}
	for _, st := range l.Floor.Stacks {
		if st.Held {
			stacks[st.Release] += st.Sheets
		}
	}
	for r, n := range stacks {
		l.holdMatter(r, fmt.Sprintf("%s of %s stand on hold on the floor", counted(n, "sheet", "sheets"), l.called(r)))
	}
}

func areOrIs(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

func (l *looking) holdMatter(r ident.Release, text string) {
	line := l.lines[r]
	if line == nil || line.State == order.Closed {
		return
	}
	m := Matter{Kind: "hold", Release: r, Money: l.value([]ident.Release{r}), Breaks: true, Text: text}
	if t, ok := l.truckOf(r); ok {
		m.ActBy = t.Latest
		m.Text += fmt.Sprintf("; its truck %d leaves by %s", t.Number, l.words.clock(t.Latest, l.now))
	}
	l.find(m)
}

// machines looks at stops, planned and told.
func (l *looking) machines() {
	told := map[ident.Machine]bool{}
	for _, code := range slices.Sorted(maps.Keys(l.Floor.Stops)) {
		st := l.Floor.Stops[code]
		told[code] = true
		l.machineOut(plant.Stop{Machine: code, From: st.Since, Until: st.Until, Cause: st.Cause})
	}
	for _, st := range l.Plant.Stops {
		if st.Until.After(l.now) && st.From.Before(l.now.Add(dayAhead)) && !told[st.Machine] {
			l.machineOut(st)
		}
	}
}

// machineOut tells of a machine that stands, and what its jobs lose.
func (l *looking) machineOut(st plant.Stop) {
	m := Matter{Kind: "machine", Machine: st.Machine, ActBy: st.From, Breaks: true}
	text := fmt.Sprintf("%s is out %s to %s", st.Machine, l.words.clock(st.From, l.now), l.words.Time(st.Until.In(l.words.zone)))
	switch {
	case st.Until.IsZero():
		text = fmt.Sprintf("%s stands since %s, no end told", st.Machine, l.words.clock(st.From, l.now))
	case st.Until.Before(l.now):
		text = fmt.Sprintf("%s stands since %s and was to run again at %s", st.Machine, l.words.clock(st.From, l.now), l.words.clock(st.Until, l.now))
	}
	text += because(st.Cause)
	if l.plan == nil {
		m.Text = text
		l.find(m)
		return
	}
	end := st.Until
	if end.Before(l.now) {
		end = l.now
	}
	inside, next := l.jobsOn(st.Machine, st.From, end)
	touched := releasesOf(inside)
	switch {
	case len(inside) > 0:
		text += fmt.Sprintf("; %s planned in that time: %s", counted(len(inside), "job is", "jobs are"), few(touched))
	case len(next) > 0:
		touched = releasesOf(next)
		text += fmt.Sprintf("; no job stands in that time, %s after it until %s, the first is %s at %s", counted(len(next), "job waits", "jobs wait"),
			l.words.clock(l.now.Add(dayAhead), l.now), next[0].Release, l.words.clock(next[0].Start, l.now))
	default:
		text += "; the plan gives it no job in the day ahead"
	}
	if !st.From.After(l.now) {
		m.ActBy = time.Time{}
		for _, j := range append(inside, next...) {
			if m.ActBy.IsZero() || j.LatestStart.Before(m.ActBy) {
				m.ActBy = j.LatestStart
			}
		}
	}
	m.Text, m.Money = text, l.value(touched)
	l.find(m)
}

// jobsOn returns a machine's jobs of the plan that are not done: those that
// overlap [from, until), and those after it in the day ahead.
func (l *looking) jobsOn(m ident.Machine, from, until time.Time) (inside, next []jobs.Job) {
	for _, j := range l.plan.Clock.Jobs {
		if j.Machine != m || !l.Floor.Jobs[trace.Job{Release: j.Release, Machine: m}].Ended.IsZero() {
			continue
		}
		switch {
		case j.Start.Before(until) && j.End.After(from):
			inside = append(inside, j)
		case !j.Start.Before(until) && j.Start.Before(l.now.Add(dayAhead)):
			next = append(next, j)
		}
	}
	return inside, next
}

func releasesOf(all []jobs.Job) []ident.Release {
	out := make([]ident.Release, 0, len(all))
	for _, j := range all {
		if !slices.Contains(out, j.Release) {
			out = append(out, j.Release)
		}
	}
	return out
}
