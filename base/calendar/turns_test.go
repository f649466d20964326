package calendar_test

import (
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
)

// A crew's turn is as long as the clock says: 7 and 9 hours at clock changes.
func TestTurns(t *testing.T) {
	c := threeShifts("Europe/London", "2031-10-24")
	c.WorkingDays = append(c.WorkingDays, "Sat")
	k, err := calendar.Compile(c)
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		source     string
		from, till string
		shifts     []string
		hours      []float64
	}{
		{"2000/84/EC art. 2, 30 March 2031", "2031-03-29 20:00", "2031-03-30 08:00", []string{"night"}, []float64{7}},
		{"2000/84/EC art. 3, 26 October 2031; the Friday is closed", "2031-10-24 10:00", "2031-10-26 08:00", []string{"night"}, []float64{9}},
		{"hand: two shifts of a Monday", "2031-03-03 06:00", "2031-03-03 22:00", []string{"late", "early"}, []float64{8, 8}},
		{"hand: no such shift", "2031-03-03 06:00", "2031-03-03 22:00", []string{"dawn"}, nil},
	}
	for _, tt := range tests {
		got := k.Turns(at(t, c.Zone, tt.from), at(t, c.Zone, tt.till), tt.shifts...)
		if len(got) != len(tt.hours) {
			t.Errorf("%s: %d turns, want %d: %v", tt.source, len(got), len(tt.hours), got)
			continue
		}
		for i, turn := range got {
			if h := turn.Until.Sub(turn.From).Hours(); h != tt.hours[i] {
				t.Errorf("%s: turn %d lasts %g h, want %g", tt.source, i, h, tt.hours[i])
			}
		}
	}
}

// A US plant's nights of ten hours: 9 where the clock goes forward, 11 where it goes back.
func TestTurnsOfTenHoursInTheUS(t *testing.T) {
	k, err := calendar.Compile(calendar.Calendar{
		Zone: "America/New_York", WorkingDays: []string{"Mon", "Tue", "Wed", "Sat"},
		Shifts: []calendar.Shift{{Name: "nights", Start: "20:00", End: "06:00"}},
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		source, from, till string
		hours              float64
	}{
		{"15 U.S.C. § 260a, second Sunday of March: 9 March 2031", "2031-03-08 20:00", "2031-03-09 12:00", 9},
		{"15 U.S.C. § 260a, first Sunday of November: 2 November 2031", "2031-11-01 20:00", "2031-11-02 12:00", 11},
		{"hand: a Tuesday", "2031-03-11 20:00", "2031-03-12 12:00", 10},
	} {
		got := k.Turns(at(t, "America/New_York", tt.from), at(t, "America/New_York", tt.till), "nights")
		if len(got) != 1 || got[0].Until.Sub(got[0].From).Hours() != tt.hours {
			t.Errorf("%s: %v, want one turn of %v h", tt.source, got, tt.hours)
		}
	}
}

func TestOvertimeIsMannedOutsideTheShifts(t *testing.T) {
	const zone = "Europe/London"
	c := threeShifts(zone)
	k, _ := calendar.Compile(c)
	day := func(s string) time.Time { return at(t, zone, s) }
	extra := []calendar.Span{{From: day("2031-03-03 22:00"), Until: day("2031-03-04 00:00")}, {From: day("2031-03-08 08:00"), Until: day("2031-03-08 12:00")}}
	stops := []calendar.Span{{From: day("2031-03-03 23:00"), Until: day("2031-03-03 23:30")}}
	m, err := k.WindowsWith(day("2031-03-03 06:00"), []string{"late"}, stops, extra)
	if err != nil {
		t.Fatal(err)
	}
	if got := m.Between(day("2031-03-03 14:00"), day("2031-03-04 06:00")); got != 9*time.Hour+30*time.Minute {
		t.Errorf("hand: late shift 8 h and 1.5 h of overtime, got %v", got)
	}
	if got := m.Between(day("2031-03-08 00:00"), day("2031-03-09 00:00")); got != 4*time.Hour {
		t.Errorf("hand: four hours on a Saturday, got %v", got)
	}
	if spans := m.Spans(day("2031-03-03 15:00"), day("2031-03-04 06:00")); len(spans) != 2 || !spans[0].From.Equal(day("2031-03-03 15:00")) || !spans[0].Until.Equal(day("2031-03-03 23:00")) || !spans[1].Until.Equal(day("2031-03-04 00:00")) {
		t.Errorf("spans %v", spans)
	}
	if _, err := k.WindowsWith(day("2031-03-03 06:00"), nil, nil, []calendar.Span{{From: extra[0].Until, Until: extra[0].From}}); err == nil {
		t.Error("extra time that ends before it begins must be refused")
	}
	base, _ := k.Windows(day("2031-03-03 06:00"), []string{"late"}, stops)
	base.Between(day("2031-03-01 00:00"), day("2031-03-20 00:00"))
	with := base.With(extra)
	for h := range 24 * 60 {
		at := day("2031-03-01 00:00").Add(time.Duration(h) * 30 * time.Minute)
		if a, b := m.Between(day("2031-03-03 06:00"), at), with.Between(day("2031-03-03 06:00"), at); a != b {
			t.Fatalf("until %v: %v manned, %v with the extra time added later", at, a, b)
		}
	}
	only, _ := k.WindowsWith(day("2031-03-03 06:00"), nil, nil, extra)
	if end, ok := only.AddWorking(day("2031-03-03 06:00"), 3*time.Hour); !ok || !end.Equal(day("2031-03-08 09:00")) {
		t.Errorf("overtime alone: got %v", end)
	}
}
