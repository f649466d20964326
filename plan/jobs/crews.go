package jobs

import (
	"slices"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/convert"
)

// limited says whether the crews of a shift are counted.
func (s *shop) limited(shift string) bool {
	return slices.ContainsFunc(s.Crews, func(c plant.Crew) bool { return c.Shift == shift })
}

// unlimited returns the machine's shifts on which it has a crew of its own.
func (s *shop) unlimited(m convert.Machine) (out []string) {
	for _, shift := range m.Shifts {
		if !s.limited(shift) {
			out = append(out, shift)
		}
	}
	return out
}

// couldMan says whether any crew could stand at the machine.
func (s *shop) couldMan(m convert.Machine) bool {
	return slices.ContainsFunc(m.Shifts, func(shift string) bool {
		return !s.limited(shift) || slices.ContainsFunc(s.Crews, func(c plant.Crew) bool {
			return c.Shift == shift && c.Crews > 0 && can(c, m.Code)
		})
	})
}

func can(c plant.Crew, m ident.Machine) bool { return len(c.Can) == 0 || slices.Contains(c.Can, m) }

// crews matches machines to the crews of one shift, one machine after the
// other: each that still finds a crew, if need be by moving others to another
// crew that can run them, stays. A set found in this order of worth has the
// greatest worth, since sets that can be crewed at once are the independent
// sets of a transversal matroid (Edmonds and Fulkerson, J. Res. Nat. Bur.
// Standards 69B (1965) 147–153; from memory).
type crews struct {
	slots []plant.Crew // one a crew
	at    []int        // machine at each, -1: free
	code  []ident.Machine
}

func (s *shop) crewsOf(shift string) *crews {
	c := &crews{}
	for _, e := range s.Crews {
		for range min(e.Crews, len(s.press)) {
			if e.Shift == shift {
				c.slots, c.at = append(c.slots, e), append(c.at, -1)
			}
		}
	}
	for _, m := range s.press {
		c.code = append(c.code, m.Code)
	}
	return c
}

// take gives machine m a crew; false when none is left that can run it.
func (c *crews) take(m int) bool { return c.augment(m, make([]bool, len(c.slots))) }

func (c *crews) augment(m int, seen []bool) bool {
	for i, slot := range c.slots {
		if seen[i] || !can(slot, c.code[m]) {
			continue
		}
		seen[i] = true
		if c.at[i] < 0 || c.augment(c.at[i], seen) {
			c.at[i] = m
			return true
		}
	}
	return false
}

// rewind works out the machine's manned time after its crewing has changed.
func (q *press) rewind() {
	extra := make([]calendar.Span, 0, len(q.crewing))
	for _, m := range q.crewing {
		extra = append(extra, calendar.Span{From: m.From, Until: m.Until})
	}
	q.manned = q.base.With(extra)
}
