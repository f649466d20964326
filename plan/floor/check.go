package floor

import (
	"fmt"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
)

// Check returns a fault.Infeasible error unless every stack stands on one lane
// that has room for it or outside, stacks stay where they are stated, and the
// figures of the result are those of its places. It looks at every moment by
// itself and shares no code with Solve.
func Check(p Problem, r Result) error {
	if len(r.Placed) != len(p.Stacks) {
		return amiss("%d places for %d stacks", len(r.Placed), len(p.Stacks))
	}
	c := check{p, r, map[string]Lane{}}
	for _, l := range p.Lanes {
		c.lanes[l.Name] = l
	}
	var full time.Time
	for i, s := range r.Placed {
		if s.Stack != p.Stacks[i] {
			return amiss("stack %d is another", i)
		}
		in := c.in(s.Stack)
		if in.After(p.Until) || !c.there(s.Stack, in) {
			continue
		}
		if (s.Lane == "" || !s.Waits.IsZero()) && (full.IsZero() || in.Before(full)) {
			full = in
		}
		if err := c.place(s); err != nil {
			return err
		}
	}
	if !full.Equal(r.FullAt) {
		return amiss("full at %v, said %v", full, r.FullAt)
	}
	return c.curve()
}

func amiss(format string, args ...any) error {
	return fmt.Errorf("sheet floor: "+format+": %w", append(args, fault.Infeasible)...)
}

type check struct {
	p     Problem
	r     Result
	lanes map[string]Lane
}

func (c check) in(s Stack) time.Time {
	if s.In.Before(c.p.From) {
		return c.p.From
	}
	return s.In
}

// there reports whether a stack is on the floor after all that goes at a moment has gone.
func (c check) there(s Stack, at time.Time) bool {
	return !c.in(s).After(at) && (s.Out.IsZero() || s.Out.After(at))
}

// inLane reports whether it stands in its lane then.
func (c check) inLane(s Placed, at time.Time) bool {
	return s.Lane != "" && c.there(s.Stack, at) && !s.Waits.After(at)
}

// place judges where one stack stands, at the moment it takes its place.
func (c check) place(s Placed) error {
	stands := !s.In.After(c.p.From)
	_, known := c.lanes[s.Stated]
	if known && stands && s.Lane != s.Stated {
		return amiss("stack %s is stated in lane %s, not %q", s.Name, s.Stated, s.Lane)
	}
	if s.Lane == "" {
		return nil
	}
	lane, known := c.lanes[s.Lane]
	if !known {
		return amiss("lane %q is not on the floor", s.Lane)
	}
	at := c.in(s.Stack)
	if s.Waits.After(at) {
		at = s.Waits
	}
	if !c.inLane(s, at) {
		return amiss("stack %s of %s takes its lane when it has gone", s.Name, s.Release)
	}
	var used quantity.Distance
	for _, o := range c.r.Placed {
		if o.Lane == s.Lane && c.inLane(o, at) {
			used += lane.Takes(o.Stack)
		}
	}
	if used > lane.Length && !(stands && s.Stated == s.Lane) { // what is stated stands, arithmetic or not
		return amiss("lane %s of %v holds %v at %s", lane.Name, lane.Length, used, at.Format(time.RFC3339))
	}
	return nil
}

// curve adds up every point of the curve anew.
func (c check) curve() error {
	var most quantity.Distance
	for _, point := range c.r.Curve {
		var used, outside quantity.Distance
		for _, s := range c.r.Placed {
			switch {
			case c.inLane(s, point.At):
				used += c.lanes[s.Lane].Takes(s.Stack)
			case c.there(s.Stack, point.At):
				least := quantity.Distance(1 << 62)
				for _, l := range c.p.Lanes {
					least = min(least, l.Takes(s.Stack))
				}
				used, outside = used+least, outside+least
			}
		}
		if used != point.Used || outside != point.Outside {
			return amiss("%v used and %v outside at %s, said %v and %v", used, outside, point.At.Format(time.RFC3339), point.Used, point.Outside)
		}
		most = max(most, outside)
	}
	if most != c.r.Outside || c.r.Outside < c.r.Bound {
		return amiss("%v outside at most, said %v, bound %v", most, c.r.Outside, c.r.Bound)
	}
	return nil
}
