package jobs

import (
	"cmp"
	"math"
	"slices"
	"time"
)

// watch is half a turn of a shift whose crews are counted: crews change
// machines at the turn's begin and at its middle (common practice, no published
// source).
type watch struct {
	shift       string
	from, until time.Time
	on          []bool // indexed like shop.press
}

const (
	watchAhead = 28 * 24 * time.Hour  // watches are laid out so far at a time
	watchMost  = 730 * 24 * time.Hour // and no further than this
	tailAhead  = 6 * 24 * time.Hour   // crews are shared out so far beyond the last job, for sequences that end later
	stayBonus  = 1.2                  // a crew stays where it is unless another machine's work weighs so much more
	urgent     = 24.0                 // hours of slack by which the weight of a job falls to 1/e
)

// man shares out the crews of each watch, the most pressing machine first, and
// works through the machines' sequences as it goes.
func (f *floor) man() {
	if len(f.Crews) == 0 {
		return
	}
	f.watches = nil
	sim := newSimulation(f)
	done := time.Time{}
	for ahead := f.Now; ahead.Sub(f.Now) < watchMost; ahead = ahead.Add(watchAhead) {
		for _, w := range f.watchesIn(ahead, ahead.Add(watchAhead)) {
			if done.IsZero() && sim.finished() {
				done = w.from
			}
			if !done.IsZero() && w.from.Sub(done) > tailAhead {
				f.crew()
				return
			}
			f.share(&w, sim)
			sim.work(w)
			f.watches = append(f.watches, w)
		}
		if len(f.watches) == 0 && ahead.Sub(f.Now) > 2*watchAhead {
			return // no counted shift ever comes
		}
	}
	f.crew()
}

