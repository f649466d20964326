package floor

import (
	"math"
	"math/rand/v2"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
)

// ways weigh what speaks for and against a lane; all are minutes that a stack
// would rather wait.
type ways struct {
	dig   float64 // a stack ahead goes later
	empty float64 // the lane is empty: it could be kept for another order
	other float64 // another order stands at its end
	wait  float64 // share of the minutes between the last one's going and its own
	room  float64 // for a metre left over
	chaos float64 // chance
	rand  *rand.Rand
}

// waysOf returns the ways of one round: plain ones first, then with chance.
func waysOf(round int, chance *rand.Rand) ways {
	w := ways{dig: 1e6, empty: 300, other: 60, wait: 1, room: 1, rand: chance}
	switch {
	case round == 1:
		w.empty = 0
	case round == 2:
		w.empty, w.room = 1e4, 10
	case round > 2:
		w.chaos, w.empty = 200, 600*chance.Float64()
	}
	return w
}

// line is a lane in use: the stacks in it, the one that leaves first at the front.
type line struct {
	Lane
	stacks []int
	used   quantity.Distance
}

// stand lets stacks come and go in time and chooses a lane for each.
func (p Problem) stand(order []event, w ways) Result {
	r := Result{Placed: make([]Placed, len(p.Stacks))}
	for i, s := range p.Stacks {
		r.Placed[i].Stack = s
	}
	lines := make([]line, len(p.Lanes))
	at := map[string]int{}
	for i, l := range p.Lanes {
		lines[i].Lane, at[l.Name] = l, i
	}
	in := make([]int, len(p.Stacks)) // place of its line, from 1
	var outside quantity.Distance
	for _, e := range order {
		s := p.Stacks[e.stack]
		if e.goes {
			if in[e.stack] == 0 {
				outside -= p.least(s)
				continue
			}
			if lines[in[e.stack]-1].leave(e.stack, s) {
				r.Placed[e.stack].DugOut = true
				r.DugOut++
			}
			continue
		}
		k, stated := at[s.Stated]
		if !stated || s.In.After(p.From) {
			k = p.choose(lines, s, w)
		}
		if k < 0 {
			if r.FullAt.IsZero() {
				r.FullAt = e.at
			}
			outside += p.least(s)
			r.Outside = max(r.Outside, outside)
			continue
		}
		lines[k].stacks = append(lines[k].stacks, e.stack)
		lines[k].used += lines[k].Takes(s)
		in[e.stack], r.Placed[e.stack].Lane = k+1, lines[k].Name
	}
	return r
}

// leave takes a stack out and reports whether another stood ahead of it.
func (l *line) leave(stack int, s Stack) (dug bool) {
	for i, other := range l.stacks {
		if other == stack {
			l.stacks = append(l.stacks[:i], l.stacks[i+1:]...)
			l.used -= l.Takes(s)
			return i > 0
		}
	}
	return false
}

// choose returns the lane that costs the stack the least, -1 where none has room.
func (p Problem) choose(lines []line, s Stack, w ways) int {
	best, least := -1, math.Inf(1)
	for k := range lines {
		l := &lines[k]
		left := l.Length - l.used - l.Takes(s)
		if left < 0 {
			continue
		}
		c := w.room*left.Metres() + w.chaos*w.rand.Float64()
		if len(l.stacks) == 0 {
			c += w.empty
		} else {
			c += p.behind(l, s, w)
		}
		if c < least {
			best, least = k, c
		}
	}
	return best
}

// behind is what speaks against standing behind those in a lane.
func (p Problem) behind(l *line, s Stack, w ways) float64 {
	last := p.Stacks[l.stacks[len(l.stacks)-1]]
	c := 0.0
	if last.Release != s.Release {
		c += w.other
	}
	latest := p.gone(last)
	for _, i := range l.stacks {
		if out := p.gone(p.Stacks[i]); out.After(p.gone(s)) {
			c += w.dig
		} else if out.After(latest) {
			latest = out
		}
	}
	return c + w.wait*math.Abs(p.gone(s).Sub(latest).Minutes())
}

// gone is when a stack goes; those that stay stay a day beyond the end.
func (p Problem) gone(s Stack) time.Time {
	if s.Out.IsZero() {
		return p.Until.Add(24 * time.Hour)
	}
	return s.Out
}
