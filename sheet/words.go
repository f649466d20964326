package sheet

import (
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant"
)

// words turns values into what the plant's people read: its units, its clock, its way of dates.
type words struct {
	quantity.Format
	letter bool
	zone   *time.Location
	now    time.Time
}

func newWords(d plant.Display, zone *time.Location, now time.Time) words {
	return words{
		Format: quantity.Format{US: d.Units == "us", InchParts: d.InchParts, Currency: d.Currency, Dates: d.Dates},
		letter: d.Page == "Letter", zone: zone, now: now,
	}
}

func (w words) page() pageSize {
	if w.letter {
		return letter
	}
	return a4
}

// moment is weekday, date and time: "Mon 2031-03-03 06:00"; a dash for no time.
func (w words) moment(t time.Time) string {
	if t.IsZero() {
		return "–"
	}
	t = t.In(w.zone)
	return t.Format("Mon ") + w.DateTime(t)
}

// clock is weekday and time while that is unmistakable, within six days of now; else the moment.
func (w words) clock(t time.Time) string {
	if d := t.Sub(w.now); !t.IsZero() && d > -24*time.Hour && d < 6*24*time.Hour {
		return t.In(w.zone).Format("Mon 15:04")
	}
	return w.moment(t)
}

// size is a length with its unit: "443 mm", "17 7/16 in".
func (w words) size(l quantity.Length) string { return w.Length(l) + " " + w.LengthUnit() }

// web is a length along the web with its unit: "10,130 m".
func (w words) web(d quantity.Distance) string { return w.Run(d) + " " + w.RunUnit() }

// mass is a mass with its unit.
func (w words) mass(m quantity.Mass) string { return w.Mass(m) + " " + w.MassUnit() }

// plural is "1 unit", "3 units".
func (w words) plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return w.Count(n) + " " + many
}
