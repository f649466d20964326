package promise

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
)

const (
	// fewest ended runs or jobs of a station from which a chance is worked out
	// (common practice, no published source); below it the word is "too few".
	fewest = 12
	// cautious is the sample size under which the chance is given with a caution.
	cautious = 30
	// resamples of the scatter, over which the trials are spread: how much the
	// chance itself would differ with another sample of the same size
	// (bootstrap: Efron, Annals of Statistics 7 (1979) 1–26; from memory).
	resamples = 25
)

// chance plays the chosen way with the plant's own scatter: every run before the
// release's last, then every job before its own on each machine, takes a drawn
// multiple of its planned time. Later steps' queues take other jobs' pieces as
// planned. No drawn multiple makes a road or a load slower.
func (s *solver) chance(out *Result, w worked) {
	if s.opt.Trials < 0 {
		return
	}
	c := &out.Chance
	var few []string
	least := 1 << 30
	for _, st := range s.stations(w) {
		c.Samples = append(c.Samples, SampleSize{st.name, len(st.sample)})
		least = min(least, len(st.sample))
		if len(st.sample) < fewest {
			few = append(few, fmt.Sprintf("%s has %d", st.name, len(st.sample)))
		}
	}
	if len(few) > 0 {
		c.Why = fmt.Sprintf("too few facts for a chance: %s ended of the %d that are needed at each station", strings.Join(few, ", "), fewest)
		return
	}
	g, ok := s.newGame(w)
	if !ok {
		c.Why = "the calendar does not reach far enough for a chance"
		return
	}
	trials := s.opt.Trials
	if trials == 0 {
		trials = defaultTrials
	}
	g.play(c, s.ask().Due, trials, s.opt.Seed)
	if least < cautious && len(c.Samples) > 0 {
		c.Why = fmt.Sprintf("take it with caution: it rests on %d ended at the station with the fewest", least)
	}
}

type station struct {
	name   string
	sample []float64
}

// stations are those the release still passes.
func (s *solver) stations(w worked) (out []station) {
	if len(w.mine) > 0 {
		out = append(out, station{"corrugator", s.Scatter.Corrugator})
	}
	for _, j := range w.clock.Jobs {
		if j.Release == s.ask().Key {
			out = append(out, station{string(j.Machine), s.Scatter.Machines[j.Machine]})
		}
	}
	return out
}

// game is the chosen way laid out for playing, in manned time since now.
type game struct {
	corr    *calendar.Manned
	runs    []played
	queues  []line // in the order of the steps
	now     time.Time
	after   time.Duration // last step to gate or dock
	samples [][]float64   // corrugator, then the queues'
}

// played is one run or job.
type played struct {
	before  time.Duration // change, not drawn
	work    time.Duration // drawn
	ready   time.Duration // manned time of its station since now
	behind  int           // index of the run its sheets come from; -1: none that is played
	cure    time.Duration // from that run's end
	planned time.Time     // of that run's end
}

type line struct {
	manned *calendar.Manned
	jobs   []played // the last is the release's
}

func (s *solver) newGame(w worked) (*game, bool) {
	clock, err := calendar.Compile(s.Clock.Calendar)
	if err != nil {
		return nil, false
	}
	g := &game{now: s.Clock.Now, samples: [][]float64{s.Scatter.Corrugator}}
	if g.corr = s.mannedBy(clock, w.clock, s.Clock.Corrugator.Code); g.corr == nil {
		return nil, false
	}
	if n := len(w.mine); n > 0 {
		for i := 0; i <= w.mine[n-1]; i++ {
			t := w.clock.Runs[i]
			g.runs = append(g.runs, played{before: t.Change.Duration(), work: t.Minutes.Duration(), ready: g.corr.Between(g.now, w.ready[i+1].at)})
			if w.ready[i+1].at.IsZero() {
				g.runs[i].ready = 0
			}
		}
	}
	from := s.lastRuns(w)
	for step := 1; step <= 9; step++ {
		at := slices.IndexFunc(w.clock.Jobs, func(j jobs.Job) bool { return j.Release == s.ask().Key && j.Step == step })
		if at < 0 {
			continue
		}
		mine := w.clock.Jobs[at]
		l := line{manned: s.mannedBy(clock, w.clock, mine.Machine)}
		if l.manned == nil {
			return nil, false
		}
		for _, j := range w.clock.Jobs {
			if j.Machine != mine.Machine || j.Seq > mine.Seq {
				continue
			}
			p := played{work: (j.SetUp + j.Run).Duration(), ready: max(0, l.manned.Between(g.now, j.SheetsAt)), behind: -1}
			if i, ok := from[j.Release]; ok && j.Step == 1 && i < len(g.runs) {
				p.behind, p.planned, p.cure = i, w.clock.Runs[i].End, j.SheetsAt.Sub(w.clock.Runs[i].End)
			}
			l.jobs = append(l.jobs, p)
		}
		g.queues, g.samples = append(g.queues, l), append(g.samples, s.Scatter.Machines[mine.Machine])
	}
	fin := w.clock.Finishes[s.Ask]
	g.after = fin.AtDock.Sub(fin.MadeAt)
	if s.ask().DueAt == order.AtGate {
		g.after = fin.AtGate.Sub(fin.MadeAt)
	}
	return g, true
}

