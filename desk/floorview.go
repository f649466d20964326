package desk

import (
	"context"
	"errors"
	"sync"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/floor"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/order"
)

// SheetFloor is the sheet floor now and over the next day.
type SheetFloor struct {
	Plan     ident.Plan // whose runs and jobs fill and empty it; 0: there is no plan, only what stands there
	Problem  floor.Problem
	Result   floor.Result
	ToldRuns bool // else runs are taken as made at their planned hours
	ToldJobs bool // else jobs are
}

// floorAhead is how far the sheet floor is looked at.
const floorAhead = 24 * time.Hour

// floorSeen keeps the latest answer: several pages ask the same within a minute.
var floorSeen struct {
	sync.Mutex
	snap *Snapshot
	plan *plan.Plan
	at   time.Time
	is   *SheetFloor
}

// SheetFloor stands what is on the sheet floor, and what the plan in force
// brings and takes over the next 24 h, on the plant's lanes. It is shared and
// must not be changed. It returns fault.Violations where the plant states no lanes.
func (d *Desk) SheetFloor(ctx context.Context) (*SheetFloor, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return nil, err
	}
	p, head, err := d.Current(ctx)
	if err != nil && !errors.Is(err, fault.NotFound) {
		return nil, err
	}
	now := d.Clock().Truncate(time.Minute)
	floorSeen.Lock()
	defer floorSeen.Unlock()
	if floorSeen.is != nil && floorSeen.snap == s && floorSeen.plan == p && floorSeen.at.Equal(now) {
		return floorSeen.is, nil
	}
	is, err := sheetFloor(ctx, s, p, head.ID, now)
	if err != nil {
		return nil, err
	}
	floorSeen.snap, floorSeen.plan, floorSeen.at, floorSeen.is = s, p, now, is
	return is, nil
}

func sheetFloor(ctx context.Context, s *Snapshot, p *plan.Plan, id ident.Plan, now time.Time) (*SheetFloor, error) {
	given := floor.Given{
		Plant: s.Plant, Floor: s.Floor, Now: now, Ahead: floorAhead,
		Sheets: map[ident.Release]box.Sheet{}, Pieces: map[ident.Release]int{},
	}
	is := &SheetFloor{}
	if p != nil {
		given.Plan, given.Runs, given.Clock, given.Made = id, p.Runs, p.Clock, p.Now
		is.Plan, is.ToldRuns, is.ToldJobs = id, given.ToldRuns(), given.ToldJobs()
		for _, d := range p.Demands {
			given.Sheets[d.Release], given.Pieces[d.Release] = d.Sheet, d.PerSheet
		}
	}
	for _, st := range s.Floor.Stacks {
		if _, known := given.Sheets[st.Release]; !known {
			given.Sheets[st.Release] = s.sheetOf(st.Release)
		}
	}
	is.Problem = floor.Of(given)
	var err error
	if is.Result, err = floor.Solve(context.WithoutCancel(ctx), is.Problem, floor.Options{}); err != nil {
		return nil, err
	}
	if err := floor.Check(is.Problem, is.Result); err != nil {
		return nil, err
	}
	return is, nil
}

// sheetOf is the sheet of a release that no plan knows: approved, or by formula.
func (s *Snapshot) sheetOf(r ident.Release) box.Sheet {
	l, ok := s.Line(r)
	if !ok {
		return box.Sheet{}
	}
	i, _ := s.Item(l.Item)
	return s.sheetOfItem(i)
}

// sheetOfItem is an item's approved sheet, or the formula's; empty where neither is known.
func (s *Snapshot) sheetOfItem(i order.Item) box.Sheet {
	if i.Sheet != nil {
		return *i.Sheet
	}
	if a := s.allowanceOf(i.Grade); a != nil {
		if b, err := box.Compute(i.Style, i.Inside, i.Overlap, *a); err == nil {
			return b.Sheet
		}
	}
	return box.Sheet{}
}
