package plan

import (
	"cmp"
	"context"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/corrugator"
	"github.com/flutewright/flutewright/solve/sequence"
)

// narrowToWide is the price of a web wider than the one before within a grade:
// rolls slide in with less edge exposure from wide to narrow (common practice,
// no published source). It only breaks ties; due times are worth more.
const narrowToWide = 2.0

// pressBuffer stands before the latest corrugator exit: sheets that come at the
// last moment find the machine busy (two to four hours, common practice, no
// published source).
const pressBuffer = 3 * time.Hour

// sequenced puts the runs in the order that costs least in changes and
// lateness together, and says from when each has its paper.
func sequenced(ctx context.Context, ix *index, p runs.Problem, a runs.Answer, ws []want, exits map[ident.Release]jobs.Latest, opt Options) (runs.Answer, map[int]time.Time, error) {
	if len(a.Runs) == 0 {
		return a, nil, nil
	}
	s, err := newSequencer(ix, a.Runs, ws, exits, opt.Now)
	if err != nil {
		return a, nil, err
	}
	n := len(p.Frozen) // they stay where they are
	order := make([]int, n, len(a.Runs))
	for i := range order {
		order[i] = i
	}
	tail := s.behind(n)
	start := make([]int, len(tail.Jobs))
	for i := range start {
		start[i] = i
	}
	res, err := sequence.Solve(ctx, tail, sequence.Options{Seed: opt.Seed, Start: start})
	if err != nil {
		return a, nil, err
	}
	for _, k := range res.Order {
		order = append(order, n+k)
	}
	a = runs.Resequence(p, a, order)
	return a, paperReady(ix, a.Runs, opt.Now), nil
}

// behind states the runs that follow the first n, which stand.
func (s *sequencer) behind(n int) sequence.Problem {
	if n == 0 {
		return sequence.Problem{Jobs: s.jobs, Change: s.change}
	}
	var free int64
	for i := range n {
		if i > 0 {
			free += s.change(i-1, i).Time
		}
		free = max(free, s.jobs[i].Release) + s.jobs[i].Time
	}
	p := sequence.Problem{Jobs: slices.Clone(s.jobs[n:])}
	for i := range p.Jobs {
		p.Jobs[i].Release = max(p.Jobs[i].Release, free)
	}
	p.Change = func(before, next int) sequence.Change {
		if before < 0 {
			before = -1
		}
		return s.change(n+before, n+next)
	}
	return p
}

// sequencer states the corrugator as one machine, in seconds of its manned time.
type sequencer struct {
	ix     *index
	limits corrugator.Limits
	runs   []runs.Run
	boards []corrugator.Board
	price  []float64 // of the run's paper, per m²
	jobs   []sequence.Job
}

func newSequencer(ix *index, list []runs.Run, ws []want, exits map[ident.Release]jobs.Latest, now time.Time) (*sequencer, error) {
	clock, err := calendar.Compile(ix.book.Plant.Calendar)
	if err != nil {
		return nil, err
	}
	manned, err := clock.Windows(now, ix.book.Plant.Corrugator.Shifts, stopSpans(ix.book, now, ix.book.Plant.Corrugator.Code))
	if err != nil {
		return nil, err
	}
	c := ix.book.Plant.Corrugator
	s := &sequencer{ix: ix, limits: c.Limits, runs: list}
	by := map[string]want{}
	for _, w := range ws {
		by[w.Release.String()] = w
	}
	seconds := func(t time.Time) int64 {
		if t.Before(now) {
			return -int64(manned.Between(t, now).Seconds())
		}
		return int64(manned.Between(now, t).Seconds())
	}
	for _, r := range list {
		board := boardOf(ix, ix.grades[r.Grade], "")
		job := sequence.Job{Due: 1 << 40}
		var chops []quantity.Length
		for _, l := range r.Lanes {
			w := by[l.Order]
			board.Adhesive = cmp.Or(board.Adhesive, w.item.Adhesive)
			chops = append(chops, l.Chop)
			job.Due = min(job.Due, seconds(exits[w.Release].Exit.Add(-pressBuffer)))
			rel := clockRelease(ix, w)
			job.Once += float64(ix.book.Plant.Prices.LateEach)
			job.Weight += float64(rel.Value) * ix.book.Plant.Prices.LatePctPerDay / 100 / (24 * 3600)
		}
		job.Time = int64(c.Speed(board, r.Length, chops...).RunMinutes(r.Length).Duration().Seconds()) + 1
		s.jobs = append(s.jobs, job)
		s.boards = append(s.boards, board)
		s.price = append(s.price, float64(ix.grades[r.Grade].PaperPrice(ix.catalogue)))
	}
	s.release(seconds, now)
	return s, nil
}

// release holds runs back until their paper comes: the house's metres go to the
// runs that are due first.
func (s *sequencer) release(seconds func(time.Time) int64, now time.Time) {
	order := make([]int, len(s.runs))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(s.jobs[a].Due, s.jobs[b].Due) })
	byDue := make([]runs.Run, len(order))
	for to, from := range order {
		byDue[to] = s.runs[from]
		byDue[to].Seq = to + 1
	}
	ready := paperReady(s.ix, byDue, now)
	for to, from := range order {
		if at, waits := ready[to+1]; waits {
			s.jobs[from].Release = seconds(at)
		}
	}
}

// change is the time and money between two runs.
func (s *sequencer) change(before, next int) sequence.Change {
	if before < 0 {
		return sequence.Change{}
	}
	a, b := s.runs[before], s.runs[next]
	between := s.ix.book.Plant.Corrugator.Between(s.boards[before], s.boards[next])
	size := max(a.Web, b.Web).Metres() * max(s.price[before], s.price[next])
	metres := between.Loss.Metres()
	if a.Web != b.Web {
		metres += s.limits.WebChangeLoss.Metres()
	}
	if a.Grade != b.Grade {
		metres += s.limits.GradeChangeLoss.Metres()
	}
	cost := metres*size + float64(between.Minutes)*float64(minuteCost(s.ix.book.Plant.Corrugator))
	if a.Grade == b.Grade && b.Web > a.Web && s.ix.book.Plant.Corrugator.WideToNarrow {
		cost += narrowToWide
	}
	return sequence.Change{Time: int64(between.Minutes.Duration().Seconds()), Cost: cost}
}
