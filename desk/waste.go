package desk

import (
	"cmp"
	"context"
	"maps"
	"math"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/trace"
)

// WasteRow is waste of one day at one place for one reason.
type WasteRow struct {
	Day     time.Time // its midnight in the plant's zone
	Place   string    // corrugator or machine by code, or a place on the floor
	Reason  string
	Planned bool          // known before: trim, first cuts, ends and changes, set-up sheets, slots and skeletons; all else is controllable
	Sheets  int           // sheets; pieces of them count in parts, rounded up
	Mass    quantity.Mass // as weighed, else by area and grammage
}

// WasteUntold is the reason of waste that no booking explains.
const WasteUntold = "no reason told"

const wasteFloor = "sheet floor"

// mostWaste is how many facts are read for one table of waste.
const mostWaste = 500_000

// WasteSource is what made waste: a run, or a release on a machine. A release
// without a machine lost sheets on the floor.
type WasteSource struct {
	Run     trace.Run
	Release ident.Release
	Machine ident.Machine
}

// wasted is waste of one source. Sheets are parts of sheets where pieces were counted.
type wasted struct {
	WasteRow
	of     WasteSource
	sheets float64
}

// Waste returns what was wasted from since until before until, by day, place
// and reason, the heaviest of a day first. Waste that runs and jobs have counted
// stands under the reasons booked for its machine and order. Of what no booking
// explains, first cuts and set-up sheets as the plant states them are planned,
// and the rest has no reason. The trim, the ends and the changes of a run that
// ended are planned waste, and so is what is cut out of good boxes: by the item as
// it stood then, with today's papers.
func (d *Desk) Waste(ctx context.Context, since, until time.Time) ([]WasteRow, error) {
	rows, _, err := d.WasteBySource(ctx, since, until)
	return rows, err
}

// wasted reads the waste of facts that happened since since and before until.
func (d *Desk) wasted(ctx context.Context, s *Snapshot, facts []trace.Fact, since, until time.Time) ([]wasted, error) {
	w := wasting{
		desk: d, s: s, since: since, counted: map[countKey]*counts{}, booked: map[countKey]float64{},
		firsts: map[trace.Run]map[ident.Release]float64{}, items: map[ident.Item][]Edit{}, boxes: map[itemVersion]boxThen{},
	}
	runs := map[trace.Run]time.Time{}
	for _, f := range trace.Standing(facts) {
		if !f.At.Before(until) {
			continue
		}
		if err := w.take(ctx, f); err != nil {
			return nil, err
		}
		if f.Kind == trace.RunEnded && f.Run > 0 {
			runs[trace.Run{Plan: f.Plan, Run: f.Run}] = f.At
		}
	}
	ended := slices.SortedFunc(maps.Keys(runs), func(a, b trace.Run) int { return cmp.Or(cmp.Compare(a.Plan, b.Plan), cmp.Compare(a.Run, b.Run)) })
	for _, r := range ended {
		if err := w.runEnded(ctx, r, runs[r]); err != nil {
			return nil, err
		}
	}
	if err := w.remainders(ctx); err != nil {
		return nil, err
	}
	return w.out, nil
}

// summedRows sums waste up by day, place and reason.
func summedRows(all []wasted) []WasteRow {
	type sum struct {
		sheets float64
		mass   quantity.Mass
	}
	sums := map[WasteRow]sum{}
	for _, v := range all {
		key := v.WasteRow
		key.Sheets, key.Mass = 0, 0
		t := sums[key]
		sums[key] = sum{t.sheets + v.sheets, t.mass + v.Mass}
	}
	out := make([]WasteRow, 0, len(sums))
	for key, t := range sums {
		key.Sheets, key.Mass = wholeSheets(t.sheets), t.mass
		out = append(out, key)
	}
	slices.SortFunc(out, func(a, b WasteRow) int {
		return cmp.Or(b.Day.Compare(a.Day), cmp.Compare(b.Mass, a.Mass), cmp.Compare(a.Place, b.Place), cmp.Compare(a.Reason, b.Reason))
	})
	return out
}

// wholeSheets rounds parts of sheets up; a millionth is noise.
func wholeSheets(n float64) int { return int(math.Ceil(n - 1e-6)) }
