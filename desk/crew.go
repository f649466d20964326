package desk

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/roll"
	"github.com/flutewright/flutewright/plant/trace"
)

// crewRuns is how many runs a corrugator crew sees ahead (the question of the
// shift: the next ten).
const crewRuns = 10

// CrewRun is a run as the corrugator's crew needs it.
type CrewRun struct {
	runs.Run
	Time   jobs.RunTime
	Setup  plan.Setup
	Needs  []rolls.PlyNeed
	On     bool // started and not ended
	Since  time.Time
	Scores map[string][]quantity.Length // of each order's sheet, from one slit edge
	Change string                       // what is changed for it after the run before; "" where nothing is known before it
}

// CrewCorrugator is what the corrugator's crew works by.
type CrewCorrugator struct {
	Plan    ident.Plan
	Forced  bool
	Runs    []CrewRun         // the one on, or else the next, then those that follow
	More    int               // runs after these
	Stopped *trace.StopState  // it stands
	Rolls   []RollChange      // what the stands take, in the order of the runs
	Stands  map[string]string // the roll on each stand, by facts
}

// RollChange is a roll that a stand takes for a run.
type RollChange struct {
	Run    int
	Stand  string
	Ply    int
	Paper  ident.Paper
	Web    quantity.Length
	Roll   ident.Roll // "": none is there
	Truck  string     // or a delivery that is not in the house yet
	Splice bool       // behind another roll, while the web runs
	At     quantity.Distance
	Cuts   int // of the count that ends the run, at At
	Metres quantity.Distance
	Amiss  string // why it cannot be mounted as it stands
}

// CrewCorrugator returns what the corrugator's crew works by now: the plan in
// force for the corrugator, else the newest, less what the ledger says is done,
// with the crew's own swaps in it. fault.NotFound without a plan.
func (d *Desk) CrewCorrugator(ctx context.Context) (CrewCorrugator, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return CrewCorrugator{}, err
	}
	p, head, err := d.Current(ctx)
	if err != nil {
		return CrewCorrugator{}, err
	}
	ruling, err := d.Store.Ruling(ctx)
	if err != nil {
		return CrewCorrugator{}, err
	}
	c := CrewCorrugator{Plan: head.ID, Forced: ruling[AreaCorrugator] == head.ID, Stands: map[string]string{}}
	if st, ok := s.Floor.Stops[s.Plant.Corrugator.Code]; ok {
		c.Stopped = &st
	}
	for _, r := range s.Rolls {
		if r.Stand != "" {
			c.Stands[r.Stand] = string(r.ID)
		}
	}
	left, err := d.runsLeft(ctx, s, p, head.ID)
	if err != nil {
		return CrewCorrugator{}, err
	}
	c.More = max(0, len(left)-crewRuns)
	before := lastEnded(s, p, head.ID)
	for _, r := range left[:len(left)-c.More] {
		v := crewRun(s, p, head.ID, r)
		v.Change = changeBetween(s, before, &r)
		before = &r
		c.Runs = append(c.Runs, v)
		c.Rolls = append(c.Rolls, rollsOf(s, v)...)
	}
	return c, nil
}

// runsLeft are the plan's runs that have not ended, the one on first, in the crew's sequence.
func (d *Desk) runsLeft(ctx context.Context, s *Snapshot, p *plan.Plan, id ident.Plan) ([]runs.Run, error) {
	var left []runs.Run
	on := -1
	for _, r := range p.Runs {
		key := trace.Run{Plan: id, Run: r.Seq}
		if !s.Floor.RunsDone[key].Ended.IsZero() {
			continue
		}
		if s.Floor.RunOn != nil && *s.Floor.RunOn == key {
			on = len(left)
		}
		left = append(left, r)
	}
	if on > 0 {
		r := left[on]
		left = slices.Insert(slices.Delete(left, on, on+1), 0, r)
	}
	var swaps []trace.Fact
	for _, r := range left[:min(len(left), crewRuns)] {
		facts, err := d.Store.Facts(ctx, FactQuery{Plan: id, Run: r.Seq, Limit: 100})
		if err != nil {
			return nil, err
		}
		swaps = append(swaps, facts...)
	}
	return plan.Swapped(left, id, swaps), nil
}

