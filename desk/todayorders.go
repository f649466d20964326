package desk

import (
	"fmt"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/trucks"
	"github.com/flutewright/flutewright/plant/order"
)

// tight is the float under which an order counts as a promise at risk: loading
// and road scatter by as much (common practice, no published source).
const tight = 2 * time.Hour

// orders looks at each open order: late, without a plan, new, or with little float.
func (l *looking) orders() {
	var fresh []ident.Release
	for i := range l.Lines {
		line := &l.Lines[i]
		if line.State != order.Open || line.Kind == order.Blanket || l.Done[line.Key].Shipped >= line.Least() {
			continue
		}
		f := l.ends[line.Key]
		isNew := l.came(line).After(l.since)
		switch {
		case f == nil || f.MadeAt.IsZero():
			l.unplanned(line, isNew)
		case f.Late > 0:
			l.late(line, f)
		case isNew && (line.Due.Before(l.now.Add(2*dayAhead)) || f.LatestExit.Before(l.now.Add(dayAhead))):
			l.rush(line, f)
		case f.Float.Duration() < tight && f.AtDock.After(l.now):
			l.find(Matter{
				Kind: "promise", Release: line.Key, Money: l.value([]ident.Release{line.Key}), ActBy: f.LatestExit, Breaks: f.LatestExit.Before(l.now.Add(dayAhead)),
				Text: fmt.Sprintf("%s has %s of float: off the corrugator by %s or it is late", l.called(line.Key), span(f.Float.Duration()), l.words.clock(f.LatestExit, l.now)),
			})
		case isNew:
			fresh = append(fresh, line.Key)
		}
	}
	if len(fresh) > 0 {
		l.find(Matter{
			Kind: "new", Money: l.value(fresh),
			Text: fmt.Sprintf("%s came in since %s and stand in the plan in time: %s", counted(len(fresh), "order", "orders"), l.words.clock(l.since, l.now), few(fresh)),
		})
	}
}

// came is when a line came in; zero where it was changed since: then it is not new.
func (l *looking) came(line *order.Line) time.Time {
	key := line.Key.String()
	if l.Version(KindLine, key) != 1 {
		return time.Time{}
	}
	return l.Changed(KindLine, key)
}

func (l *looking) late(line *order.Line, f *jobs.Finish) {
	text := fmt.Sprintf("%s will be %s late, due %s", l.called(line.Key), span(f.Late.Duration()), l.words.clock(f.Due, l.now))
	if f.Overdue {
		text = fmt.Sprintf("%s was overdue when planned and will be %s late", l.called(line.Key), span(f.Late.Duration()))
	}
	if f.WaitsFor != "" {
		text += "; it waits for " + f.WaitsFor
	}
	if f.LateCost > 0 {
		text += "; lateness costs " + l.words.money(f.LateCost)
	}
	l.find(Matter{Kind: "late", Release: line.Key, Text: text, Money: l.value([]ident.Release{line.Key}), ActBy: f.LatestExit, Breaks: true})
}

func (l *looking) unplanned(line *order.Line, isNew bool) {
	if l.plan == nil || l.Done[line.Key].Finished() >= line.Least() {
		return
	}
	text := l.called(line.Key) + " stands in no plan"
	if isNew {
		text += fmt.Sprintf("; it came in %s", l.words.clock(l.came(line), l.now))
	}
	for _, u := range l.plan.Unplanned {
		if u.Order == line.Key.String() {
			text = fmt.Sprintf("%s cannot be planned: %s", l.called(line.Key), u.Reason)
		}
	}
	for _, r := range l.plan.Clock.Refused {
		if r.Release == line.Key {
			text = fmt.Sprintf("%s goes through no machine: %s", l.called(line.Key), r.Reason)
		}
	}
	l.find(Matter{
		Kind: "unplanned", Release: line.Key, Money: l.value([]ident.Release{line.Key}), ActBy: line.Due, Breaks: true,
		Text: fmt.Sprintf("%s; %s due %s", text, counted(line.Quantity, "box", "boxes"), l.words.clock(line.Due, l.now)),
	})
}

// rush tells of an order that came in since the last shift and is due soon.
func (l *looking) rush(line *order.Line, f *jobs.Finish) {
	where := "due at the dock " + l.words.clock(f.Due, l.now)
	if f.DueAt == string(order.AtGate) {
		where = "due at the gate " + l.words.clock(f.Due, l.now)
	}
	text := fmt.Sprintf("%s is new since %s: %s %s; off the corrugator by %s or it is late", l.called(line.Key), l.words.clock(l.came(line), l.now),
		counted(line.Quantity, "box", "boxes"), where, l.words.clock(f.LatestExit, l.now))
	if on := l.onRuns[line.Key]; len(on) > 0 {
		last := slices.MaxFunc(on, func(a, b int) int { return l.times[a].End.Compare(l.times[b].End) })
		text += fmt.Sprintf("; run %d has it off %s", last, l.words.clock(l.times[last].End, l.now))
	}
	l.find(Matter{Kind: "new", Release: line.Key, Text: text, Money: l.value([]ident.Release{line.Key}), ActBy: f.LatestExit, Breaks: true})
}

// counts tells of the orders that are foretold to end short, and of those that may.
func (l *looking) counts(shorts []Short) {
	for _, v := range shorts {
		key, least := v.Line.Key, l.words.Count(v.Least)
		m := Matter{Kind: "short", Release: key, Money: v.Value, ActBy: v.DecideBy, Breaks: v.Missing > 0}
		switch {
		case v.Missing == 0:
			m.Text = fmt.Sprintf("%s may end at %s, %d short of the %s that must be sent, if its waste stays at the worst it can be", l.called(key), l.words.Count(v.Worst), v.Least-v.Worst, least)
		case v.On == "" && v.Foretold.Left == 0:
			m.Text = fmt.Sprintf("%s ended at %s good, %d short of the %s that must be sent", l.called(key), l.words.Count(v.Have), v.Missing, least)
		default:
			m.Text = fmt.Sprintf("%s has %s good and will end at about %s, %d short of the %s that must be sent", l.called(key), l.words.Count(v.Have), l.words.Count(v.Expect), v.Missing, least)
		}
		l.find(m)
	}
}

// truckOf returns the truck of the plan that takes a release first.
func (l *looking) truckOf(r ident.Release) (trucks.Truck, bool) {
	if l.plan == nil {
		return trucks.Truck{}, false
	}
	i := slices.IndexFunc(l.plan.Trucks.Trucks, func(t trucks.Truck) bool {
		return slices.ContainsFunc(t.Parts, func(p trucks.Part) bool { return p.Release == r })
	})
	if i < 0 {
		return trucks.Truck{}, false
	}
	return l.plan.Trucks.Trucks[i], true
}
