package floor

import (
	"fmt"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
)

// Check returns a fault.Infeasible error unless every stack stands on one lane
// that has room for it or outside, stacks stay where they are stated, and the
// figures of the result are those of its places. It looks at every stack's
// coming by itself and shares no code with Solve.
func Check(p Problem, r Result) error {
	wrong := func(format string, args ...any) error {
		return fmt.Errorf("sheet floor: "+format+": %w", append(args, fault.Infeasible)...)
	}
	if len(r.Placed) != len(p.Stacks) {
		return wrong("%d places for %d stacks", len(r.Placed), len(p.Stacks))
	}
	lanes := map[string]Lane{}
	for _, l := range p.Lanes {
		lanes[l.Name] = l
	}
	there := func(s Stack, at time.Time) bool { // after all that goes at that moment has gone
		in := s.In
		if in.Before(p.From) {
			in = p.From
		}
		return !in.After(at) && (s.Out.IsZero() || s.Out.After(at))
	}
	var full time.Time
	for i, s := range r.Placed {
		at := s.In
		if at.Before(p.From) {
			at = p.From
		}
		if s.Stack != p.Stacks[i] {
			return wrong("stack %d is another", i)
		}
		if at.After(p.Until) || !there(s.Stack, at) {
			continue
		}
		if _, known := lanes[s.Stated]; known && !s.In.After(p.From) && s.Lane != s.Stated {
			return wrong("stack %s is stated in lane %s, not %q", s.Name, s.Stated, s.Lane)
		}
		if s.Lane == "" {
			if full.IsZero() || at.Before(full) {
				full = at
			}
			continue
		}
		lane, known := lanes[s.Lane]
		if !known {
			return wrong("lane %q is not on the floor", s.Lane)
		}
		var used quantity.Distance
		pinned := true // only stacks that are stated there
		for _, o := range r.Placed {
			if o.Lane == s.Lane && there(o.Stack, at) {
				used += lane.Takes(o.Stack)
				pinned = pinned && !o.In.After(p.From) && o.Stated == o.Lane
			}
		}
		if used > lane.Length && !pinned && !(!s.In.After(p.From) && s.Stated == s.Lane) {
			return wrong("lane %s of %v holds %v at %s", lane.Name, lane.Length, used, at.Format(time.RFC3339))
		}
	}
	if !full.Equal(r.FullAt) {
		return wrong("full at %v, said %v", full, r.FullAt)
	}
	return checkCurve(p, r, lanes, there)
}

// checkCurve adds up every point of the curve anew.
func checkCurve(p Problem, r Result, lanes map[string]Lane, there func(Stack, time.Time) bool) error {
	var most quantity.Distance
	for _, c := range r.Curve {
		var used, outside quantity.Distance
		for _, s := range r.Placed {
			if !there(s.Stack, c.At) {
				continue
			}
			if l, ok := lanes[s.Lane]; ok {
				used += l.Takes(s.Stack)
				continue
			}
			least := quantity.Distance(1 << 62)
			for _, l := range p.Lanes {
				least = min(least, l.Takes(s.Stack))
			}
			used, outside = used+least, outside+least
		}
		if used != c.Used || outside != c.Outside {
			return fmt.Errorf("sheet floor: %v used and %v outside at %s, said %v and %v: %w", used, outside, c.At.Format(time.RFC3339), c.Used, c.Outside, fault.Infeasible)
		}
		most = max(most, outside)
	}
	if most != r.Outside || r.Outside < r.Bound {
		return fmt.Errorf("sheet floor: %v outside at most, said %v, bound %v: %w", most, r.Outside, r.Bound, fault.Infeasible)
	}
	return nil
}
