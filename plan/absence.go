package plan

import (
	"context"
	"fmt"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/promise"
	"github.com/flutewright/flutewright/plant"
)

// Absence is a machine whose crews of one day are taken off it; the corrugator's
// code is one too.
type Absence struct {
	Machine ident.Machine `json:"machine,omitempty"`
	Day     string        `json:"day,omitempty"` // local date on which the shifts begin, 2006-01-02
}

// Absent is what a promise becomes with a crew taken off.
type Absent struct {
	Absence
	From    time.Time        `json:"from"`
	Until   time.Time        `json:"until"`
	Later   quantity.Minutes `json:"later_min"` // than with that crew
	Refusal string           `json:"refusal,omitempty"`
	Yes     bool             `json:"yes"`
	At      time.Time        `json:"at,omitzero"`
	Words   string           `json:"sentence"`
}

// stop is the time from the first of the day's shifts on the machine to the end
// of the last. fault.Violations where there is none.
func (a Absence) stop(b plant.Book) (plant.Stop, error) {
	var vs fault.Violations
	shifts, known := b.Plant.Corrugator.Shifts, a.Machine == b.Plant.Corrugator.Code
	for _, m := range b.Plant.Machines {
		if m.Code == a.Machine {
			shifts, known = m.Shifts, true
		}
	}
	vs.Require(known, "without", string(a.Machine), "is not a machine of the plant")
	clock, err := calendar.Compile(b.Plant.Calendar)
	if err != nil {
		return plant.Stop{}, err
	}
	day, err := time.ParseInLocation(time.DateOnly, a.Day, clock.Zone())
	vs.Require(err == nil, "without_on", a.Day, "say the day on which the shifts begin")
	if err := vs.Err(); err != nil {
		return plant.Stop{}, err
	}
	turns := slices.DeleteFunc(clock.Turns(day, day.AddDate(0, 0, 1), shifts...), func(t calendar.Turn) bool { return t.From.Before(day) })
	if len(turns) == 0 {
		return plant.Stop{}, fault.Violations{{Field: "without_on", Value: a.Day, Rule: "no crew of " + string(a.Machine) + " begins a shift on that day"}}
	}
	s := plant.Stop{Machine: a.Machine, From: turns[0].From, Cause: "no crew on " + turns[0].From.Format("Monday")}
	for _, t := range turns {
		if t.Until.After(s.Until) {
			s.Until = t.Until
		}
	}
	return s, nil
}

// absent answers the same question again with the crew off.
func absent(ctx context.Context, book plant.Book, p *Plan, ask Ask, front Front, scatter promise.Scatter, now time.Time, opt promise.Options, with *Promised) (*Absent, error) {
	stop, err := ask.Without.stop(book)
	if err != nil {
		return nil, err
	}
	out := &Absent{Absence: ask.Without, From: stop.From, Until: stop.Until}
	book.Plant.Stops = append(slices.Clone(book.Plant.Stops), stop)
	ask.Without = Absence{}
	got, err := Promise(ctx, book, p, ask, front, scatter, now, opt)
	if err != nil {
		return nil, fmt.Errorf("without %s: %w", stop.Machine, err)
	}
	out.Refusal, out.Yes, out.At = got.Refusal, got.Yes, got.At
	if got.Refusal == "" && with.Refusal == "" {
		out.Later = quantity.Minutes(got.At.Sub(with.At).Minutes())
	}
	return out, nil
}

// absentWords says what a crew that is taken off moves.
func (m *maker) absentWords(a *Absent, with *Promised) string {
	what := fmt.Sprintf("Taking %s's crew off %s", a.From.Format("Monday"), a.Machine)
	switch {
	case a.Refusal != "":
		return fmt.Sprintf("%s stops it: %s.", what, a.Refusal)
	case a.Later < 1:
		return fmt.Sprintf("%s does not move it: it is there %s all the same.", what, m.moment(a.At))
	case with.Yes && !a.Yes:
		return fmt.Sprintf("%s moves it to %s, %s later: no longer in time.", what, m.moment(a.At), lasts(a.Later))
	case a.Yes:
		return fmt.Sprintf("%s moves it to %s, %s later: still in time.", what, m.moment(a.At), lasts(a.Later))
	}
	return fmt.Sprintf("%s moves it to %s, another %s later.", what, m.moment(a.At), lasts(a.Later))
}
