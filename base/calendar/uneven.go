package calendar

import (
	"fmt"
	"time"
)

// Uneven is a turn that is longer or shorter than its shift is by the clock on
// the wall, for the clocks change in it.
type Uneven struct {
	Turn
	Stated time.Duration // by the wall
}

// Uneven returns the turns of all shifts that overlap [from, until) and in which the clocks change.
func (k *Clock) Uneven(from, until time.Time) (out []Uneven) {
	var all []string
	stated := map[string]time.Duration{}
	for _, s := range k.shifts {
		all = append(all, s.name)
		stated[s.name] = time.Duration(s.end-s.start) * time.Minute
	}
	for _, t := range k.Turns(from, until, all...) {
		if t.Until.Sub(t.From) != stated[t.Shift] {
			out = append(out, Uneven{t, stated[t.Shift]})
		}
	}
	return out
}

// String says so in one sentence without its stop.
func (u Uneven) String() string {
	return fmt.Sprintf("the clocks change in the shift %s that begins on %s: it is %s long, not %s",
		u.Shift, u.From.Format("Monday 2 January 2006"), hours(u.Until.Sub(u.From)), hours(u.Stated))
}

// hours is "9 h" or "7 h 30 min".
func hours(d time.Duration) string {
	if m := int(d.Minutes()) % 60; m != 0 {
		return fmt.Sprintf("%d h %d min", int(d.Hours()), m)
	}
	return fmt.Sprintf("%d h", int(d.Hours()))
}
