package calendar

import (
	"slices"
	"time"
)

const (
	day       = int64(24 * time.Hour)
	firstStep = 28 * day
)

// extendForward doubles the known range after the anchor; false at the end of reach.
func (m *Manned) extendForward() bool {
	known := m.until - m.anchor
	if !m.Ever() || known >= int64(reach) {
		return false
	}
	m.rebuild(m.from, m.anchor+min(max(2*known, firstStep), int64(reach)))
	return true
}

// extendBackward doubles the known range before the anchor; false at the end of reach.
func (m *Manned) extendBackward() bool {
	known := m.anchor - m.from
	if !m.Ever() || known >= int64(reach) {
		return false
	}
	m.rebuild(m.anchor-min(max(2*known, firstStep), int64(reach)), m.until)
	return true
}

// rebuild works out the windows in [from, until). A shift belongs to the day it
// starts on, so the days looked at begin two before from.
func (m *Manned) rebuild(from, until int64) {
	m.from, m.until = from, until
	var spans []window
	y, mon, d := time.Unix(0, from).In(m.clock.zone).AddDate(0, 0, -2).Date()
	for {
		// Noon exists once on every date of every zone, whatever the clocks do at night.
		noon := time.Date(y, mon, d, 12, 0, 0, 0, m.clock.zone)
		if noon.UnixNano() > until+day {
			break
		}
		if m.clock.IsWorkingDay(noon) {
			for _, s := range m.shifts {
				a, b := m.clock.span(s, y, mon, d)
				a, b = max(a, from), min(b, until)
				if a < b {
					spans = append(spans, window{a, b})
				}
			}
		}
		y, mon, d = noon.AddDate(0, 0, 1).Date()
	}
	for _, w := range m.extra {
		if a, b := max(w.from, from), min(w.until, until); a < b {
			spans = append(spans, window{a, b})
		}
	}
	m.windows = without(union(spans), m.stops)
	m.count()
}

func (m *Manned) count() {
	m.before = make([]int64, len(m.windows))
	var sum int64
	for i, w := range m.windows {
		m.before[i] = sum
		sum += w.until - w.from
	}
}

// With returns the manned time of the same resource with extra time beside what
// it has: what WindowsWith would give, without working out its shifts anew.
// Spans that end before they begin add nothing.
func (m *Manned) With(extra []Span) *Manned {
	out := *m
	added := make([]window, 0, len(extra))
	for _, s := range extra {
		added = append(added, window{nanoseconds(s.From), nanoseconds(s.Until)})
	}
	added = union(added)
	out.extra = union(append(slices.Clone(m.extra), added...))
	var near []window
	for _, w := range without(added, m.stops) {
		if a, b := max(w.from, m.from), min(w.until, m.until); a < b {
			near = append(near, window{a, b})
		}
	}
	out.windows = union(append(near, m.windows...))
	out.count()
	return &out
}

// union sorts spans and merges those that overlap or touch.
func union(spans []window) []window {
	slices.SortFunc(spans, func(a, b window) int {
		if a.from != b.from {
			if a.from < b.from {
				return -1
			}
			return 1
		}
		return 0
	})
	var out []window
	for _, w := range spans {
		if w.until <= w.from {
			continue
		}
		if n := len(out); n > 0 && w.from <= out[n-1].until {
			out[n-1].until = max(out[n-1].until, w.until)
			continue
		}
		out = append(out, w)
	}
	return out
}

// without cuts stops out of spans; both are sorted and disjoint.
func without(spans, stops []window) []window {
	var out []window
	next := 0
	for _, w := range spans {
		for next < len(stops) && stops[next].until <= w.from {
			next++
		}
		at := w.from
		for i := next; i < len(stops) && stops[i].from < w.until; i++ {
			if stops[i].from > at {
				out = append(out, window{at, stops[i].from})
			}
			at = max(at, stops[i].until)
		}
		if at < w.until {
			out = append(out, window{at, w.until})
		}
	}
	return out
}
