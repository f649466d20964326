package jobs

import (
	"context"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/convert"
)

// Solve lays the runs on the corrugator, gives every converting step to a
// machine, sequences the machines, and works out when each release leaves the
// gate and reaches its dock. A release without sheets or without a machine
// gets no job; its Finish says what it waits for. Cancelling ctx is a normal
// end with the best so far. Same seed, same answer. Errors are those of Corrugate.
//
// Where the corrugator's crew may work over, it does so where that saves more
// than it costs: see workOverCorrugator.
func Solve(ctx context.Context, p Problem, opt Options) (Answer, error) {
	if !p.corrugatorMayWorkOver() {
		return solveWith(ctx, p, nil, opt)
	}
	return workOverCorrugator(ctx, p, opt)
}

// solveWith is Solve with the corrugator's overtime given.
func solveWith(ctx context.Context, p Problem, over []Manning, opt Options) (Answer, error) {
	s, err := newShop(p)
	if err != nil {
		return Answer{}, err
	}
	s.workOver(over)
	times, err := s.corrugate()
	if err != nil {
		return Answer{}, err
	}
	batches := s.batches(times)
	f := &floor{shop: s, only: opt.For}
	for i := range s.press {
		f.queues = append(f.queues, &queue{shop: s, press: &s.press[i]})
	}
	a := Answer{Runs: times, Status: RoundLimit}
	f.tasks, a.Refused = s.tasks(batches)
	f.begin()
	if opt.Start == nil {
		f.assign()
	} else {
		f.assignFrom(opt.Start)
	}
	f.linkTools()
	f.retime()
	f.man()
	if opt.OnProgress != nil {
		f.report(opt, "assigned")
	}
	f.improve(ctx, opt)
	f.workOver(ctx)
	f.answer(&a, batches)
	if ctx.Err() != nil {
		a.Status = Stopped
	}
	a.Bound = min(f.bound(), a.Cost+a.LateCost)
	if a.Cost+a.LateCost <= a.Bound+1e-6 {
		a.Status = Optimal
	}
	return a, nil
}

func machineCost(m convert.Machine, setUp, run quantity.Minutes) quantity.Money {
	return convert.Cost(m, setUp, run, 0, 0)
}

// bound adds, for every task, its least machine time cost, and for every
// release the lateness it has when each of its steps finds its quickest machine
// free and standing right; releases without converting steps are late as they are.
func (f *floor) bound() quantity.Money {
	var sum quantity.Money
	for _, t := range f.tasks {
		least := quantity.Money(-1)
		for i := range t.choices {
			c := &t.choices[i]
			m := f.press[c.press].Machine
			if cost := machineCost(m, f.queues[c.press].setUp(nil, t), c.run); least < 0 || cost < least {
				least = cost
			}
		}
		sum += least
		if t.before == nil {
			sum += f.lateAlone(t)
		}
	}
	if f.corrugatorMayWorkOver() {
		return sum
	}
	return sum + f.padsLate
}

// lateAlone is the cost of lateness of t's release when it is alone on the floor.
func (f *floor) lateAlone(t *task) quantity.Money {
	at := f.Now
	for ; ; t = t.next {
		end := at.Add(beyond)
		for i := range t.choices {
			c := &t.choices[i]
			ready := at
			if c.ready.After(ready) && !f.corrugatorMayWorkOver() { // else the sheets could come earlier
				ready = c.ready
			}
			if c.tool.After(ready) {
				ready = c.tool
			}
			q := f.queues[c.press]
			work := wholeSeconds(q.setUp(nil, t)) + wholeSeconds(c.run)
			e, ok := q.own.AddWorking(ready, work)
			if f.Overtime.Most > 0 {
				e, ok = ready.Add(work), true // overtime could be worked at any hour
			}
			if ok && e.Before(end) {
				end = e
			}
		}
		if at = end; t.next == nil {
			return f.lateCost(f.Releases[t.release], at)
		}
	}
}
