package floor

import (
	"math/rand/v2"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
)

// deferral looks for the run whose putting off keeps the floor from filling the
// longest without making an order late; nil where no run is still to come before
// the floor is full. The other runs keep their hours.
func (p Problem) deferral(full Result) *Deferral {
	var best *Deferral
	for _, run := range p.Runs {
		if run.Start.After(full.FullAt) || !run.Start.After(p.From) {
			continue
		}
		d := p.without(run, full)
		if best == nil || d.before(*best) {
			best = &d
		}
	}
	return best
}

// without puts off one run until there is room for it, and sees when the floor is full then.
func (p Problem) without(run Run, full Result) Deferral {
	rest := p
	rest.Stacks = slices.DeleteFunc(slices.Clone(p.Stacks), func(s Stack) bool { return s.Run == run.Run })
	var need quantity.Distance
	for _, s := range p.Stacks {
		if s.Run == run.Run {
			need += p.least(s)
		}
	}
	order := rest.events()
	d := Deferral{Run: run.Run, From: run.Start, To: rest.roomFor(need, order, full.FullAt), Latest: run.Latest}
	r := rest.stand(order, waysOf(0, rand.New(rand.NewPCG(0, 7))))
	d.FullAt = r.FullAt
	d.Late = !run.Latest.IsZero() && d.To.After(run.Latest)
	return d
}

// roomFor is the first moment from a time on at which a length is free and
// stays free until the end; the end where there is none.
func (p Problem) roomFor(need quantity.Distance, order []event, from time.Time) time.Time {
	free, room := p.Capacity(), p.Until
	for _, e := range order {
		if e.goes {
			free += p.least(p.Stacks[e.stack])
			if free >= need && room.Equal(p.Until) && !e.at.Before(from) {
				room = e.at
			}
			continue
		}
		if free -= p.least(p.Stacks[e.stack]); free < need && e.at.After(from) {
			room = p.Until
		}
	}
	return room
}

// before reports whether d is the better choice.
func (d Deferral) before(o Deferral) bool {
	switch {
	case d.Late != o.Late:
		return !d.Late
	case d.FullAt.IsZero() != o.FullAt.IsZero():
		return d.FullAt.IsZero()
	case !d.FullAt.Equal(o.FullAt):
		return d.FullAt.After(o.FullAt)
	}
	return d.slack() > o.slack()
}

// slack is how much later than To the run could start; the longest where it is never late.
func (d Deferral) slack() time.Duration {
	if d.Latest.IsZero() {
		return 1 << 62
	}
	return d.Latest.Sub(d.To)
}
