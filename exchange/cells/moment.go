package cells

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"github.com/flutewright/flutewright/plant/order"
)

var (
	clockPart  = regexp.MustCompile(`[T ](\d{1,2}):(\d{2})(?::(\d{2})(?:\.\d+)?)?\s*([AaPp][Mm])?\s*(Z|[+-]\d{2}:\d{2})?$`)
	yearFirst  = regexp.MustCompile(`^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$`)
	yearLast   = regexp.MustCompile(`^(\d{1,2})([-/.])(\d{1,2})[-/.](\d{4})$`)
	shortYear  = regexp.MustCompile(`^\d{1,2}[-/.]\d{1,2}[-/.]\d{2}$`)
	eightDigit = regexp.MustCompile(`^(\d{4})(\d{2})(\d{2})$`)
	dayMonth   = regexp.MustCompile(`^(\d{1,2})[- .]+([A-Za-z]{3,9})\.?[- ,]+(\d{4})$`)
	monthDay   = regexp.MustCompile(`^([A-Za-z]{3,9})\.?[- ]+(\d{1,2})(?:st|nd|rd|th)?[ ,-]+(\d{4})$`)
)

// Moment returns a time: 2006-01-02 or 2006-01-02T15:04 in the plant's zone, or
// with an offset of its own. A day without a time stands for its end, 23:59.
// Where day and month could change places the manner decides; without one it is
// asked, once a file, and the row waits.
func (r *Record) Moment(name string) time.Time {
	c, as, ok := r.take(name)
	if !ok {
		return time.Time{}
	}
	s := c.Text
	if c.Day != "" {
		s = c.Day
	}
	t, why, remedy := r.moment(s)
	if why != "" {
		r.fault(as, Clip(c.Text), why, remedy)
		return time.Time{}
	}
	return t
}

func (r *Record) moment(s string) (t time.Time, why, remedy string) {
	const write = "write it as 2006-01-02 or 2006-01-02T15:04"
	if damagedDay.MatchString(s) {
		return t, "has no year", write
	}
	if v, err := strconv.ParseFloat(s, 64); err == nil && plainNumber.MatchString(s) && !eightDigit.MatchString(s) {
		return t, "is a number, not a date", dayNumber(v)
	}
	date, clock := s, []string(nil)
	if at := clockPart.FindStringSubmatchIndex(s); at != nil {
		clock = clockPart.FindStringSubmatch(s)
		date = strings.TrimSpace(s[:at[0]])
	}
	y, m, d, why, remedy := r.date(date)
	if why != "" {
		return t, why, remedy
	}
	if last := time.Date(y, time.Month(m)+1, 0, 0, 0, 0, 0, time.UTC).Day(); m < 1 || m > 12 || d < 1 || d > last {
		return t, "is no day of the calendar", write
	}
	if y < order.FirstYear || y > order.LastYear {
		return t, fmt.Sprintf("must be in the years %d to %d", order.FirstYear, order.LastYear), ""
	}
	hour, minute := 23, 59
	if clock != nil {
		var ok bool
		if hour, minute, ok = timeOfDay(clock); !ok {
			return t, "is no time of the day", write
		}
		if zone := clock[5]; zone != "" {
			t, err := time.Parse("2006-01-02 15:04 Z07:00", fmt.Sprintf("%04d-%02d-%02d %02d:%02d %s", y, m, d, hour, minute, zone))
			if err != nil {
				return t, "has an offset from UTC that is none", write
			}
			return t.In(r.manner.Zone), "", ""
		}
	}
	return r.local(y, m, d, hour, minute)
}

