package plan

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/trace"
)

// untold is how long a stop whose end nobody has told is counted from now on
// (common practice, no published source); its notice asks for the hour.
const untold = 4 * time.Hour

// stops are the stated stops and, by the facts, those that last now.
func stops(b plant.Book, now time.Time) []plant.Stop {
	out := slices.Clone(b.Plant.Stops)
	for _, code := range stoppedNow(b) {
		s := b.Floor.Stops[code]
		cause := cmp.Or(s.Cause, "stopped")
		switch {
		case s.Until.IsZero():
			out = append(out, plant.Stop{Machine: code, From: s.Since, Until: now.Add(untold), Cause: cause + ", end not told"})
		case s.Until.After(s.Since):
			out = append(out, plant.Stop{Machine: code, From: s.Since, Until: s.Until, Cause: cause})
		}
	}
	return out
}

// stoppedNow names the machines that stand still by the facts.
func stoppedNow(b plant.Book) []ident.Machine { return slices.Sorted(maps.Keys(b.Floor.Stops)) }

// stopSpans are the stops of one machine.
func stopSpans(b plant.Book, now time.Time, m ident.Machine) (out []calendar.Span) {
	for _, s := range stops(b, now) {
		if s.Machine == m {
			out = append(out, calendar.Span{From: s.From, Until: s.Until})
		}
	}
	return out
}

// jobsOn are the jobs in progress by the facts.
func jobsOn(b plant.Book) map[ident.Machine]trace.JobState { return b.Floor.JobsOn }

// stopNotices ask for the end of a stop that nobody has told.
func (m *maker) stopNotices(p *Plan) {
	for _, code := range stoppedNow(m.ix.book) {
		if s := m.ix.book.Floor.Stops[code]; s.Until.IsZero() {
			p.Notices = append(p.Notices, Notice{Kind: "stop", ActBy: m.opt.Now.Add(untold), Text: fmt.Sprintf(
				"%s stands since %s (%s) and nobody has told until when: planned as if it ran again at %s",
				code, m.clockTime(s.Since), cmp.Or(s.Cause, "no cause told"), m.clockTime(m.opt.Now.Add(untold)))})
		}
	}
}

// freezeNotices say who broke a freeze, and which frozen runs could not stay.
func (m *maker) freezeNotices(p *Plan) {
	if f := m.opt.Front; len(f.Broken) > 0 {
		p.Notices = append(p.Notices, Notice{Kind: "freeze", Text: fmt.Sprintf("%s broke the freeze of %s", f.By, strings.Join(f.Broken, ", "))})
	}
	for _, what := range m.thawed {
		p.Notices = append(p.Notices, Notice{Kind: "freeze", Text: "a frozen run is not kept: " + what})
	}
}

// crewNotices say what overtime the plan works and which job takes a tool past its limit.
func (m *maker) crewNotices(p *Plan) {
	for _, w := range p.Clock.Manning {
		if w.Overtime {
			p.Notices = append(p.Notices, Notice{Kind: "crew", ActBy: w.From, Text: fmt.Sprintf(
				"%s: the %s crew works over from %s to %s, which costs less than what would be late without",
				w.Machine, w.Shift, m.clockTime(w.From), m.clockTime(w.Until))})
		}
	}
}
