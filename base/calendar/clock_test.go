package calendar_test

import (
	"errors"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/fault"
	"pgregory.net/rapid"
)

func threeShifts(zone string, closed ...string) calendar.Calendar {
	return calendar.Calendar{
		Zone:        zone,
		WorkingDays: []string{"Mon", "Tue", "Wed", "Thu", "Fri"},
		Shifts:      []calendar.Shift{{Name: "early", Start: "06:00", End: "14:00"}, {Name: "late", Start: "14:00", End: "22:00"}, {Name: "night", Start: "22:00", End: "06:00"}},
		Closed:      closed,
	}
}

func manned(t testing.TB, c calendar.Calendar, anchor time.Time, stops []calendar.Span, shifts ...string) (*calendar.Clock, *calendar.Manned) {
	t.Helper()
	k, err := calendar.Compile(c)
	if err != nil {
		t.Fatal(err)
	}
	m, err := k.Windows(anchor, shifts, stops)
	if err != nil {
		t.Fatal(err)
	}
	return k, m
}

func at(t testing.TB, zone, s string) time.Time {
	t.Helper()
	loc, err := time.LoadLocation(zone)
	if err != nil {
		t.Fatal(err)
	}
	got, err := time.ParseInLocation("2006-01-02 15:04", s, loc)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// Clock changes: directive 2000/84/EC, article 2 and 3 (last Sundays of March
// and October, 01:00 UTC) and 15 U.S.C. § 260a (second Sunday of March, first of November, 02:00 local).
func TestNightsAtClockChanges(t *testing.T) {
	saturdays := threeShifts("Europe/London")
	saturdays.WorkingDays = append(saturdays.WorkingDays, "Sat")
	newYork := saturdays
	newYork.Zone = "America/New_York"
	tests := []struct {
		source   string
		calendar calendar.Calendar
		start    string
		hours    float64
	}{
		{"2000/84/EC art. 2, 30 March 2031", saturdays, "2031-03-29 22:00", 7},
		{"2000/84/EC art. 3, 26 October 2031", saturdays, "2031-10-25 22:00", 9},
		{"ordinary night", saturdays, "2031-03-21 22:00", 8},
		{"15 U.S.C. 260a, 9 March 2031", newYork, "2031-03-08 22:00", 7},
		{"15 U.S.C. 260a, 2 November 2031", newYork, "2031-11-01 22:00", 9},
	}
	for _, tt := range tests {
		t.Run(tt.source, func(t *testing.T) {
			from := at(t, tt.calendar.Zone, tt.start)
			_, m := manned(t, tt.calendar, from, nil, "night")
			until := at(t, tt.calendar.Zone, from.AddDate(0, 0, 1).Format("2006-01-02")+" 06:00")
			if got := m.Between(from, until).Hours(); got != tt.hours {
				t.Errorf("night of %s lasts %g h, want %g", tt.start, got, tt.hours)
			}
		})
	}
}

func TestShiftBelongsToTheDayItStartsOn(t *testing.T) {
	const zone = "Europe/London"
	_, m := manned(t, threeShifts(zone), at(t, zone, "2031-03-07 12:00"), nil, "early", "late", "night")
	friday := at(t, zone, "2031-03-07 22:00")
	tests := []struct {
		source   string
		from     string
		work     time.Duration
		want     string
		backward bool
	}{
		{"hand: Friday's night runs into Saturday", "2031-03-07 22:00", 8 * time.Hour, "2031-03-08 06:00", false},
		{"hand: then Monday 06:00", "2031-03-07 22:00", 9 * time.Hour, "2031-03-10 07:00", false},
		{"hand: from the closed Sunday", "2031-03-09 12:00", time.Hour, "2031-03-10 07:00", false},
		{"hand: backwards over the week-end", "2031-03-10 07:00", 2 * time.Hour, "2031-03-08 05:00", true},
		{"hand: no work from a closed moment", "2031-03-09 12:00", 0, "2031-03-10 06:00", false},
		{"hand: no work back from a closed moment", "2031-03-09 12:00", 0, "2031-03-08 06:00", true},
	}
	for _, tt := range tests {
		move := m.AddWorking
		if tt.backward {
			move = m.SubWorking
		}
		got, ok := move(at(t, zone, tt.from), tt.work)
		if want := at(t, zone, tt.want); !ok || !got.Equal(want) {
			t.Errorf("%s: got %v, want %v", tt.source, got, want)
		}
	}
	if !m.IsManned(friday, friday.Add(8*time.Hour)) || m.IsManned(friday, friday.Add(8*time.Hour+time.Minute)) {
		t.Error("Friday's night must be manned to Saturday 06:00 and no longer")
	}
}

func TestStopsAndClosedDates(t *testing.T) {
	const zone = "Europe/London"
	stops := []calendar.Span{
		{From: at(t, zone, "2031-03-03 07:30"), Until: at(t, zone, "2031-03-03 10:30")},
		{From: at(t, zone, "2031-03-03 10:00"), Until: at(t, zone, "2031-03-03 11:00")},
	}
	k, m := manned(t, threeShifts(zone, "2031-03-04"), at(t, zone, "2031-03-03 06:00"), stops, "early", "late")
	tests := []struct {
		source string
		hours  float64
		want   string
	}{
		{"hand: before the stop", 1.5, "2031-03-03 07:30"},
		{"hand: over both stops, which overlap", 2, "2031-03-03 11:30"},
		{"hand: to the end of the crew's day", 12.5, "2031-03-03 22:00"},
		{"hand: Tuesday is closed", 13, "2031-03-05 06:30"},
	}
	for _, tt := range tests {
		got, ok := m.AddWorking(at(t, zone, "2031-03-03 05:00"), time.Duration(tt.hours*float64(time.Hour)))
		if want := at(t, zone, tt.want); !ok || !got.Equal(want) {
			t.Errorf("%s: got %v, want %v", tt.source, got, want)
		}
	}
	if k.IsWorkingDay(at(t, zone, "2031-03-04 12:00")) {
		t.Error("a closed date is no working day")
	}
	notice := k.ClosedNotice(at(t, zone, "2031-03-08 10:00"))
	if !strings.Contains(notice, "Saturday 8 March 2031") || !strings.Contains(notice, "Friday 7 March 2031") {
		t.Errorf("notice %q names neither the day nor the working day before", notice)
	}
	if notice := k.ClosedNotice(at(t, zone, "2031-03-07 10:00")); notice != "" {
		t.Errorf("a Friday is no closed day: %q", notice)
	}
}

func TestNeverManned(t *testing.T) {
	now := at(t, "UTC", "2031-03-03 06:00")
	_, m := manned(t, threeShifts(""), now, nil)
	_, forward := m.AddWorking(now, time.Hour)
	_, backward := m.SubWorking(now, time.Hour)
	if m.Ever() || forward || backward {
		t.Error("a resource without shifts is never manned")
	}
	_, m = manned(t, threeShifts(""), now, []calendar.Span{{From: now, Until: now.AddDate(8000, 0, 0)}}, "early")
	if _, ok := m.Next(now); ok {
		t.Error("a stop without end leaves no manned moment")
	}
	if _, ok := m.AddWorking(time.Time{}, time.Hour); ok {
		t.Error("the zero time is beyond reach")
	}
}

func TestCompileNamesEveryFault(t *testing.T) {
	_, err := calendar.Compile(calendar.Calendar{
		Zone: "Mars/Base", WorkingDays: []string{"Mon", "Funday"},
		Shifts: []calendar.Shift{{Name: "a", Start: "6", End: "25:00"}, {Name: "a", Start: "06:00", End: "14:00"}},
		Closed: []string{"2031-02-30"},
	})
	if !errors.Is(err, fault.Invalid) {
		t.Fatalf("got %v", err)
	}
	for _, field := range []string{"zone", "working_days[1]", "shifts[0].start", "shifts[0].end", "shifts[1].shift", "closed[0]"} {
		if !strings.Contains(err.Error(), field) {
			t.Errorf("no violation of %s in:\n%v", field, err)
		}
	}
	k, _ := calendar.Compile(threeShifts(""))
	if _, err := k.Windows(time.Now(), []string{"dawn"}, nil); !errors.Is(err, fault.Invalid) {
		t.Errorf("unknown shift: got %v", err)
	}
}

// TestLaws draws calendars, stops and moments, some around clock changes, and
// checks manned time against a count of quarter hours.
func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, m, d := drawManned(t)
		k, _ := calendar.Compile(c)
		a := d.base.Add(time.Duration(d.rnd.IntN(80*96)-40*96) * 15 * time.Minute)
		work := time.Duration(d.rnd.IntN(12*96)) * 15 * time.Minute
		end, ok := m.AddWorking(a, work)
		if !ok {
			t.Fatalf("no end for %v in %+v", work, c)
		}
		start, _ := m.Next(a)
		if got := m.Between(start, end); got != work {
			t.Fatalf("%v of work from %v to %v counts as %v", work, start, end, got)
		}
		if got := m.Between(a, start); got != 0 {
			t.Fatalf("%v manned before the first manned moment", got)
		}
		if later, _ := m.AddWorking(a.Add(15*time.Minute), work); later.Before(end) {
			t.Fatalf("a later start ends earlier: %v before %v", later, end)
		}
		back, _ := m.SubWorking(end, work)
		if again, _ := m.AddWorking(back, work); work > 0 && (!again.Equal(end) || back.Before(start)) {
			t.Fatalf("back %v from %v, again %v, started %v", back, end, again, start)
		}
		b := a.Add(time.Duration(d.rnd.IntN(12*96)) * 15 * time.Minute)
		var counted time.Duration
		for q := a; q.Before(b); q = q.Add(15 * time.Minute) {
			if crewAt(k, c, d, q) {
				counted += 15 * time.Minute
			}
		}
		if got := m.Between(a, b); got != counted {
			t.Fatalf("between %v and %v: %v, counted %v", a, b, got, counted)
		}
	})
}

