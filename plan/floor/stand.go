package floor

import (
	"math"
	"math/rand/v2"
	"slices"
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

// stander lets stacks come and go in time and chooses a lane for each.
type stander struct {
	Problem
	ways
	lines   []line
	at      map[string]int // a lane's place among the lines
	in      []int          // a stack's line, from 1; 0: outside, or not there
	waiting []int          // stacks outside, in the order they came
	outside quantity.Distance
	r       Result
}

func (p Problem) stand(order []event, w ways) Result {
	s := &stander{Problem: p, ways: w, lines: make([]line, len(p.Lanes)), at: map[string]int{}, in: make([]int, len(p.Stacks))}
	s.r.Placed = make([]Placed, len(p.Stacks))
	for i, st := range p.Stacks {
		s.r.Placed[i].Stack = st
	}
	for i, l := range p.Lanes {
		s.lines[i].Lane, s.at[l.Name] = l, i
	}
	for _, e := range order {
		if e.goes {
			s.depart(e)
		} else {
			s.come(e)
		}
	}
	return s.r
}

func (s *stander) come(e event) {
	st := s.Stacks[e.stack]
	k, stated := s.at[st.Stated]
	if !stated || st.In.After(s.From) {
		k = s.choose(s.lines, st, s.ways)
	}
	if k >= 0 {
		s.put(e.stack, k)
		return
	}
	if s.r.FullAt.IsZero() {
		s.r.FullAt = e.at
	}
	s.waiting = append(s.waiting, e.stack)
	s.outside += s.least(st)
	s.r.Outside = max(s.r.Outside, s.outside)
}

func (s *stander) put(stack, k int) {
	l := &s.lines[k]
	l.stacks = append(l.stacks, stack)
	l.used += l.Takes(s.Stacks[stack])
	s.in[stack], s.r.Placed[stack].Lane = k+1, l.Name
}

// depart lets a stack go; those outside then take the room, the first that came first.
func (s *stander) depart(e event) {
	st := s.Stacks[e.stack]
	if s.in[e.stack] == 0 {
		s.outside -= s.least(st)
		s.waiting = slices.DeleteFunc(s.waiting, func(w int) bool { return w == e.stack })
		return
	}
	if s.lines[s.in[e.stack]-1].leave(e.stack, st) {
		s.r.Placed[e.stack].DugOut = true
		s.r.DugOut++
	}
	s.waiting = slices.DeleteFunc(s.waiting, func(w int) bool {
		if !s.gone(s.Stacks[w]).After(e.at) { // it goes at this very moment
			return false
		}
		k := s.choose(s.lines, s.Stacks[w], s.ways)
		if k < 0 {
			return false
		}
		s.put(w, k)
		s.r.Placed[w].Waits = e.at
		s.outside -= s.least(s.Stacks[w])
		return true
	})
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
