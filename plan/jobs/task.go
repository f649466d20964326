package jobs

import (
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/convert"
)

// task is one converting step of one release.
type task struct {
	release int // index into Releases
	step    int // 0 the first
	spec    convert.Spec
	choices []choice
	made    time.Time        // latest end that still meets the due time
	latest  time.Time        // latest start, on the cheapest machine
	next    *task            // the step after this
	before  *task            // the step before this
	after   *task            // a job elsewhere that has this one's tool first
	shared  bool             // its tool serves other tasks too
	begun   bool             // in progress
	left    quantity.Minutes // of the set-up, where begun
	placed  bool             // it stood on its machine before this plan
	frozen  bool
	warning string

	on    int // index into choices
	start time.Time
	end   time.Time
}

// choice is a machine that can do a task.
type choice struct {
	press    int
	fed      int // sheets, or pieces after the first step
	good     int // pieces expected
	setUp    quantity.Minutes
	run      quantity.Minutes
	cost     quantity.Money // set-up of a machine that stands right, run, sheets lost
	ready    time.Time      // sheets cured and on the floor; later steps: zero, the step before decides
	tool     time.Time      // plate and die in the house; zero: they are
	toolName string
}

func (t *task) choice() *choice { return &t.choices[t.on] }

// readyAt is when the task could start on choice c, were the machine free.
func (t *task) readyAt(c *choice, now time.Time) time.Time {
	at := now
	for _, x := range []time.Time{c.ready, c.tool} {
		if x.After(at) {
			at = x
		}
	}
	for _, o := range []*task{t.before, t.after} {
		if o != nil && o.end.After(at) {
			at = o.end
		}
	}
	return at
}

// batch is good sheets of one release out of one run.
type batch struct {
	end    time.Time
	cured  time.Time
	sheets int
}

// batches returns for each release the sheets its runs make, indexed like
// Releases, in the order of the runs.
func (s *shop) batches(times []RunTime) [][]batch {
	at := map[string]int{}
	for i, r := range s.Releases {
		at[r.Key.String()] = i
	}
	out := make([][]batch, len(s.Releases))
	for k, r := range s.Runs {
		cured := times[k].End.Add(s.cure(s.Boards[r.Grade]))
		for _, l := range r.Lanes {
			if i, ok := at[l.Order]; ok && l.Sheets > 0 {
				out[i] = append(out[i], batch{times[k].End, cured, l.Sheets})
			}
		}
	}
	return out
}

// supply is the sheets there will be of r.
func supply(r Release, bs []batch) int {
	sum := r.OnFloor
	for _, b := range bs {
		sum += b.sheets
	}
	return sum
}

// enough is when the first so many sheets are there, by the given time of each batch.
func enough(r Release, bs []batch, sheets int, when func(batch) time.Time) (at time.Time) {
	have := r.OnFloor
	for _, b := range bs {
		if have >= sheets {
			break
		}
		have += b.sheets
		if t := when(b); t.After(at) {
			at = t
		}
	}
	return at
}

// tasks returns the steps of every release that has sheets and machines.
func (s *shop) tasks(batches [][]batch) (all []*task, refused []Refusal) {
	worn := s.wornOut()
	for i, r := range s.Releases {
		steps, why := s.candidates(r)
		if why == "" {
			why = worn[r.Key]
		}
		if why != "" {
			refused = append(refused, Refusal{Release: r.Key, Reason: why})
			continue
		}
		have := supply(r, batches[i])
		if r.Pieces <= 0 || have <= 0 || len(steps) == 0 {
			continue
		}
		all = append(all, s.stepsOf(i, steps, have, batches[i])...)
	}
	return all, refused
}

// stepsOf builds the tasks of one release. What a step is fed follows from what
// the step before gives, and that from its cheapest machine.
func (s *shop) stepsOf(i int, steps [][]int, have int, bs []batch) (out []*task) {
	r := s.Releases[i]
	route := s.cheapest(r, steps)
	latest := s.latest(r)
	most := r
	most.Pieces = max(r.Pieces, r.MostPieces)
	ups, colours, in := r.PiecesPerSheet, r.Colours, have
	for k := range steps {
		t := &task{release: i, step: k, spec: s.stepSpec(r, k), latest: latest.Steps[k], made: latest.Made}
		given := in
		for _, j := range steps[k] {
			on := append([]int{j}, route[k+1:]...)
			fed := min(in, s.fedFrom(most, on, k))
			c := s.choose(r, j, k, fed, ups, colours)
			if k == 0 {
				c.ready = enough(r, bs, fed, func(b batch) time.Time { return b.cured })
				c.tool, c.toolName = s.toolReady(r)
			}
			if j == route[k] {
				given = c.good
			}
			t.choices = append(t.choices, c)
		}
		if k > 0 {
			t.before, out[k-1].next = out[k-1], t
			out[k-1].made = latest.Steps[k]
		}
		out = append(out, t)
		ups, colours, in = 1, 0, given
	}
	return out
}

func (s *shop) choose(r Release, j, step, fed, ups, colours int) choice {
	m := s.press[j].Machine
	c := choice{press: j, fed: fed, setUp: convert.SetUpMinutes(m, s.stepSpec(r, step), nil), run: convert.RunMinutes(m, fed)}
	c.good = convert.PiecesExpected(fed, ups, []convert.Machine{m}, colours)
	lost := fed - c.good/max(ups, 1)
	c.cost = s.ownCost(r, j, step, fed, max(lost, 0))
	return c
}

// lateCost is what a release costs when its last step ends at end.
func (s *shop) lateCost(r Release, end time.Time) quantity.Money {
	late := end.Sub(s.madeBy(r))
	if late <= 0 {
		return 0
	}
	return s.Prices.LateEach + s.latePerDay(r)*quantity.Money(late.Hours()/24)
}

func (s *shop) latePerDay(r Release) quantity.Money {
	return quantity.Money(s.Prices.LatePctPerDay/100) * r.Value
}
