package trace

import (
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/ident"
)

// Mounting is a roll on a stand for a time.
type Mounting struct {
	Roll  ident.Roll
	Stand string
	From  time.Time
	Until time.Time // zero: still on
}

// MountingsOf returns when which roll was on which stand, in time. A roll is on
// until it was taken off, found elsewhere or mounted elsewhere; where nobody told
// that, until the next roll was mounted on its stand. A stand that holds the next
// roll ready has two on for a while. Stands are the same in capitals. The order of facts and repeats change nothing.
func MountingsOf(facts []Fact) []Mounting {
	var out []Mounting
	on := map[ident.Roll]int{} // its mounting, from 1
	for _, f := range Standing(facts) {
		switch f.Kind {
		case RollMounted:
			if n := on[f.Roll]; n > 0 {
				if strings.EqualFold(out[n-1].Stand, f.Place) {
					continue
				}
				out[n-1].Until = f.At
			}
			out = append(out, Mounting{Roll: f.Roll, Stand: f.Place, From: f.At})
			on[f.Roll] = len(out)
		case RollOff, RollFound, RollCame:
			if n := on[f.Roll]; n > 0 {
				out[n-1].Until = f.At
				on[f.Roll] = 0
			}
		}
	}
	for i := range out {
		for _, next := range out[i+1:] {
			if out[i].Until.IsZero() && strings.EqualFold(next.Stand, out[i].Stand) && next.Roll != out[i].Roll && next.From.After(out[i].From) {
				out[i].Until = next.From
			}
		}
	}
	return out
}

// Within returns the part of a mounting that lies between two moments; false where there is none.
func (m Mounting) Within(from, until time.Time) (a, b time.Time, some bool) {
	a, b = from, until
	if m.From.After(a) {
		a = m.From
	}
	if !m.Until.IsZero() && m.Until.Before(b) {
		b = m.Until
	}
	return a, b, b.After(a)
}
