package floor

import (
	"cmp"
	"context"
	"math/rand/v2"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
)

// tries is how many ways of choosing lanes are tried unless told otherwise.
const tries = 12

// Solve stands every stack on a lane. Stacks whose lane is stated stay there,
// even where the lane is too short for them: facts come before arithmetic. All
// others choose, as they come, a lane where no later stack stands ahead of
// them; ways of weighing fit against order are tried and the best is kept: full
// the latest, then the least that stands outside at once, then the fewest dug
// out. It returns fault.Violations for a floor without lanes or with faulty ones.
func Solve(ctx context.Context, p Problem, opt Options) (Result, error) {
	if err := p.validate(); err != nil {
		return Result{}, err
	}
	order := p.events()
	best := Result{Status: Stopped}
	chance := rand.New(rand.NewPCG(opt.Seed, 7))
	rounds := cmp.Or(opt.Rounds, tries)
	bound, soonest := p.bound(order)
	for round := range rounds {
		r := p.stand(order, waysOf(round, chance))
		r.Bound, r.Status = bound, RoundLimit
		if round == 0 || r.better(best) {
			best = r
		}
		if opt.OnProgress != nil {
			opt.OnProgress(round+1, best.Outside)
		}
		if best.Outside == bound && best.DugOut == 0 && best.FullAt.Equal(soonest) {
			best.Status = Optimal
			break
		}
		if ctx.Err() != nil {
			best.Status = Stopped
			break
		}
	}
	p.curve(&best, order)
	if !best.FullAt.IsZero() {
		best.Defer = p.deferral(best)
	}
	return best, nil
}

// better reports whether r is full later than o, or has less outside, or fewer dug out.
func (r Result) better(o Result) bool {
	switch {
	case !r.FullAt.Equal(o.FullAt):
		return r.FullAt.IsZero() || !o.FullAt.IsZero() && r.FullAt.After(o.FullAt)
	case r.Outside != o.Outside:
		return r.Outside < o.Outside
	}
	return r.DugOut < o.DugOut
}

func (p Problem) validate() error {
	var vs fault.Violations
	vs.Require(len(p.Lanes) > 0, "floor_lanes", "", "the plant states no lanes for sheets: state them, with their lengths")
	vs.Require(p.Until.After(p.From), "until", p.Until.Format(time.RFC3339), "must lie after the beginning")
	for _, l := range p.Lanes {
		vs.Require(l.Name != "" && l.Length > 0, "floor_lanes", l.Name, "a lane needs a name and a length")
	}
	return vs.Err()
}

// event is a stack that comes or goes.
type event struct {
	at    time.Time
	goes  bool
	stack int
}

// events puts what comes and goes until the end in time; at one moment stacks
// go before others come, and those that stand come in the order of their age.
func (p Problem) events() []event {
	var out []event
	for i, s := range p.Stacks {
		in := s.In
		if in.Before(p.From) {
			in = p.From
		}
		gone := !s.Out.IsZero() && !s.Out.After(in)
		if in.After(p.Until) || gone {
			continue
		}
		out = append(out, event{in, false, i})
		if !s.Out.IsZero() && !s.Out.After(p.Until) {
			out = append(out, event{s.Out, true, i})
		}
	}
	slices.SortStableFunc(out, func(a, b event) int {
		if d := a.at.Compare(b.at); d != 0 || a.goes != b.goes {
			return cmp.Or(d, cmp.Compare(bit(b.goes), bit(a.goes)))
		}
		x, y := p.Stacks[a.stack], p.Stacks[b.stack]
		return cmp.Or(cmp.Compare(bit(x.Stated == ""), bit(y.Stated == "")), x.In.Compare(y.In))
	})
	return out
}

func bit(b bool) int {
	if b {
		return 1
	}
	return 0
}

// least is what a stack takes of the lane that it takes the least of.
func (p Problem) least(s Stack) quantity.Distance {
	out := p.Lanes[0].Takes(s)
	for _, l := range p.Lanes[1:] {
		out = min(out, l.Takes(s))
	}
	return out
}

// bound is the most by which all stacks together exceed all lanes, and when
// they first do. Lanes that hold more than their length by what is stated count
// with what they hold.
func (p Problem) bound(order []event) (most quantity.Distance, first time.Time) {
	room := map[string]quantity.Distance{}
	for _, l := range p.Lanes {
		room[l.Name] = l.Length
	}
	stated := map[string]quantity.Distance{}
	for _, s := range p.Stacks {
		if l, ok := p.lane(s.Stated); ok && !s.In.After(p.From) {
			stated[l.Name] += l.Takes(s)
		}
	}
	var capacity, used quantity.Distance
	for name, length := range room {
		capacity += max(length, stated[name])
	}
	for _, e := range order {
		if e.goes {
			used -= p.least(p.Stacks[e.stack])
			continue
		}
		used += p.least(p.Stacks[e.stack])
		most = max(most, used-capacity)
		if used > capacity && first.IsZero() {
			first = e.at
		}
	}
	return most, first
}

func (p Problem) lane(name string) (Lane, bool) {
	for _, l := range p.Lanes {
		if l.Name == name {
			return l, true
		}
	}
	return Lane{}, false
}

// step is a change of what stands there.
type step struct {
	at            time.Time
	used, outside quantity.Distance
}

// curve fills in how much stands there over time.
func (p Problem) curve(r *Result, order []event) {
	r.Capacity = p.Capacity()
	var steps []step
	for _, e := range order {
		placed := r.Placed[e.stack]
		outside := p.least(placed.Stack)
		lane, in := p.lane(placed.Lane)
		take := lane.Takes(placed.Stack)
		switch {
		case e.goes && in:
			steps = append(steps, step{e.at, -take, 0})
		case e.goes:
			steps = append(steps, step{e.at, -outside, -outside})
		case !in:
			steps = append(steps, step{e.at, outside, outside})
		case !placed.Waits.IsZero():
			steps = append(steps, step{e.at, outside, outside}, step{placed.Waits, take - outside, -outside})
		default:
			steps = append(steps, step{e.at, take, 0})
		}
	}
	slices.SortStableFunc(steps, func(a, b step) int { return a.at.Compare(b.at) })
	var now Point
	for i, s := range steps {
		now.At, now.Used, now.Outside = s.at, now.Used+s.used, now.Outside+s.outside
		if i+1 < len(steps) && steps[i+1].at.Equal(s.at) {
			continue
		}
		r.Curve = append(r.Curve, now)
		if now.Used > r.Peak {
			r.Peak, r.PeakAt = now.Used, now.At
		}
	}
}
