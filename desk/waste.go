package desk

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/waste"
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
	for r, at := range runs {
		if err := w.runEnded(ctx, r, at); err != nil {
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

// countKey is where waste was counted or booked.
type countKey struct {
	day     time.Time
	place   string
	release ident.Release
	run     trace.Run
}

// counts is waste counted at one place on one day, and what a sheet of it weighs.
type counts struct {
	sheets float64
	mass   quantity.Mass
	of     WasteSource
}

// wasting gathers waste fact by fact.
type wasting struct {
	desk    *Desk
	s       *Snapshot
	since   time.Time
	out     []wasted
	counted map[countKey]*counts
	booked  map[countKey]float64
	firsts  map[trace.Run]map[ident.Release]float64 // first cuts of each run, in sheets
	items   map[ident.Item][]Edit
	boxes   map[itemVersion]boxThen
}

func (w *wasting) take(ctx context.Context, f trace.Fact) error {
	switch f.Kind {
	case trace.RunEnded, trace.JobCounted, trace.JobEnded:
		return w.count(ctx, f)
	case trace.WasteBooked:
		return w.book(ctx, f)
	}
	return nil
}

// count takes what a run or a job has counted.
func (w *wasting) count(ctx context.Context, f trace.Fact) error {
	b, err := w.boxOf(ctx, f.Release, f.At)
	if err != nil {
		return err
	}
	of := WasteSource{Release: f.Release, Machine: f.Machine}
	place, sheets, each := string(f.Machine), float64(f.Waste)/float64(b.perSheet), b.fedTo(f.Machine)
	if f.Kind == trace.RunEnded {
		of = WasteSource{Run: trace.Run{Plan: f.Plan, Run: f.Run}}
		place, sheets, each = string(w.s.Plant.Corrugator.Code), float64(f.Waste), b.sheet
	} else if b.cutsOn(f.Machine) {
		if mass := quantity.Mass(float64(f.Good)) * b.mass(b.cut.Area); mass > 0 {
			w.add(of, f.At, string(f.Machine), b.cut.What, true, 0, mass)
		}
	}
	if f.Waste == 0 {
		return nil
	}
	mass := quantity.Mass(sheets) * b.mass(each)
	if f.Reason != "" {
		w.add(of, f.At, place, f.Reason, false, sheets, mass)
		return nil
	}
	key := countKey{w.day(f.At), place, f.Release, of.Run}
	c := w.counted[key]
	if c == nil {
		c = &counts{of: of}
		w.counted[key] = c
	}
	c.sheets, c.mass = c.sheets+sheets, c.mass+mass
	return nil
}

// book takes waste that a person gave a reason. Of a machine it is the reason of
// what its counts tell already; elsewhere it was thrown from the floor.
func (w *wasting) book(ctx context.Context, f trace.Fact) error {
	b, err := w.boxOf(ctx, f.Release, f.At)
	if err != nil {
		return err
	}
	mass := f.Mass
	if mass == 0 {
		mass = quantity.Mass(float64(f.Waste)) * b.mass(b.sheet)
	}
	of, place := WasteSource{Release: f.Release, Machine: f.Machine}, cmp.Or(string(f.Machine), f.Place, wasteFloor)
	if f.Run > 0 {
		of = WasteSource{Run: trace.Run{Plan: f.Plan, Run: f.Run}}
	}
	if f.Machine != "" {
		w.booked[countKey{w.day(f.At), place, f.Release, of.Run}] += float64(f.Waste)
	}
	w.add(of, f.At, place, f.Reason, false, float64(f.Waste), mass)
	return nil
}

func (w *wasting) day(t time.Time) time.Time {
	y, m, d := t.In(w.s.zone).Date()
	return time.Date(y, m, d, 0, 0, 0, 0, w.s.zone)
}

func (w *wasting) add(of WasteSource, at time.Time, place, reason string, planned bool, sheets float64, mass quantity.Mass) {
	w.out = append(w.out, wasted{WasteRow: WasteRow{Day: w.day(at), Place: place, Reason: reason, Planned: planned, Mass: mass}, of: of, sheets: sheets})
}

// remainders are what was counted at a place beyond what was booked with a
// reason: first cuts and set-up sheets, as far as these are planned, and the rest.
func (w *wasting) remainders(ctx context.Context) error {
	keys := make([]countKey, 0, len(w.counted))
	for k := range w.counted {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b countKey) int {
		return cmp.Or(a.day.Compare(b.day), cmp.Compare(a.place, b.place), ident.Compare(a.release, b.release),
			cmp.Compare(a.run.Plan, b.run.Plan), cmp.Compare(a.run.Run, b.run.Run))
	})
	spent := map[WasteSource]float64{}
	for _, k := range keys {
		c := w.counted[k]
		rest := c.sheets
		for _, from := range []countKey{k, {k.day, k.place, k.release, trace.Run{}}, {k.day, k.place, ident.Release{}, trace.Run{}}} {
			used := min(rest, w.booked[from])
			rest, w.booked[from] = rest-used, w.booked[from]-used
		}
		if rest <= 0 {
			continue
		}
		what, allowed, err := w.allowed(ctx, k, c.of)
		if err != nil {
			return err
		}
		once := c.of
		once.Release = k.release // a run's orders have first cuts each
		planned := max(0, min(rest, allowed-spent[once]))
		spent[once] += planned
		for _, part := range []struct {
			reason  string
			planned bool
			sheets  float64
		}{{what, true, planned}, {WasteUntold, false, rest - planned}} {
			if part.sheets > 0 {
				w.add(c.of, k.day, k.place, part.reason, part.planned, part.sheets, c.mass*quantity.Mass(part.sheets/c.sheets))
			}
		}
	}
	return nil
}

// allowed are the sheets of a source's waste that were planned: first cuts of the
// run, or what setting the machine up costs. A job that began before the facts
// that are read has set up before.
func (w *wasting) allowed(ctx context.Context, k countKey, of WasteSource) (string, float64, error) {
	if of.Run.Run > 0 {
		return waste.FirstCuts, w.firsts[of.Run][k.release], nil
	}
	if a, known := w.s.Account(k.release); known {
		if began := a.Jobs[of.Machine].Started; !began.IsZero() && began.Before(w.since) {
			return waste.SetUpSheets, 0, nil
		}
	}
	b, err := w.boxOf(ctx, k.release, k.day.Add(24*time.Hour))
	if err != nil {
		return "", 0, err
	}
	m, _ := w.s.Machine(of.Machine)
	step := b.step(of.Machine)
	sheets := float64(waste.SetUpSheetsOf(m, step, b.colours))
	if step > 1 {
		sheets /= float64(b.perSheet)
	}
	return waste.SetUpSheets, sheets, nil
}
