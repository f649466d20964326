package order

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/fault"
)

// Hours writes when the dock takes deliveries: "Mon, Tue 07:00–15:00".
func (r Receiving) Hours() string {
	return strings.Join(r.Days, ", ") + " " + r.From + "–" + r.Until
}

// mostDays is how far a receiving moment is sought: a dock that is shut for
// longer counts as never open.
const mostDays = 60

// Receivable returns the last moment at or before due at which the customer's
// dock takes a delivery, and why it is another than due; "" where due itself
// is one. zone is the plant's. A dock without hours is open all day.
func (c Customer) Receivable(due time.Time, zone *time.Location) (at time.Time, why string) {
	local := due.In(zone)
	for back := range mostDays {
		day := time.Date(local.Year(), local.Month(), local.Day()-back, 12, 0, 0, 0, zone)
		var best time.Time
		for _, w := range c.open(day, zone) {
			if w[0].After(due) {
				continue
			}
			if end := earlier(w[1], due); end.After(best) {
				best = end
			}
		}
		if !best.IsZero() {
			return best, c.whyNot(due, best, zone)
		}
	}
	return due, ""
}

// Received returns the first moment at or after arrival at which the dock
// takes the delivery, and why it is later; "" where it is taken at once.
func (c Customer) Received(arrival time.Time, zone *time.Location) (at time.Time, why string) {
	local := arrival.In(zone)
	for ahead := -1; ahead < mostDays; ahead++ { // from the day before: its hours may reach past midnight
		day := time.Date(local.Year(), local.Month(), local.Day()+ahead, 12, 0, 0, 0, zone)
		var best time.Time
		for _, w := range c.open(day, zone) {
			if w[1].Before(arrival) {
				continue
			}
			if start := later(w[0], arrival); best.IsZero() || start.Before(best) {
				best = start
			}
		}
		if !best.IsZero() {
			return best, c.whyNot(arrival, best, zone)
		}
	}
	return arrival, ""
}

// open returns the spans in which the dock is open on the day of noon.
func (c Customer) open(noon time.Time, zone *time.Location) [][2]time.Time {
	y, m, d := noon.Date()
	if slices.Contains(c.ClosedDays, noon.Format(time.DateOnly)) {
		return nil
	}
	if len(c.Receives) == 0 {
		return [][2]time.Time{{time.Date(y, m, d, 0, 0, 0, 0, zone), time.Date(y, m, d+1, 0, 0, 0, 0, zone).Add(-time.Minute)}}
	}
	var out [][2]time.Time
	for _, r := range c.Receives {
		if !slices.ContainsFunc(r.Days, func(day string) bool { return strings.EqualFold(day, noon.Format("Mon")) }) {
			continue
		}
		from, until := clockOn(r.From, y, m, d, zone), clockOn(r.Until, y, m, d, zone)
		if !until.After(from) {
			until = clockOn(r.Until, y, m, d+1, zone)
		}
		out = append(out, [2]time.Time{from, until})
	}
	return out
}

// clockOn is a time of day, which Validate has judged, on a date.
func clockOn(hhmm string, y int, m time.Month, d int, zone *time.Location) time.Time {
	var hour, minute int
	if _, err := fmt.Sscanf(hhmm, "%d:%d", &hour, &minute); err != nil {
		panic("order: receiving hours that were not validated: " + hhmm)
	}
	return time.Date(y, m, d, hour, minute, 0, 0, zone)
}

// whyNot says why the moment wanted is no receiving moment; "" where it is.
func (c Customer) whyNot(wanted, taken time.Time, zone *time.Location) string {
	local := wanted.In(zone)
	switch {
	case wanted.Equal(taken):
		return ""
	case slices.Contains(c.ClosedDays, local.Format(time.DateOnly)):
		return "the customer is closed on that day"
	case len(c.open(local, zone)) == 0:
		return "the customer takes no deliveries on a " + local.Weekday().String()
	}
	var hours []string
	for _, r := range c.Receives {
		hours = append(hours, r.Hours())
	}
	return "the customer takes deliveries " + strings.Join(hours, "; ")
}

func earlier(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// weekdays in the order of the week.
var weekdays = []string{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}

// ParseReceiving reads receiving hours as people write them, parts by
// semicolons: "Mon-Fri 07:00-15:00; Sat 08:00-12:00". An empty text is no hours.
// It returns fault.Violations on the field receives.
func ParseReceiving(s string) ([]Receiving, error) {
	var out []Receiving
	for part := range strings.SplitSeq(s, ";") {
		words := strings.Fields(strings.NewReplacer("–", "-", "—", "-", ",", " ").Replace(part))
		if len(words) == 0 {
			continue
		}
		from, until, ok := strings.Cut(words[len(words)-1], "-")
		var days []string
		for _, w := range words[:len(words)-1] {
			list, known := daysOf(w)
			ok = ok && known
			days = append(days, list...)
		}
		if !ok || len(days) == 0 {
			return nil, fault.Violations{{Field: "receives", Value: clip(strings.TrimSpace(part)), Rule: "must name days and hours", Remedy: "write Mon-Fri 07:00-15:00; Sat 08:00-12:00"}}
		}
		out = append(out, Receiving{Days: days, From: from, Until: until})
	}
	return out, nil
}

// daysOf reads "Mon" or "Mon-Fri".
func daysOf(word string) ([]string, bool) {
	at := func(s string) int {
		return slices.IndexFunc(weekdays, func(d string) bool { return len(s) >= 3 && strings.EqualFold(d, s[:3]) })
	}
	first, last, span := strings.Cut(word, "-")
	from := at(first)
	if !span {
		last = first
	}
	until := at(last)
	if from < 0 || until < from {
		return nil, false
	}
	return weekdays[from : until+1], true
}

// WriteReceiving writes hours as ParseReceiving reads them.
func WriteReceiving(list []Receiving) string {
	var parts []string
	for _, r := range list {
		days := strings.Join(r.Days, " ")
		if n := len(r.Days); n > 2 {
			if first := slices.Index(weekdays, r.Days[0]); first >= 0 && first+n <= len(weekdays) && slices.Equal(weekdays[first:first+n], r.Days) {
				days = r.Days[0] + "-" + r.Days[n-1]
			}
		}
		parts = append(parts, days+" "+r.From+"-"+r.Until)
	}
	return strings.Join(parts, "; ")
}
