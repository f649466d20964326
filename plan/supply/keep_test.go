package supply_test

import (
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/supply"
	"github.com/flutewright/flutewright/plant/roll"
)

// TestDaysOfCover: hand. 8,000 m drawn 48 h from now are 4,000 m a day; 1.5 days
// of cover are 6,000 m. A roll at 2350 holds 5,900 m.
func TestDaysOfCover(t *testing.T) {
	for _, c := range []struct {
		source       string
		house        int
		days         float64
		calls, rolls int
		short, cover int
	}{
		{"hand: no rule, nothing missing", 8000, 0, 0, 0, 0, 0},
		{"hand: 14,000 m leave exactly the cover", 14000, 1.5, 0, 0, 0, 0},
		{"hand: 13,000 m leave 5,000: 1,000 are lacking", 13000, 1.5, 1, 1, 0, 1000},
		{"hand: 2,000 m: 6,000 missing and 6,000 of cover are 3 rolls", 2000, 1.5, 1, 3, 6000, 6000},
		{"hand: the same without a rule are 2 rolls", 2000, 0, 1, 2, 6000, 0},
	} {
		p := problem()
		p.Draws[0].At = p.Now.Add(48 * time.Hour)
		p.Rolls[0].Length, p.Supplies[0].CoverDays = metres(c.house), c.days
		list := supply.Calls(p).Calls
		if len(list) != c.calls {
			t.Errorf("%s: %+v", c.source, list)
			continue
		}
		if c.calls == 1 && (list[0].Rolls != c.rolls || near(list[0].Short, c.short) || near(list[0].Cover, c.cover) || c.short == 0 && list[0].TooLate) {
			t.Errorf("%s: %+v", c.source, list[0])
		}
	}
}

// near reports whether a length is off by more than a metre.
func near(d quantity.Distance, m int) bool {
	return d < metres(m)-metres(1) || d > metres(m)+metres(1)
}

// TestCoverIsCalledAtTheNextHour: hand. Stock below the cover already: the
// latest hour has passed, so the next hour from now on at which the supplier
// takes calls is named, and shortages stay ahead of it.
func TestCoverIsCalledAtTheNextHour(t *testing.T) {
	p := problem()
	p.Draws[0].At = p.Now.Add(time.Hour)
	p.Rolls[0].Length, p.Supplies[0].CoverDays = metres(8500), 1
	c := supply.Calls(p).Calls[0]
	day := p.Now.UTC()
	want := time.Date(day.Year(), day.Month(), day.Day(), 12, 0, 0, 0, time.UTC)
	if want.Before(p.Now) {
		want = want.AddDate(0, 0, 1)
	}
	if c.Short != 0 || c.TooLate || !c.By.Equal(want) || !c.Arrives.Equal(want.Add(24*time.Hour)) {
		t.Errorf("%+v, wanted a call by %s", c, want)
	}
	p.Closed = func(t time.Time) bool { return t.Day() == want.Day() }
	if c = supply.Calls(p).Calls[0]; !c.By.Equal(want.AddDate(0, 0, 1)) {
		t.Errorf("closed that day: %s", c.By)
	}
	p.Closed = nil
	p.Draws = append(p.Draws, supply.Draw{Run: 2, Paper: "TL140", Web: mm(2500), Metres: metres(100), At: p.Now.Add(90 * time.Hour)})
	p.Rolls = append(p.Rolls, roll.Roll{ID: "E", Paper: "TL140", Width: mm(2350), Length: metres(1)})
	if list := supply.Calls(p).Calls; len(list) != 2 || list[0].Web != mm(2500) {
		t.Errorf("the shortage stands behind the cover: %+v", list)
	}
}
