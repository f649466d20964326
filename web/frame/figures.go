package frame

import (
	"fmt"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
)

// Figures writes quantities in the plant's units and times in its zone.
type Figures struct {
	quantity.Format
	Zone *time.Location
}

// FiguresOf returns the figures of a plant.
func FiguresOf(snap *desk.Snapshot) Figures {
	d := snap.Plant.Display
	return Figures{quantity.Format{US: d.Units == "us", InchParts: d.InchParts, Currency: d.Currency, Dates: d.Dates}, snap.Zone()}
}

func (f Figures) in(t time.Time) time.Time {
	if f.Zone == nil {
		return t
	}
	return t.In(f.Zone)
}

// InUnits returns violations with the limits that engines state worded in the plant's units.
func (f Figures) InUnits(vs fault.Violations) fault.Violations {
	out := make(fault.Violations, len(vs))
	for i, v := range vs {
		v.Value, v.Rule, v.Remedy = f.Say(v.Value), f.Say(v.Rule), f.Say(v.Remedy)
		out[i] = v
	}
	return out
}

// none stands where there is no time to show.
const none = "–"

// Date, Day, Time, DateTime and Moment write a time in the plant's zone; a
// dash where there is none.
func (f Figures) Date(t time.Time) string { return f.write(t, f.Format.Date) }

// Day is the day without its year.
func (f Figures) Day(t time.Time) string { return f.write(t, f.Format.Day) }

// Time is the time of day.
func (f Figures) Time(t time.Time) string { return f.write(t, f.Format.Time) }

// DateTime is date and time.
func (f Figures) DateTime(t time.Time) string { return f.write(t, f.Format.DateTime) }

// Moment is day and time without the year: "Tue 4 Mar 14:00".
func (f Figures) Moment(t time.Time) string {
	return f.write(t, func(t time.Time) string { return f.Format.Day(t) + " " + f.Format.Time(t) })
}

func (f Figures) write(t time.Time, form func(time.Time) string) string {
	if t.IsZero() {
		return none
	}
	return form(f.in(t))
}

// Hours is a span as hours and minutes, "2:05", with a minus where negative.
func (f Figures) Hours(m quantity.Minutes) string {
	sign, n := "", int(m+0.5)
	if m < 0 {
		sign, n = "−", int(-m+0.5)
	}
	if n == 0 {
		sign = ""
	}
	return fmt.Sprintf("%s%s:%02d", sign, grouped(n/60), n%60)
}

// Whole is minutes without decimals.
func (f Figures) Whole(m quantity.Minutes) string { return f.Number(float64(m), 0) }

// Pct is a percentage to so many decimals, without its sign.
func (f Figures) Pct(v float64, decimals int) string { return f.Number(v, decimals) }

// Float is a plain number to so many decimals.
func (f Figures) Float(v float64, decimals int) string { return f.Number(v, decimals) }

// Minutes is a span in minutes, a tenth below ten.
func (f Figures) Minutes(m quantity.Minutes) string {
	if m != 0 && m > -10 && m < 10 {
		return f.Number(float64(m), 1)
	}
	return f.Number(float64(m), 0)
}

// Fine is a small amount of money, to a hundredth of a cent: a price per area.
func (f Figures) Fine(m quantity.Money) string { return f.Number(float64(m), 4) }

// Short is weekday, day and time for tables that span a few days: "Tue 4, 14:00".
func (f Figures) Short(t time.Time) string {
	return f.write(t, func(t time.Time) string { return t.Format("Mon 2, 15:04") })
}