// crewAt judges one moment by its local clock alone.
func crewAt(k *calendar.Clock, c calendar.Calendar, d drawn, at time.Time) bool {
	for _, s := range d.stops {
		if !at.Before(s.From) && at.Before(s.Until) {
			return false
		}
	}
	local := at.In(k.Zone())
	clock := local.Format("15:04")
	today, yesterday := k.IsWorkingDay(local), k.IsWorkingDay(local.AddDate(0, 0, -1))
	for _, s := range c.Shifts {
		overnight := s.End <= s.Start
		switch {
		case !slices.Contains(d.crew, s.Name):
		case today && clock >= s.Start && (overnight || clock < s.End), overnight && yesterday && clock < s.End:
			return true
		}
	}
	return false
}

type drawn struct {
	base  time.Time
	stops []calendar.Span
	crew  []string
	rnd   *rand.Rand
}

func drawManned(t *rapid.T) (calendar.Calendar, *calendar.Manned, drawn) {
	zone := rapid.SampledFrom([]string{"UTC", "Europe/London", "America/New_York", "Australia/Lord_Howe"}).Draw(t, "zone")
	c := threeShifts(zone, "2031-03-31", "2031-10-27")
	c.WorkingDays = rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}), 1, 7, func(s string) string { return s }).Draw(t, "days")
	c.Shifts = append(c.Shifts, calendar.Shift{Name: "long", Start: "20:00", End: "08:30"})
	k, err := calendar.Compile(c)
	if err != nil {
		t.Fatal(err)
	}
	base := time.Date(2031, rapid.SampledFrom([]time.Month{time.March, time.October}).Draw(t, "month"), 28, 0, 0, 0, 0, k.Zone())
	rnd := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1)) // rapid's own draws favour small numbers, all in one night
	var stops []calendar.Span
	for range rnd.IntN(8) {
		from := base.Add(time.Duration(rnd.IntN(800)-400) * 15 * time.Minute)
		stops = append(stops, calendar.Span{From: from, Until: from.Add(time.Duration(rnd.IntN(100)) * 15 * time.Minute)})
	}
	crew := rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"early", "late", "night", "long"}), 1, 4, func(s string) string { return s }).Draw(t, "crew")
	m, err := k.Windows(base, crew, stops)
	if err != nil {
		t.Fatal(err)
	}
	return c, m, drawn{base, stops, crew, rnd}
}

func BenchmarkAddWorking(b *testing.B) {
	now := at(b, "Europe/London", "2031-03-03 06:00")
	_, m := manned(b, threeShifts("Europe/London"), now, nil, "early", "late")
	for i := 0; b.Loop(); i++ {
		m.AddWorking(now.Add(time.Duration(i%10000)*time.Minute), 300*time.Hour)
	}
}
