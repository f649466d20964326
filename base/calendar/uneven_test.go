package calendar_test

import (
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
)

// Nights in which the clocks change. Rules: EU Directive 2000/84/EC (last Sundays
// of March and October, 01:00 UTC); US Energy Policy Act of 2005, section 110
// (second Sunday of March, first of November, 02:00 local time).
func TestUneven(t *testing.T) {
	for _, c := range []struct {
		zone, start, end string
		from             string
		want             []string
	}{
		{"Europe/Berlin", "22:00", "06:00", "2031-03-20", []string{"the clocks change in the shift night that begins on Saturday 29 March 2031: it is 7 h long, not 8 h"}},
		{"Europe/Berlin", "22:00", "06:00", "2031-10-20", []string{"the clocks change in the shift night that begins on Saturday 25 October 2031: it is 9 h long, not 8 h"}},
		{"America/New_York", "20:00", "06:00", "2031-03-01", []string{"the clocks change in the shift night that begins on Saturday 8 March 2031: it is 9 h long, not 10 h"}},
		{"America/New_York", "20:00", "06:00", "2031-10-25", []string{"the clocks change in the shift night that begins on Saturday 1 November 2031: it is 11 h long, not 10 h"}},
		{"America/New_York", "06:00", "16:00", "2031-10-25", nil},
		{"UTC", "22:00", "06:00", "2031-03-20", nil},
	} {
		k, err := calendar.Compile(calendar.Calendar{Zone: c.zone, WorkingDays: []string{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}, Shifts: []calendar.Shift{{Name: "night", Start: c.start, End: c.end}}})
		if err != nil {
			t.Fatal(err)
		}
		from, err := time.Parse(time.DateOnly, c.from)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, u := range k.Uneven(from, from.AddDate(0, 0, 20)) {
			got = append(got, u.String())
		}
		if len(got) != len(c.want) || len(got) > 0 && got[0] != c.want[0] {
			t.Errorf("%s from %s: %q, want %q", c.zone, c.from, got, c.want)
		}
	}
}
