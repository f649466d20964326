package desk

import (
	"cmp"
	"context"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/waste"
	"github.com/flutewright/flutewright/plant/trace"
)

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
	unexplained, spent := w.unexplained(keys), map[WasteSource]float64{}
	for _, k := range keys {
		c, rest := w.counted[k], unexplained[k]
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

// unexplained is what no booking explains of the counts: one of the same day, or,
// for what is still open then, of the day after, for a night's waste is often booked past midnight.
func (w *wasting) unexplained(keys []countKey) map[countKey]float64 {
	rest := make(map[countKey]float64, len(keys))
	for _, k := range keys {
		rest[k] = w.counted[k].sheets
	}
	for later := range 2 {
		for _, k := range keys {
			day := k.day.AddDate(0, 0, later)
			for _, from := range []countKey{{day, k.place, k.release, k.run}, {day, k.place, k.release, trace.Run{}}, {day, k.place, ident.Release{}, trace.Run{}}} {
				used := min(rest[k], w.booked[from])
				rest[k], w.booked[from] = rest[k]-used, w.booked[from]-used
			}
		}
	}
	return rest
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
