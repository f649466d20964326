package calendar

import "time"

// Turn is one shift of one day: the time a crew is there.
type Turn struct {
	Shift string
	Span
}

// Turns returns the turns of the named shifts that overlap [from, until), by
// start and then in the calendar's order of shifts. Names that the calendar
// does not have are left out.
func (k *Clock) Turns(from, until time.Time, shifts ...string) (out []Turn) {
	named := map[string]bool{}
	for _, s := range shifts {
		named[s] = true
	}
	y, mon, d := from.In(k.zone).AddDate(0, 0, -2).Date()
	for {
		noon := time.Date(y, mon, d, 12, 0, 0, 0, k.zone)
		if noon.After(until.Add(24 * time.Hour)) {
			return out
		}
		if k.IsWorkingDay(noon) {
			for _, s := range k.shifts {
				a, b := k.span(s, y, mon, d)
				t := Turn{s.name, Span{time.Unix(0, a).In(k.zone), time.Unix(0, b).In(k.zone)}}
				if named[s.name] && t.From.Before(until) && t.Until.After(from) {
					out = append(out, t)
				}
			}
		}
		y, mon, d = noon.AddDate(0, 0, 1).Date()
	}
}
