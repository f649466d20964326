package jobs

import (
	"context"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

const (
	overStep  = 15 * time.Minute // overtime is asked for in quarter hours (common practice, no published source)
	overTries = 300              // stretches priced in full, fewer on a long book
)

// workOver lets the crews at late releases' machines stay on, or come before
// their shift, where that saves more lateness than it costs: the best stretch
// first, until none pays.
func (f *floor) workOver(ctx context.Context) {
	f.sendHome()
	if f.Overtime.Most <= 0 || len(f.tasks) == 0 {
		return
	}
	tries := min(overTries, 300_000/len(f.tasks)+20)
	for again := true; again && ctx.Err() == nil; {
		again = false
		for _, t := range f.lateTasks() {
			if again = f.overtimeFor(t, &tries); again || tries <= 0 {
				break
			}
		}
		again = again && tries > 0
	}
}

// overtimeFor prices every stretch that could help t and keeps the best that pays.
func (f *floor) overtimeFor(t *task, tries *int) bool {
	q := f.queues[t.choice().press]
	had, best, keep := f.cost(), quantity.Money(0), q.crewing
	before := slices.Clone(q.crewing)
	for _, m := range f.stretches(q, t) {
		if *tries--; *tries < 0 {
			break
		}
		q.crewing = append(slices.Clone(before), m)
		q.rewind()
		f.retime()
		q.crewing[len(q.crewing)-1] = f.worked(q, m)
		q.rewind()
		if f.retime() && f.cost() < had-best-1e-6 {
			best, keep = had-f.cost(), q.crewing
		}
	}
	q.crewing = keep
	q.rewind()
	f.retime()
	return best > 0
}

// worked is the part of a stretch, from the side of the turn it adjoins, in which there is work.
func (f *floor) worked(q *queue, m Manning) Manning {
	first, last := m.Until, m.From
	for _, t := range q.tasks {
		if t.start.Before(m.Until) && t.end.After(m.From) {
			first, last = earlier(first, later(t.start, m.From)), later(last, earlier(t.end, m.Until))
		}
	}
	if f.turnEnds(q.Shifts, m.From) {
		return f.stretch(q.Code, q.Shifts, f.Overtime.PerHour, m.From, last)
	}
	return f.stretch(q.Code, q.Shifts, f.Overtime.PerHour, earlier(first, m.Until), m.Until)
}

// stretches lists overtime on q between now and the end of t: after and before
// each stretch of manned time, for the day's whole allowance and for as much as
// t lacks.
func (f *floor) stretches(q *queue, t *task) (out []Manning) {
	lacks := q.manned.Between(t.made, t.end).Truncate(overStep) + overStep
	spans := q.manned.Spans(f.Now, t.end.Add(24*time.Hour))
	for k, s := range spans {
		if !s.From.Before(t.end) {
			break
		}
		for _, length := range []time.Duration{lacks, f.Overtime.Most.Duration()} {
			length = min(length, f.overtimeLeft(q.crewing, s.Until)).Truncate(time.Second)
			if k+1 < len(spans) {
				length = min(length, spans[k+1].From.Sub(s.Until))
			}
			if s.Until.Before(t.end) && length > 0 && f.turnEnds(q.Shifts, s.Until) {
				out = append(out, f.stretch(q.Code, q.Shifts, f.Overtime.PerHour, s.Until, s.Until.Add(length)))
			}
		}
		for _, length := range []time.Duration{lacks, f.Overtime.Most.Duration()} {
			length = min(length, f.overtimeLeft(q.crewing, s.From.Add(-time.Second)), s.From.Sub(f.Now), s.From.Sub(f.midnight(s.From))).Truncate(time.Second)
			if k > 0 {
				length = min(length, s.From.Sub(spans[k-1].Until))
			}
			if length > 0 && f.turnBegins(q.Shifts, s.From) {
				out = append(out, f.stretch(q.Code, q.Shifts, f.Overtime.PerHour, s.From.Add(-length), s.From))
			}
		}
	}
	return out
}

// stretch is overtime of a machine, whose crew is that of the turn it adjoins.
func (s *shop) stretch(code ident.Machine, shifts []string, perHour quantity.Money, from, until time.Time) Manning {
	m := Manning{Machine: code, From: from, Until: until, Overtime: true, Cost: perHour * quantity.Money(until.Sub(from).Hours())}
	for _, turn := range s.clock.Turns(from.Add(-time.Second), until.Add(time.Second), shifts...) {
		if turn.Until.Equal(from) || turn.From.Equal(until) {
			m.Shift = turn.Shift
		}
	}
	return m
}

// turnEnds says whether a turn of the shifts ends at a moment; a stop's edge is
// none, and neither is overtime's own.
func (s *shop) turnEnds(shifts []string, at time.Time) bool {
	return slices.ContainsFunc(s.clock.Turns(at.Add(-time.Second), at.Add(time.Second), shifts...), func(t calendar.Turn) bool { return t.Until.Equal(at) })
}

func (s *shop) turnBegins(shifts []string, at time.Time) bool {
	return slices.ContainsFunc(s.clock.Turns(at.Add(-time.Second), at.Add(time.Second), shifts...), func(t calendar.Turn) bool { return t.From.Equal(at) })
}

// midnight is the beginning of the local date that lies before at.
func (s *shop) midnight(at time.Time) time.Time {
	y, m, d := at.Add(-time.Second).In(s.clock.Zone()).Date()
	return time.Date(y, m, d, 0, 0, 0, 0, s.clock.Zone())
}

// overtimeLeft is the overtime that a machine manned like this may still work on the local date of at.
func (s *shop) overtimeLeft(crewing []Manning, at time.Time) time.Duration {
	left := s.Overtime.Most.Duration()
	day := at.In(s.clock.Zone()).Format(time.DateOnly)
	for _, m := range crewing {
		if m.Overtime && m.day(s.clock.Zone()) == day {
			left -= m.Until.Sub(m.From)
		}
	}
	return left
}

// day is the local date that overtime counts for: that on which it begins.
func (m Manning) day(zone *time.Location) string { return m.From.In(zone).Format(time.DateOnly) }

// within is the manned time of a job that lies in overtime.
func (q *queue) within(from, until time.Time) (sum time.Duration) {
	for _, m := range q.crewing {
		if a, b := later(m.From, from), earlier(m.Until, until); m.Overtime && b.After(a) {
			sum += q.manned.Between(a, b)
		}
	}
	return sum
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func earlier(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}