// lastRuns is the run from which each release's last sheets come.
func (s *solver) lastRuns(w worked) map[ident.Release]int {
	by := map[string]int{}
	for i, r := range w.runs {
		for _, l := range r.Lanes {
			by[l.Order] = i
		}
	}
	out := map[ident.Release]int{}
	for _, r := range s.Clock.Releases {
		if i, ok := by[r.Key.String()]; ok {
			out[r.Key] = i
		}
	}
	return out
}

func (s *solver) stopsOf(m ident.Machine) (out []calendar.Span) {
	for _, stop := range s.Clock.Stops {
		if stop.Machine == m {
			out = append(out, calendar.Span{From: stop.From, Until: stop.Until})
		}
	}
	return out
}

// mannedBy is the machine's own time, with the overtime that is planned; where
// crews are counted, the time for which one is planned there.
func (s *solver) mannedBy(clock *calendar.Clock, a jobs.Answer, code ident.Machine) *calendar.Manned {
	var shifts []string
	if c := s.Clock.Corrugator; c.Code == code {
		shifts = c.Shifts
	}
	for _, m := range s.Clock.Machines {
		if m.Code == code {
			for _, shift := range m.Shifts {
				if !slices.ContainsFunc(s.Clock.Crews, func(c plant.Crew) bool { return c.Shift == shift }) {
					shifts = append(shifts, shift)
				}
			}
		}
	}
	var extra []calendar.Span
	for _, m := range a.Manning {
		if m.Machine == code {
			extra = append(extra, calendar.Span{From: m.From, Until: m.Until})
		}
	}
	m, err := clock.WindowsWith(s.Clock.Now, shifts, s.stopsOf(code), extra)
	if err != nil {
		return nil
	}
	return m
}

// play draws the trials and writes the chance.
func (g *game) play(c *Chance, due time.Time, trials int, seed uint64) {
	rnd := rand.New(rand.NewPCG(seed, 7))
	each := max(1, trials/resamples)
	var shares []float64
	var ends []time.Time
	sum := 0.0
	for range resamples {
		drawn := make([][]float64, len(g.samples))
		for i, sample := range g.samples {
			drawn[i] = make([]float64, len(sample))
			for k := range drawn[i] {
				drawn[i][k] = sample[rnd.IntN(len(sample))]
			}
		}
		in := 0
		for range each {
			at := g.once(drawn, rnd)
			if ends = append(ends, at); !at.After(due) {
				in++
			}
		}
		share := float64(in) / float64(each)
		shares, sum = append(shares, share), sum+share
	}
	slices.Sort(shares)
	slices.SortFunc(ends, time.Time.Compare)
	c.Known, c.P = true, sum/resamples
	c.Low, c.High = shares[1], shares[len(shares)-2]
	c.By90 = ends[len(ends)*9/10]
}

// once plays the way one time.
func (g *game) once(sample [][]float64, rnd *rand.Rand) time.Time {
	draw := func(station int, work time.Duration) time.Duration {
		if len(sample[station]) == 0 {
			return work
		}
		return time.Duration(float64(work) * sample[station][rnd.IntN(len(sample[station]))])
	}
	ends := make([]time.Time, len(g.runs))
	var free time.Duration
	at := g.now
	for i, r := range g.runs {
		free = max(free+r.before, r.ready) + draw(0, r.work)
		if end, ok := g.corr.AddWorking(g.now, free); ok {
			ends[i], at = end, end
		}
	}
	for q, l := range g.queues {
		var free time.Duration
		for k, j := range l.jobs {
			ready := j.ready
			if j.behind >= 0 {
				ready = max(0, l.manned.Between(g.now, ends[j.behind].Add(j.cure)))
			}
			if q > 0 && k == len(l.jobs)-1 {
				ready = max(0, l.manned.Between(g.now, at))
			}
			free = max(free, ready) + draw(q+1, j.work)
		}
		if end, ok := l.manned.AddWorking(g.now, free); ok {
			at = end
		}
	}
	return at.Add(g.after)
}
