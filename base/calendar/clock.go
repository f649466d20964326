package calendar

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/fault"
)

// Clock is a checked calendar bound to its zone. It is immutable and safe for concurrent use.
type Clock struct {
	zone    *time.Location
	working [7]bool // indexed by time.Weekday
	shifts  []shift
	closed  map[date]bool
}

type shift struct {
	name       string
	start, end clockTime
}

// clockTime is a local time of day in minutes after midnight.
type clockTime int

type date struct {
	year  int
	month time.Month
	day   int
}

var weekdays = map[string]time.Weekday{
	"sun": time.Sunday, "mon": time.Monday, "tue": time.Tuesday, "wed": time.Wednesday,
	"thu": time.Thursday, "fri": time.Friday, "sat": time.Saturday,
}

// Compile checks c and binds it to its zone; an empty zone is UTC. It returns
// fault.Violations for an unknown zone, no or unknown working days, no
// shifts, shift names that are empty or stated twice, times that are not
// hh:mm, and closed dates that are not dates.
func Compile(c Calendar) (*Clock, error) {
	var vs fault.Violations
	k := &Clock{zone: time.UTC, closed: map[date]bool{}}
	if c.Zone != "" {
		zone, err := time.LoadLocation(c.Zone)
		if err != nil || c.Zone == "Local" {
			vs.Add("zone", c.Zone, "must be an IANA time zone name", "write it as Europe/London or America/Chicago")
		} else {
			k.zone = zone
		}
	}
	vs.Require(len(c.WorkingDays) > 0, "working_days", "", "at least one day of the week must be a working day")
	for i, name := range c.WorkingDays {
		day, ok := weekdays[strings.ToLower(name)]
		vs.Require(ok, fmt.Sprintf("working_days[%d]", i), name, "must be one of Mon, Tue, Wed, Thu, Fri, Sat, Sun")
		k.working[day] = k.working[day] || ok
	}
	k.compileShifts(c.Shifts, &vs)
	for i, s := range c.Closed {
		t, err := time.Parse(time.DateOnly, s)
		vs.Require(err == nil, fmt.Sprintf("closed[%d]", i), s, "must be a date as 2031-12-25")
		k.closed[dateOf(t)] = true
	}
	if err := vs.Err(); err != nil {
		return nil, err
	}
	return k, nil
}

func (k *Clock) compileShifts(shifts []Shift, vs *fault.Violations) {
	vs.Require(len(shifts) > 0, "shifts", "", "at least one shift is needed")
	for i, s := range shifts {
		path := fmt.Sprintf("shifts[%d]", i)
		vs.Require(s.Name != "", path+".shift", s.Name, "a shift needs a name")
		vs.Require(!slices.ContainsFunc(k.shifts, func(o shift) bool { return o.name == s.Name }), path+".shift", s.Name, "the name is taken by another shift")
		start, okStart := parseClockTime(s.Start)
		end, okEnd := parseClockTime(s.End)
		vs.Require(okStart, path+".start", s.Start, "must be a time of day as 06:00")
		vs.Require(okEnd, path+".end", s.End, "must be a time of day as 14:00")
		if end <= start {
			end += 24 * 60
		}
		k.shifts = append(k.shifts, shift{s.Name, start, end})
	}
}

// parseClockTime reads hh:mm; 24:00 is midnight at the day's end.
func parseClockTime(s string) (clockTime, bool) {
	hours, minutes, ok := strings.Cut(s, ":")
	h, errH := strconv.Atoi(hours)
	m, errM := strconv.Atoi(minutes)
	if !ok || errH != nil || errM != nil || len(minutes) != 2 || h < 0 || m < 0 || m > 59 || h*60+m > 24*60 {
		return 0, false
	}
	return clockTime(h*60 + m), true
}

func dateOf(t time.Time) date {
	y, m, d := t.Date()
	return date{y, m, d}
}

// Zone is the plant's time zone.
func (k *Clock) Zone() *time.Location { return k.zone }

// IsWorkingDay says whether shifts start on the local date of t.
func (k *Clock) IsWorkingDay(t time.Time) bool {
	t = t.In(k.zone)
	return k.working[t.Weekday()] && !k.closed[dateOf(t)]
}

// ClosedNotice is "" when the plant works on the local date of due, else a
// sentence that names the day and the last working day before it.
func (k *Clock) ClosedNotice(due time.Time) string {
	if k.IsWorkingDay(due) {
		return ""
	}
	local := due.In(k.zone)
	const form = "Monday 2 January 2006"
	for back := 1; back <= 366; back++ {
		day := time.Date(local.Year(), local.Month(), local.Day()-back, 12, 0, 0, 0, k.zone)
		if k.IsWorkingDay(day) {
			return fmt.Sprintf("due on %s, when the plant is closed; the last working day before it is %s", local.Format(form), day.Format(form))
		}
	}
	return fmt.Sprintf("due on %s, when the plant is closed", local.Format(form))
}

// span returns the absolute start and end of the shift that starts on the given local date.
func (k *Clock) span(s shift, y int, m time.Month, d int) (from, until int64) {
	at := func(c clockTime) int64 {
		return time.Date(y, m, d, int(c)/60, int(c)%60, 0, 0, k.zone).UnixNano()
	}
	return at(s.start), at(s.end)
}
