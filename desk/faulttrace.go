package desk

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/trace"
)

// Traced is the way of a release back through the plant.
type Traced struct {
	Plan   ident.Plan
	Runs   []TracedRun
	Rolls  []TracedRoll
	Stacks []trace.Stack // that still stand on the floor
	Jobs   []TracedJob
	Beside []ident.Release // made on the same runs, of the same paper
}

// TracedRun is a run that made it.
type TracedRun struct {
	Run   int
	Start time.Time // as told, else as planned
	End   time.Time
	Told  bool
}

// TracedRoll is a roll that went into it.
type TracedRoll struct {
	Roll  ident.Roll
	Stand string
	Run   int
	Held  bool
}

// TracedJob is a job that made it.
type TracedJob struct {
	Machine ident.Machine
	Told    trace.Progress
	Good    int
}

// traced follows a release back: by the ledger where it was told, else by the plan.
func (d *Desk) traced(ctx context.Context, s *Snapshot, p *plan.Plan, id ident.Plan, r ident.Release) (Traced, error) {
	t := Traced{Plan: id}
	if err := ctx.Err(); err != nil {
		return t, err
	}
	held := map[ident.Roll]bool{}
	for _, x := range s.Rolls {
		held[x.ID] = x.Hold
	}
	for _, x := range p.Runs {
		if !slices.Contains(releasesOn(x), r) {
			continue
		}
		t.Runs = append(t.Runs, tracedRun(s, p, id, x.Seq))
		for _, b := range releasesOn(x) {
			if b != r && !slices.Contains(t.Beside, b) {
				t.Beside = append(t.Beside, b)
			}
		}
		for _, n := range p.Rolls.Needs {
			if n.Run != x.Seq {
				continue
			}
			for _, u := range n.Rolls {
				if u.Roll != "" {
					t.Rolls = append(t.Rolls, TracedRoll{u.Roll, n.Stand, x.Seq, held[u.Roll]})
				}
			}
		}
	}
	for _, st := range s.Floor.Stacks {
		if st.Release == r {
			t.Stacks = append(t.Stacks, st)
		}
	}
	for k, told := range s.Floor.Jobs {
		if k.Release == r {
			t.Jobs = append(t.Jobs, TracedJob{Machine: k.Machine, Told: told, Good: told.Good[r]})
		}
	}
	if len(t.Jobs) == 0 {
		for _, j := range p.Clock.Jobs {
			if j.Release == r {
				t.Jobs = append(t.Jobs, TracedJob{Machine: j.Machine})
			}
		}
	}
	slices.SortFunc(t.Jobs, func(a, b TracedJob) int { return cmp.Compare(a.Machine, b.Machine) })
	return t, nil
}

func tracedRun(s *Snapshot, p *plan.Plan, id ident.Plan, seq int) TracedRun {
	v := TracedRun{Run: seq}
	for _, t := range p.Clock.Runs {
		if t.Run == seq {
			v.Start, v.End = t.Start, t.End
		}
	}
	if told := s.Floor.RunsDone[trace.Run{Plan: id, Run: seq}]; !told.Started.IsZero() || !told.Ended.IsZero() {
		v.Start, v.End, v.Told = told.Started, told.Ended, true
	}
	return v
}

// RollFault is what was made of a roll.
type RollFault struct {
	Roll   ident.Roll
	Plan   ident.Plan
	Held   bool
	Orders []RollOrder
}

// RollOrder is an order on runs that drew from a roll.
type RollOrder struct {
	Release ident.Release
	Runs    []TracedRun
	Begun   bool // one of the runs has started, as told or by the plan's clock
	Sheets  int  // planned on those runs
	Boxes   int  // that these give
	Made    int  // boxes there are of the order
}

// FaultOfRoll returns which orders a roll went into, or will. fault.NotFound for a roll that neither book nor plan knows.
func (d *Desk) FaultOfRoll(ctx context.Context, id ident.Roll) (RollFault, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return RollFault{}, err
	}
	p, head, err := d.Current(ctx)
	if err != nil {
		return RollFault{}, err
	}
	out := RollFault{Roll: id, Plan: head.ID}
	known := false
	for _, r := range s.Rolls {
		if r.ID == id {
			known, out.Held = true, r.Hold
		}
	}
	at := map[ident.Release]int{}
	for _, seq := range runsOfRoll(p, id) {
		known = true
		run := tracedRun(s, p, head.ID, seq)
		for _, x := range p.Runs {
			if x.Seq != seq {
				continue
			}
			for _, l := range x.Lanes {
				key, err := ident.ParseRelease(l.Order)
				if err != nil {
					return RollFault{}, err
				}
				i, there := at[key]
				if !there {
					i = len(out.Orders)
					at[key] = i
					out.Orders = append(out.Orders, RollOrder{Release: key, Made: s.Done[key].Finished()})
				}
				o := &out.Orders[i]
				if n := len(o.Runs); n == 0 || o.Runs[n-1].Run != seq {
					o.Runs = append(o.Runs, run)
				}
				o.Sheets += l.Sheets
				o.Boxes = o.Sheets * max(1, s.way(key).PerSheet)
				o.Begun = o.Begun || !run.Start.IsZero() && !run.Start.After(d.Now())
			}
		}
	}
	if !known {
		return RollFault{}, fmt.Errorf("roll %q: %w", id, fault.NotFound)
	}
	return out, nil
}

// runsOfRoll are the runs for which a plan names a roll, each once.
func runsOfRoll(p *plan.Plan, id ident.Roll) []int {
	var out []int
	for _, n := range p.Rolls.Needs {
		for _, u := range n.Rolls {
			if u.Roll == id && !slices.Contains(out, n.Run) {
				out = append(out, n.Run)
			}
		}
	}
	return out
}
