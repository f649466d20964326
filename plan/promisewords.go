package plan

import (
	"fmt"
	"math"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/promise"
)

// promised puts the answer into one sentence: yes or no, the date, what it
// waits for, the chance, the price of a day sooner, in the plant's units.
func (m *maker) promised(p *Promised) string {
	return m.inUnits(m.promisedInSI(p))
}

// inUnits puts a sentence into the plant's units.
func (m *maker) inUnits(s string) string {
	d := m.ix.book.Plant.Display
	return quantity.Format{US: d.Units == "us", InchParts: d.InchParts, Currency: d.Currency, Dates: d.Dates}.Say(s)
}

func (m *maker) promisedInSI(p *Promised) string {
	if p.Refusal != "" {
		return "No: " + p.Refusal + "."
	}
	place := "at the customer's dock"
	if p.DueAt == "gate" {
		place = "at our gate"
	}
	var b strings.Builder
	switch {
	case p.Yes && p.Float < 60:
		fmt.Fprintf(&b, "Yes, but only just: %s %s, %s before it is due", place, m.moment(p.At), lasts(p.Float))
	case p.Yes:
		fmt.Fprintf(&b, "Yes: %s %s, %s before it is due", place, m.moment(p.At), lasts(p.Float))
	default:
		fmt.Fprintf(&b, "No: %s %s, %s after it is due", place, m.moment(p.At), lasts(-p.Float))
	}
	if what := m.waits(p.Waits); what != "" {
		fmt.Fprintf(&b, "; it waits for %s", what)
	}
	fmt.Fprintf(&b, "; %s; %s.", m.chanceWords(p.Chance), m.dayWords(p))
	return b.String()
}

// waits names the longest stretches in which nothing is made of it, two at most.
func (m *maker) waits(list []promise.Wait) string {
	var out []string
	for _, w := range list {
		if len(out) == 2 || w.Length < 30 {
			break
		}
		switch w.For {
		case promise.Work:
			continue
		case promise.Paper:
			out = append(out, fmt.Sprintf("paper (%s) %s", w.What, lasts(w.Length)))
		case promise.Slot, promise.Cure, promise.Road:
			out = append(out, fmt.Sprintf("the %s %s", w.For, lasts(w.Length)))
		default:
			what := string(w.For)
			if w.For == promise.Press {
				what = "the machine"
			}
			if strings.HasPrefix(w.What, "machine, busy") {
				w.What = strings.TrimPrefix(w.What, "machine, ")
			}
			if w.What != "" && w.What != what {
				what += " (" + w.What + ")"
			}
			out = append(out, fmt.Sprintf("%s %s", what, lasts(w.Length)))
		}
	}
	return strings.Join(out, ", then ")
}

func (m *maker) chanceWords(c promise.Chance) string {
	if !c.Known {
		if c.Why == "" {
			return "its chance was not worked out"
		}
		return c.Why
	}
	words := fmt.Sprintf("chance %.0f %% (%.0f to %.0f)", 100*c.P, 100*c.Low, 100*c.High)
	if c.Why != "" {
		words += ", " + c.Why
	}
	return words
}

func (m *maker) dayWords(p *Promised) string {
	if d := p.InTime; d != nil {
		return fmt.Sprintf("in time (%s) costs %s by %s", m.moment(d.At), m.price(d.Cost), strings.Join(d.Means, ", "))
	}
	if d := p.DaySooner; d != nil {
		return fmt.Sprintf("a day sooner (%s) costs %s by %s", m.moment(d.At), m.price(d.Cost), strings.Join(d.Means, ", "))
	}
	if n := len(p.Sooner); n > 0 {
		s := p.Sooner[n-1]
		return fmt.Sprintf("a day sooner is not to be had; the earliest tried is %s, %s sooner, for %s by %s", m.moment(s.At), lasts(s.Gain), m.price(s.Cost), strings.Join(s.Means, ", "))
	}
	return "nothing tried has it sooner"
}

func (m *maker) price(v quantity.Money) string {
	if math.Abs(float64(v)) < 0.5 {
		return "nothing"
	}
	return m.say().money(v)
}

// moment is the day and time in the plant's zone.
func (m *maker) moment(t time.Time) string {
	zone, err := time.LoadLocation(m.ix.book.Plant.Calendar.Zone)
	if err != nil {
		zone = time.UTC // the clock station has refused an unknown zone before
	}
	return m.say().Day(t.In(zone)) + " " + m.say().Time(t.In(zone))
}

// lasts words a length of time.
func lasts(v quantity.Minutes) string {
	switch h := float64(v) / 60; {
	case v < 90:
		return fmt.Sprintf("%.0f min", float64(v))
	case h < 48:
		return fmt.Sprintf("%.1f h", h)
	default:
		return fmt.Sprintf("%.1f days", h/24)
	}
}
