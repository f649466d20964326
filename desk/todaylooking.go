package desk

import (
	"fmt"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/order"
)

// looking is one look over book, ledger and plan, with the plan's parts by name.
type looking struct {
	*Snapshot
	now     time.Time
	since   time.Time
	plan    *plan.Plan
	id      ident.Plan
	words   planWords
	lines   map[ident.Release]*order.Line
	demands map[ident.Release]*plan.Demand
	ends    map[ident.Release]*jobs.Finish
	times   map[int]jobs.RunTime
	onRuns  map[ident.Release][]int // seq of the runs that make it
	found   []Matter
}

func newLooking(s *Snapshot, t Today, now time.Time) *looking {
	l := &looking{
		Snapshot: s, now: now, since: t.Since, plan: t.Plan, id: t.Head.ID, words: s.planWords(),
		lines: make(map[ident.Release]*order.Line, len(s.Lines)), demands: map[ident.Release]*plan.Demand{},
		ends: map[ident.Release]*jobs.Finish{}, times: map[int]jobs.RunTime{}, onRuns: map[ident.Release][]int{},
	}
	for i := range s.Lines {
		l.lines[s.Lines[i].Key] = &s.Lines[i]
	}
	if t.Plan == nil {
		return l
	}
	l.plan = plan.Worded(t.Plan, l.words.Format, func(code ident.Item) string {
		i, _ := s.Item(code)
		return i.Description
	})
	for i := range t.Plan.Demands {
		l.demands[t.Plan.Demands[i].Release] = &t.Plan.Demands[i]
	}
	for i := range t.Plan.Clock.Finishes {
		l.ends[t.Plan.Clock.Finishes[i].Release] = &t.Plan.Clock.Finishes[i]
	}
	for _, r := range t.Plan.Clock.Runs {
		l.times[r.Run] = r
	}
	for _, r := range t.Plan.Runs {
		for _, key := range releasesOn(r) {
			l.onRuns[key] = append(l.onRuns[key], r.Seq)
		}
	}
	return l
}

// releasesOn returns the releases of a run, each once, from the operator side.
func releasesOn(r runs.Run) []ident.Release {
	var out []ident.Release
	seen := map[string]bool{}
	for _, l := range r.Lanes {
		if seen[l.Order] {
			continue
		}
		seen[l.Order] = true
		if key, err := ident.ParseRelease(l.Order); err == nil { // plans name orders as the book does
			out = append(out, key)
		}
	}
	return out
}

func (l *looking) find(m Matter) { l.found = append(l.found, m) }

// value is what the boxes still to be made and sent of these releases sell for.
func (l *looking) value(all []ident.Release) quantity.Money {
	sum := quantity.Money(0)
	for _, r := range all {
		if line := l.lines[r]; line != nil {
			sum += l.price(line) * quantity.Money(max(0, line.Quantity-l.Done[r].Shipped))
		}
	}
	return sum
}

// price is what one box of a line sells for.
func (l *looking) price(line *order.Line) quantity.Money {
	if line.PricePer1000 > 0 {
		return line.PricePer1000 / 1000
	}
	return l.Plant.Prices.DefaultPer1000 / 1000
}

// called is an order with what it is and for whom.
func (l *looking) called(r ident.Release) string {
	line := l.lines[r]
	if line == nil {
		return r.String()
	}
	var is []string
	if i, ok := l.Item(line.Item); ok && i.Description != "" {
		is = append(is, i.Description)
	}
	if c, ok := l.Customer(line.Customer); ok && c.Name != "" {
		is = append(is, c.Name)
	}
	if len(is) == 0 {
		return r.String()
	}
	return fmt.Sprintf("%s (%s)", r, strings.Join(is, ", "))
}

// planWords write quantities with their units and times in the plant's zone.
type planWords struct {
	quantity.Format
	zone *time.Location
}

func (s *Snapshot) planWords() planWords {
	d := s.Plant.Display
	return planWords{quantity.Format{US: d.Units == "us", InchParts: d.InchParts, Currency: d.Currency, Dates: d.Dates}, s.Zone()}
}

func (w planWords) width(l quantity.Length) string    { return w.Length(l) + " " + w.LengthUnit() }
func (w planWords) metres(d quantity.Distance) string { return w.Run(d) + " " + w.RunUnit() }
func (w planWords) money(m quantity.Money) string     { return w.WholeMoney(m) + " " + w.Currency }

// clock is weekday and time within the week, else the day too.
func (w planWords) clock(t, now time.Time) string {
	t = t.In(w.zone)
	if gap := t.Sub(now); gap > -6*dayAhead && gap < 6*dayAhead {
		return t.Format("Mon 15:04")
	}
	return w.Day(t) + " " + w.Time(t)
}

// span is "12 min", "3 h 05 min", "2 d 4 h".
func span(d time.Duration) string {
	switch d = d.Round(time.Minute); {
	case d >= dayAhead:
		return fmt.Sprintf("%d d %d h", d/dayAhead, d%dayAhead/time.Hour)
	case d >= time.Hour:
		return fmt.Sprintf("%d h %02d min", d/time.Hour, d%time.Hour/time.Minute)
	}
	return fmt.Sprintf("%d min", d/time.Minute)
}

// few names at most five releases and counts the rest.
func few(all []ident.Release) string {
	names := make([]string, 0, 5)
	for _, r := range all[:min(len(all), 5)] {
		names = append(names, r.String())
	}
	text := strings.Join(names, ", ")
	if n := len(all) - 5; n > 0 {
		text += fmt.Sprintf(" and %d more", n)
	}
	return text
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return quantity.Format{}.Count(n) + " " + many
}

// lastShift returns since when things are new: the begin of the latest shift
// that began half a shift ago or earlier, on whatever day that was.
func (s *Snapshot) lastShift(now time.Time) time.Time {
	const half = 4 * time.Hour
	if turns := s.turns(now.Add(-10*dayAhead), now); len(turns) > 0 {
		for i := len(turns) - 1; i >= 0; i-- {
			if now.Sub(turns[i].From) >= half {
				return turns[i].From
			}
		}
	}
	return now.Add(-dayAhead)
}

// turns returns the plant's shifts between two moments, none where its calendar cannot be read.
func (s *Snapshot) turns(from, until time.Time) []calendar.Turn {
	c, err := calendar.Compile(s.Plant.Calendar)
	if err != nil {
		return nil // a stated plant has a good calendar: validation refuses others
	}
	names := make([]string, 0, len(s.Plant.Calendar.Shifts))
	for _, sh := range s.Plant.Calendar.Shifts {
		names = append(names, sh.Name)
	}
	return c.Turns(from, until, names...)
}
