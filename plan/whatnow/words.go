package whatnow

import (
	"fmt"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
)

// words writes quantities in the plant's units and times in its zone.
type words struct {
	quantity.Format
	zone *time.Location
}

func wordsOf(b plant.Book) words {
	d := b.Plant.Display
	w := words{Format: quantity.Format{US: d.Units == "us", InchParts: d.InchParts, Currency: d.Currency, Dates: d.Dates}, zone: time.UTC}
	if z, err := time.LoadLocation(b.Plant.Calendar.Zone); err == nil {
		w.zone = z
	}
	return w
}

func (w words) clock(t time.Time) string { return t.In(w.zone).Format("Mon 15:04") }

func (w words) width(l quantity.Length) string    { return w.Length(l) + " " + w.LengthUnit() }
func (w words) metres(d quantity.Distance) string { return w.Run(d) + " " + w.RunUnit() }
func (w words) money(m quantity.Money) string     { return w.WholeMoney(m) + " " + w.Currency }

// lanes is "2 × J1001 + 3 × J1024".
func (w words) lanes(r runs.Run) string {
	parts := make([]string, len(r.Lanes))
	for i, l := range r.Lanes {
		parts[i] = fmt.Sprintf("%d × %s", l.Outs, l.Order)
	}
	return strings.Join(parts, " + ")
}

func minutes(m quantity.Minutes) string { return fmt.Sprintf("%.0f min", float64(m)) }

// span writes minutes in the two largest of days, hours and minutes.
func span(m quantity.Minutes) string {
	n := int(float64(m) + 0.5)
	switch {
	case n >= 24*60:
		return fmt.Sprintf("%d d %d h", n/(24*60), n/60%24)
	case n >= 60:
		return fmt.Sprintf("%d h %02d min", n/60, n%60)
	}
	return fmt.Sprintf("%d min", n)
}

// than says a difference of cost to doing nothing in words.
func (w words) than(m quantity.Money) string {
	if s := w.beside(m); s != "as dear" {
		return s + " than doing nothing"
	}
	return "at the same cost as doing nothing"
}

// beside says a difference of cost in words: "120 EUR cheaper".
func (w words) beside(m quantity.Money) string {
	switch {
	case m < -0.5:
		return w.money(-m) + " cheaper"
	case m > 0.5:
		return w.money(m) + " dearer"
	}
	return "as dear"
}
