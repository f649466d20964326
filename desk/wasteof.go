package desk

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/waste"
	"github.com/flutewright/flutewright/plant/trace"
)

// WasteOf is what one run or job wasted.
type WasteOf struct {
	WasteSource
	Last    time.Time     // the day of its latest waste
	Planned quantity.Mass //
	Rest    quantity.Mass // could have been spared
	Sheets  int           // of Rest
	Untold  int           // of these: without a reason
	Rows    []WasteRow    // by day, place and reason
}

// WasteBySource returns what Waste does, and the same by run and by job, those
// first of which the most could have been spared.
func (d *Desk) WasteBySource(ctx context.Context, since, until time.Time) ([]WasteRow, []WasteOf, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return nil, nil, err
	}
	facts, err := d.Store.Facts(ctx, FactQuery{Since: since, Limit: mostWaste})
	if err != nil {
		return nil, nil, err
	}
	all, err := d.wasted(ctx, s, facts, since, until)
	if err != nil {
		return nil, nil, err
	}
	by := map[WasteSource][]wasted{}
	for _, v := range all {
		if v.of != (WasteSource{}) {
			by[v.of] = append(by[v.of], v)
		}
	}
	out := make([]WasteOf, 0, len(by))
	for of, own := range by {
		out = append(out, wasteOf(of, own))
	}
	slices.SortFunc(out, func(a, b WasteOf) int {
		return cmp.Or(cmp.Compare(b.Rest, a.Rest), cmp.Compare(b.Planned, a.Planned), cmp.Compare(a.Run.Plan, b.Run.Plan),
			cmp.Compare(a.Run.Run, b.Run.Run), ident.Compare(a.Release, b.Release), cmp.Compare(a.Machine, b.Machine))
	})
	return summedRows(all), out, nil
}

func wasteOf(of WasteSource, own []wasted) WasteOf {
	out := WasteOf{WasteSource: of, Rows: summedRows(own)}
	for _, r := range out.Rows {
		if r.Day.After(out.Last) {
			out.Last = r.Day
		}
		switch {
		case r.Planned:
			out.Planned += r.Mass
			continue
		case r.Reason == WasteUntold:
			out.Untold += r.Sheets
		}
		out.Rest, out.Sheets = out.Rest+r.Mass, out.Sheets+r.Sheets
	}
	return out
}

// RunWaste is what one run of a plan wastes: foreseen by the plan, and as told.
// fault.NotFound for an unknown plan.
func (d *Desk) RunWaste(ctx context.Context, r trace.Run) (foreseen []waste.Part, told WasteOf, err error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return nil, told, err
	}
	p, _, err := d.Plan(ctx, r.Plan)
	if err != nil {
		return nil, told, err
	}
	var orders []ident.Release
	for key := range firstCuts(p, r.Run) {
		orders = append(orders, key)
	}
	told, err = d.toldOf(ctx, s, WasteSource{Run: r}, orders)
	return waste.OfRun(s.Book, p, r.Run), told, err
}

// JobWaste is what a release wastes on a machine: foreseen by the machine's
// stated losses for the job in the plan, none where it has no such job, and as told.
func (d *Desk) JobWaste(ctx context.Context, plan ident.Plan, r ident.Release, m ident.Machine) (foreseen []waste.Part, told WasteOf, err error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return nil, told, err
	}
	p, _, err := d.Plan(ctx, plan)
	switch {
	case err == nil:
		foreseen = waste.OfJob(s.Book, p, r, m)
	case !errors.Is(err, fault.NotFound) && !errors.Is(err, fault.Refused):
		return nil, told, err
	}
	told, err = d.toldOf(ctx, s, WasteSource{Release: r, Machine: m}, []ident.Release{r})
	return foreseen, told, err
}

// toldOf is the waste of one source, which has counted orders.
func (d *Desk) toldOf(ctx context.Context, s *Snapshot, of WasteSource, orders []ident.Release) (WasteOf, error) {
	var facts []trace.Fact
	for _, r := range orders {
		own, err := d.Store.Facts(ctx, FactQuery{Release: r, Limit: mostWaste})
		if err != nil {
			return WasteOf{}, err
		}
		facts = append(facts, own...)
	}
	all, err := d.wasted(ctx, s, facts, time.Time{}, d.Clock().Add(24*time.Hour))
	if err != nil {
		return WasteOf{}, err
	}
	return wasteOf(of, slices.DeleteFunc(all, func(v wasted) bool { return v.of != of })), nil
}