// watchesIn lays out the watches that begin in [from, until), and those under way now.
func (f *floor) watchesIn(from, until time.Time) (out []watch) {
	var shifts []string
	for _, s := range f.Calendar.Shifts {
		if f.limited(s.Name) {
			shifts = append(shifts, s.Name)
		}
	}
	for _, t := range f.clock.Turns(from, until, shifts...) {
		mid := t.From.Add(t.Until.Sub(t.From) / 2)
		for _, w := range []watch{{shift: t.Shift, from: t.From, until: mid}, {shift: t.Shift, from: mid, until: t.Until}} {
			first := w.from.Before(from) && from.Equal(f.Now)
			if w.until.After(from) && w.from.Before(until) && (first || !w.from.Before(from)) {
				if w.from.Before(f.Now) {
					w.from = f.Now
				}
				w.on = make([]bool, len(f.press))
				out = append(out, w)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b watch) int { return a.from.Compare(b.from) })
	return out
}

// share gives the watch's crews to machines: first as the plan in force has it,
// then by what presses most.
func (f *floor) share(w *watch, sim *simulation) {
	c := f.crewsOf(w.shift)
	for _, m := range f.Manning {
		for i := range f.press {
			if f.press[i].Code == m.Machine && !m.Overtime && !m.From.After(w.from) && !m.Until.Before(w.until) && f.mayMan(i, w.shift) && c.take(i) {
				w.on[i] = true
			}
		}
	}
	score := make([]float64, len(f.press))
	order := make([]int, 0, len(f.press))
	for i := range f.press {
		if score[i] = sim.pressing(i, *w); score[i] > 0 && !w.on[i] && f.mayMan(i, w.shift) {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(score[b], score[a]) })
	for _, i := range order {
		w.on[i] = c.take(i)
	}
}

func (f *floor) mayMan(i int, shift string) bool { return slices.Contains(f.press[i].Shifts, shift) }

// crew sets every machine's crewing from the watches; overtime stays.
func (f *floor) crew() {
	for i := range f.press {
		p := &f.press[i]
		p.crewing = slices.DeleteFunc(p.crewing, func(m Manning) bool { return !m.Overtime })
		for _, w := range f.watches {
			if !w.on[i] {
				continue
			}
			if n := len(p.crewing); n > 0 && p.crewing[n-1].Until.Equal(w.from) && p.crewing[n-1].Shift == w.shift {
				p.crewing[n-1].Until = w.until
				continue
			}
			p.crewing = append(p.crewing, Manning{Machine: p.Code, Shift: w.shift, From: w.from, Until: w.until})
		}
		p.rewind()
	}
	f.retime()
}

// simulation works through the machines' sequences, watch by watch.
type simulation struct {
	*floor
	at    []int           // next task of each queue
	left  []time.Duration // of that task, 0: not begun
	ends  map[*task]time.Time
	stays []bool
	tail  []int // watches that a machine had after its last task
}

func newSimulation(f *floor) *simulation {
	n := len(f.queues)
	return &simulation{floor: f, at: make([]int, n), left: make([]time.Duration, n), ends: map[*task]time.Time{}, stays: make([]bool, n), tail: make([]int, n)}
}

func (s *simulation) finished() bool {
	for i, q := range s.queues {
		if s.at[i] < len(q.tasks) {
			return false
		}
	}
	return true
}

// ready is when a task could start; false when a step before it is still to be worked through.
func (s *simulation) ready(t *task) (at time.Time, known bool) {
	c := t.choice()
	at = s.Now
	for _, x := range []time.Time{c.ready, c.tool} {
		if x.After(at) {
			at = x
		}
	}
	for _, o := range []*task{t.before, t.after} {
		if o == nil {
			continue
		}
		end, done := s.ends[o]
		if !done {
			return at, false
		}
		if end.After(at) {
			at = end
		}
	}
	return at, true
}

// pressing weighs what machine i would do in the watch: the cost a day of what
// is late or soon will be, by the hour of work up to it (after the apparent
// tardiness cost rule of Vepsalainen and Morton, Management Science 33 (1987)
// 1035–1047; from memory). 0: nothing to do.
func (s *simulation) pressing(i int, w watch) float64 {
	q := s.queues[i]
	if s.at[i] >= len(q.tasks) {
		if len(q.tasks) == 0 || !s.finished() {
			return 0
		}
		s.tail[i]++
		return 1 / float64(s.tail[i])
	}
	first := q.tasks[s.at[i]]
	if at, known := s.ready(first); s.left[i] == 0 && (!known || !at.Before(w.until)) || q.own.Between(w.from, w.until) <= 0 {
		return 0
	}
	hours, weight, best := 0.0, 0.0, 0.0
	for k, t := range q.tasks[s.at[i]:min(len(q.tasks), s.at[i]+40)] {
		work := s.left[i]
		if k > 0 || work == 0 {
			work = wholeSeconds(t.choice().setUp) + wholeSeconds(t.choice().run)
		}
		hours += work.Hours()
		weight += 1e-6 + float64(s.latePerDay(s.Releases[t.release])) + float64(s.Prices.LateEach)
		slack := max(0, t.made.Sub(w.from).Hours()-hours)
		best = max(best, weight/hours*math.Exp(-slack/urgent))
	}
	if s.stays[i] {
		best *= stayBonus
	}
	return max(best, 1e-12)
}

// work lets the manned machines work for the watch.
func (s *simulation) work(w watch) {
	for i, q := range s.queues {
		s.stays[i] = w.on[i]
		if !w.on[i] {
			continue
		}
		for at := w.from; s.at[i] < len(q.tasks); {
			t := q.tasks[s.at[i]]
			if s.left[i] == 0 {
				ready, known := s.ready(t)
				if ready.After(at) {
					at = ready
				}
				if !known || !at.Before(w.until) {
					break
				}
				s.left[i] = wholeSeconds(t.choice().setUp) + wholeSeconds(t.choice().run)
			}
			there := q.own.Between(at, w.until)
			if s.left[i] > there {
				s.left[i] -= there
				break
			}
			end, ok := q.own.AddWorking(at, s.left[i])
			if !ok {
				break
			}
			s.ends[t], s.left[i], at = end, 0, end
			s.at[i]++
		}
	}
}