// date reads the day of a text, in whatever order it can be known.
func (r *Record) date(s string) (y, m, d int, why, remedy string) {
	const write = "write it as 2006-01-02 or 2006-01-02T15:04"
	n := func(s string) int { v, _ := strconv.Atoi(s); return v }
	if p := yearFirst.FindStringSubmatch(s); p != nil {
		return n(p[1]), n(p[2]), n(p[3]), "", ""
	}
	if p := eightDigit.FindStringSubmatch(s); p != nil {
		return n(p[1]), n(p[2]), n(p[3]), "", ""
	}
	if p := dayMonth.FindStringSubmatch(s); p != nil {
		if m, ok := monthNamed(p[2]); ok {
			return n(p[3]), m, n(p[1]), "", ""
		}
	}
	if p := monthDay.FindStringSubmatch(s); p != nil {
		if m, ok := monthNamed(p[1]); ok {
			return n(p[3]), m, n(p[2]), "", ""
		}
	}
	if shortYear.MatchString(s) {
		return 0, 0, 0, "the year needs four digits", write
	}
	p := yearLast.FindStringSubmatch(s)
	if p == nil {
		return 0, 0, 0, "is not a date", write
	}
	a, b, y := n(p[1]), n(p[3]), n(p[4])
	switch {
	case a > 12 || p[2] == "." || a == b:
		return y, b, a, "", ""
	case b > 12:
		return y, a, b, "", ""
	case r.manner.Dates == "dmy":
		return y, b, a, "", ""
	case r.manner.Dates == "mdy":
		return y, a, b, "", ""
	}
	r.asking.askDates(s)
	return 0, 0, 0, fmt.Sprintf("may be %d %s or %d %s %d", a, time.Month(b), b, time.Month(a), y), "state whether the day or the month comes first, or " + write
}

// local finds the moment at which the plant's clocks show a time. At a clock
// change there may be none, or two: of two the earlier is taken, and said.
func (r *Record) local(y, m, d, hour, minute int) (t time.Time, why, remedy string) {
	wall := time.Date(y, time.Month(m), d, hour, minute, 0, 0, time.UTC)
	var found []time.Time
	for _, probe := range []time.Duration{-24 * time.Hour, 24 * time.Hour} {
		_, offset := wall.Add(probe).In(r.manner.Zone).Zone()
		t := wall.Add(-time.Duration(offset) * time.Second).In(r.manner.Zone)
		_, is := t.Zone()
		if is == offset && (len(found) == 0 || !found[0].Equal(t)) {
			found = append(found, t)
		}
	}
	switch len(found) {
	case 0:
		return t, "does not exist: the clocks go forward over it in " + r.manner.Zone.String(), "write the hour before or after"
	case 2:
		if found[1].Before(found[0]) {
			found[0] = found[1]
		}
		r.asking.note(fmt.Sprintf("row %d: %s happens twice at the clock change, the earlier is taken", r.Row, wall.Format("2006-01-02 15:04")))
	}
	return found[0], "", ""
}

func timeOfDay(clock []string) (hour, minute int, ok bool) {
	hour, _ = strconv.Atoi(clock[1])
	minute, _ = strconv.Atoi(clock[2])
	if half := strings.ToLower(clock[4]); half != "" {
		if hour < 1 || hour > 12 {
			return 0, 0, false
		}
		hour %= 12
		if half == "pm" {
			hour += 12
		}
	}
	return hour, minute, hour < 24 && minute < 60
}

// dayNumber says which day a spreadsheet means by a number.
func dayNumber(v float64) string {
	const first, last = 36526, 73415 // 2000-01-01 and 2100-12-31 as day numbers of the 1900 calendar
	if v >= first && v < last+1 {
		day := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC).Add(time.Duration(v * 24 * float64(time.Hour))).Round(time.Minute)
		return "as a spreadsheet's day number it would be " + strings.TrimSuffix(day.Format("2006-01-02T15:04"), "T00:00") + ": format the column as a date"
	}
	return "write it as 2006-01-02 or 2006-01-02T15:04"
}

func monthNamed(s string) (int, bool) {
	for m := time.January; m <= time.December; m++ {
		if len(s) >= 3 && strings.HasPrefix(strings.ToLower(m.String()), strings.ToLower(s)) {
			return int(m), true
		}
	}
	return 0, false
}