// lastEnded is the plan's run that ended last, nil where none has.
func lastEnded(s *Snapshot, p *plan.Plan, id ident.Plan) *runs.Run {
	var last *runs.Run
	var at time.Time
	for i, r := range p.Runs {
		if e := s.Floor.RunsDone[trace.Run{Plan: id, Run: r.Seq}].Ended; e.After(at) {
			last, at = &p.Runs[i], e
		}
	}
	return last
}

func crewRun(s *Snapshot, p *plan.Plan, id ident.Plan, r runs.Run) CrewRun {
	v := CrewRun{Run: r}
	key := trace.Run{Plan: id, Run: r.Seq}
	v.On, v.Since = s.Floor.RunOn != nil && *s.Floor.RunOn == key, s.Floor.RunsDone[key].Started
	for _, t := range p.Clock.Runs {
		if t.Run == r.Seq {
			v.Time = t
		}
	}
	for _, u := range p.Setups {
		if u.Run == r.Seq {
			v.Setup = u
		}
	}
	v.Scores = map[string][]quantity.Length{}
	for _, key := range releasesOn(r) {
		if i := slices.IndexFunc(p.Demands, func(d plan.Demand) bool { return d.Release == key }); i >= 0 {
			v.Scores[key.String()] = p.Demands[i].Sheet.Scores
		}
	}
	for _, n := range p.Rolls.Needs {
		if n.Run == r.Seq {
			v.Needs = append(v.Needs, n)
		}
	}
	return v
}

// changeBetween says what the crew changes from one run to the next.
func changeBetween(s *Snapshot, before, next *runs.Run) string {
	if before == nil {
		return ""
	}
	w := s.planWords()
	var all []string
	if before.Web != next.Web {
		all = append(all, fmt.Sprintf("web %s to %s", w.Length(before.Web), w.width(next.Web)))
	}
	if before.Grade != next.Grade {
		all = append(all, fmt.Sprintf("grade %s to %s", before.Grade, next.Grade))
	}
	if len(all) == 0 {
		return "same board, same web"
	}
	return strings.Join(all, ", ")
}

// rollsOf lists what each stand takes for a run, first mounted, then spliced.
// A medium's metres are more than the web's by its take-up, so that the place
// of a splice is told in metres of web.
func rollsOf(s *Snapshot, v CrewRun) []RollChange {
	var out []RollChange
	for _, n := range v.Needs {
		one := RollChange{Run: v.Seq, Stand: n.Stand, Ply: n.Ply, Paper: n.Paper, Web: n.Web}
		drawn := quantity.Distance(0)
		for _, u := range n.Rolls {
			c := one
			c.Roll, c.Truck, c.Splice, c.Metres = u.Roll, u.Truck, u.Splice, u.Metres
			c.At, c.Cuts = along(v, n, drawn)
			c.Amiss = amissWith(s, u)
			drawn += u.Metres
			out = append(out, c)
		}
		if gap := n.Metres - drawn; gap >= quantity.FromMetres(1) {
			c := one
			c.Metres, c.Splice = gap, drawn > 0
			c.At, c.Cuts = along(v, n, drawn)
			c.Amiss = "no roll in the house: " + s.planWords().metres(gap) + " missing"
			out = append(out, c)
		}
	}
	return out
}

// along turns metres drawn of a ply into metres of web and cuts of the count that ends the run.
func along(v CrewRun, n rolls.PlyNeed, drawn quantity.Distance) (quantity.Distance, int) {
	if n.Metres <= 0 {
		return 0, 0
	}
	share := float64(drawn) / float64(n.Metres)
	return quantity.Distance(share * float64(v.Length)), int(share * float64(v.Setup.EndsCount))
}

func amissWith(s *Snapshot, u rolls.RollUse) string {
	if u.Roll == "" {
		return "comes with " + u.Truck + ", not in the house yet"
	}
	i, there := slices.BinarySearchFunc(s.Rolls, u.Roll, func(r roll.Roll, id ident.Roll) int { return strings.Compare(string(r.ID), string(id)) })
	switch {
	case !there:
		return "is not in the house any more"
	case s.Rolls[i].Hold:
		return "is on hold" + because(s.Rolls[i].HoldReason)
	}
	return ""
}
