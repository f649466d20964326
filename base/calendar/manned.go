package calendar

import (
	"fmt"
	"slices"
	"sort"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/fault"
)

// Span is a time in which a resource does not run, or does: From is in it, Until is not.
type Span struct {
	From  time.Time
	Until time.Time
}

// reach is how far from the anchor windows are sought before a resource counts as never manned.
const reach = 9 * 366 * 24 * time.Hour

// Manned is the manned time of one resource: the windows of its shifts on
// working days, neighbours merged, stops cut out. Windows are worked out as far
// as they are asked for; a Manned is therefore not for concurrent use.
type Manned struct {
	clock  *Clock
	shifts []shift
	stops  []window // sorted, disjoint
	extra  []window // overtime: manned beside the shifts; sorted, disjoint
	anchor int64    // ns since 1970

	from, until int64    // windows are complete in [from, until)
	windows     []window // sorted, disjoint, not touching
	before      []int64  // ns manned from `from` to the start of each window
}

type window struct{ from, until int64 }

// Windows returns the manned time of a resource that is crewed on the named
// shifts and does not run in stops. anchor is a moment near those that will be
// asked about; any moment within nine years of it may be. No shifts make a
// resource that is never manned. It returns fault.Violations for a shift that
// the calendar does not have and for a stop that ends before it begins.
func (k *Clock) Windows(anchor time.Time, shifts []string, stops []Span) (*Manned, error) {
	return k.WindowsWith(anchor, shifts, stops, nil)
}

// WindowsWith is Windows for a resource that is also crewed in extra, whatever
// the day: overtime. Stops are cut out of extra time too. It returns
// fault.Violations also for extra time that ends before it begins.
func (k *Clock) WindowsWith(anchor time.Time, shifts []string, stops, extra []Span) (*Manned, error) {
	var vs fault.Violations
	m := &Manned{clock: k, anchor: nanoseconds(anchor)}
	for i, name := range shifts {
		at := slices.IndexFunc(k.shifts, func(s shift) bool { return s.name == name })
		if at < 0 {
			vs.Add(fmt.Sprintf("shifts[%d]", i), name, "must be a shift of the calendar: "+k.shiftNames(), "")
			continue
		}
		m.shifts = append(m.shifts, k.shifts[at])
	}
	for i, s := range stops {
		vs.Require(!s.Until.Before(s.From), fmt.Sprintf("stops[%d]", i), s.From.In(k.zone).Format("2006-01-02 15:04"), "a stop must not end before it begins")
		m.stops = append(m.stops, window{nanoseconds(s.From), nanoseconds(s.Until)})
	}
	for i, s := range extra {
		vs.Require(!s.Until.Before(s.From), fmt.Sprintf("extra[%d]", i), s.From.In(k.zone).Format("2006-01-02 15:04"), "extra time must not end before it begins")
		m.extra = append(m.extra, window{nanoseconds(s.From), nanoseconds(s.Until)})
	}
	if err := vs.Err(); err != nil {
		return nil, err
	}
	m.stops, m.extra = union(m.stops), union(m.extra)
	m.from, m.until = m.anchor, m.anchor
	return m, nil
}

func (k *Clock) shiftNames() string {
	names := make([]string, len(k.shifts))
	for i, s := range k.shifts {
		names[i] = s.name
	}
	return strings.Join(names, ", ")
}

// Ever says whether the resource has a crew at all.
func (m *Manned) Ever() bool { return len(m.shifts)+len(m.extra) > 0 }

// Spans returns the manned time within [from, until), sorted, neighbours merged.
func (m *Manned) Spans(from, until time.Time) (out []Span) {
	x, y := nanoseconds(from), nanoseconds(until)
	for x < m.from && m.extendBackward() {
	}
	for y > m.until && m.extendForward() {
	}
	for i := sort.Search(len(m.windows), func(i int) bool { return m.windows[i].until > x }); i < len(m.windows) && m.windows[i].from < y; i++ {
		out = append(out, Span{m.moment(max(x, m.windows[i].from)), m.moment(min(y, m.windows[i].until))})
	}
	return out
}

// Next returns the first manned moment at or after t; false when there is none within reach.
func (m *Manned) Next(t time.Time) (time.Time, bool) {
	x := nanoseconds(t)
	i, ok := m.windowAfter(x)
	if !ok {
		return time.Time{}, false
	}
	return m.moment(max(x, m.windows[i].from)), true
}

// AddWorking returns the moment at which work of manned time is done when it
// starts at from or at the first manned moment after it. No work ends at that
// first manned moment. False when the crew never comes, or not within reach.
func (m *Manned) AddWorking(from time.Time, work time.Duration) (time.Time, bool) {
	x := nanoseconds(from)
	i, ok := m.windowAfter(x)
	if !ok {
		return time.Time{}, false
	}
	x = max(x, m.windows[i].from)
	if x+int64(work) <= m.windows[i].until {
		return m.moment(x + int64(work)), true
	}
	worked := x - m.windows[i].from + int64(work)
	for m.before[i]+worked > m.total() {
		start := m.windows[i].from
		if !m.extendForward() {
			return time.Time{}, false
		}
		i = m.startingAt(start)
	}
	worked += m.before[i]
	j := sort.Search(len(m.windows), func(j int) bool { return m.before[j] >= worked }) - 1
	return m.moment(m.windows[j].from + worked - m.before[j]), true
}

// SubWorking returns the latest moment at which work must start to be done by
// to. No work gives the last manned moment at or before to. False when there
// is not that much manned time within reach.
func (m *Manned) SubWorking(to time.Time, work time.Duration) (time.Time, bool) {
	x := nanoseconds(to)
	i, ok := m.windowBefore(x)
	if !ok {
		return time.Time{}, false
	}
	x = min(x, m.windows[i].until)
	if x-int64(work) >= m.windows[i].from {
		return m.moment(x - int64(work)), true
	}
	left := m.before[i] + x - m.windows[i].from - int64(work)
	for left < 0 {
		had := m.total()
		if !m.extendBackward() {
			return time.Time{}, false
		}
		left += m.total() - had
	}
	j := sort.Search(len(m.windows), func(j int) bool { return m.before[j] > left }) - 1
	return m.moment(m.windows[j].from + left - m.before[j]), true
}

// Between returns the manned time from a to b, negative when b is before a.
func (m *Manned) Between(a, b time.Time) time.Duration {
	x, y := nanoseconds(a), nanoseconds(b)
	for min(x, y) < m.from && m.extendBackward() {
	}
	for max(x, y) > m.until && m.extendForward() {
	}
	return time.Duration(m.worked(y) - m.worked(x))
}

// IsManned says whether the resource runs throughout [from, until).
func (m *Manned) IsManned(from, until time.Time) bool {
	return m.Between(from, until) == until.Sub(from)
}

// worked is the manned time from m.from to x.
func (m *Manned) worked(x int64) int64 {
	i := sort.Search(len(m.windows), func(i int) bool { return m.windows[i].from > x }) - 1
	if i < 0 {
		return 0
	}
	return m.before[i] + min(x, m.windows[i].until) - m.windows[i].from
}

func (m *Manned) total() int64 {
	if len(m.windows) == 0 {
		return 0
	}
	last := len(m.windows) - 1
	return m.before[last] + m.windows[last].until - m.windows[last].from
}

// windowAfter is the first window that ends after x.
func (m *Manned) windowAfter(x int64) (int, bool) {
	for x < m.from {
		if !m.extendBackward() {
			return 0, false
		}
	}
	for {
		i := sort.Search(len(m.windows), func(i int) bool { return m.windows[i].until > x })
		if i < len(m.windows) {
			return i, true
		}
		if !m.extendForward() {
			return 0, false
		}
	}
}

// windowBefore is the last window that starts before x.
func (m *Manned) windowBefore(x int64) (int, bool) {
	for x > m.until {
		if !m.extendForward() {
			return 0, false
		}
	}
	for {
		i := sort.Search(len(m.windows), func(i int) bool { return m.windows[i].from >= x }) - 1
		if i >= 0 {
			return i, true
		}
		if !m.extendBackward() {
			return 0, false
		}
	}
}

func (m *Manned) startingAt(from int64) int {
	return sort.Search(len(m.windows), func(i int) bool { return m.windows[i].until > from })
}

func (m *Manned) moment(ns int64) time.Time { return time.Unix(0, ns).In(m.clock.zone) }

// nanoseconds since 1970; moments outside the years 1700 to 2250 saturate, far beyond reach.
func nanoseconds(t time.Time) int64 {
	const far = 280 * 365 * int64(24*time.Hour)
	switch y := t.Year(); {
	case y < 1700:
		return -far
	case y > 2250:
		return far
	}
	return t.UnixNano()
}
