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
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/trace"
)

// WasteRow is waste of one day at one place for one reason.
type WasteRow struct {
	Day     time.Time // its midnight in the plant's zone
	Place   string    // corrugator or machine by code, or a place on the floor
	Reason  string
	Planned bool          // known before: trim, slots and lap corners, skeletons; all else is controllable
	Sheets  int           // sheets; pieces of them count in parts, rounded up
	Mass    quantity.Mass // as weighed, else by area and grammage
}

// Reasons that the desk gives itself.
const (
	WasteTrim   = "trim, as planned"
	WasteUntold = "no reason told"
	wasteFloor  = "sheet floor"
)

// mostWaste is how many facts are read for one table of waste.
const mostWaste = 500_000

// Waste returns what was wasted from since until before until, by day, place
// and reason, the heaviest of a day first. Waste that runs and jobs have counted
// stands under the reasons booked for its machine and order; what no booking
// explains has no reason. The trim of a run that ended is planned waste, and so is
// what is slotted out of good boxes.
func (d *Desk) Waste(ctx context.Context, since, until time.Time) ([]WasteRow, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return nil, err
	}
	facts, err := d.Store.Facts(ctx, FactQuery{Since: since, Limit: mostWaste})
	if err != nil {
		return nil, err
	}
	w := wasting{s: s, rows: map[WasteRow]*WasteRow{}, counted: map[WasteRow]*counts{}, booked: map[WasteRow]int{}}
	runs := map[trace.Run]time.Time{}
	for _, f := range trace.Standing(facts) {
		if !f.At.Before(until) {
			continue
		}
		w.take(f)
		if f.Kind == trace.RunEnded && f.Run > 0 {
			runs[trace.Run{Plan: f.Plan, Run: f.Run}] = f.At
		}
	}
	w.remainders()
	for r, at := range runs {
		if err := d.trimOf(ctx, &w, r, at); err != nil {
			return nil, err
		}
	}
	return w.sorted(), nil
}

// counts is waste counted at one place on one day, and what a sheet of it weighs.
type counts struct {
	sheets int
	mass   quantity.Mass
}

type wasting struct {
	s       *Snapshot
	rows    map[WasteRow]*WasteRow
	counted map[WasteRow]*counts // by day and place
	booked  map[WasteRow]int
}

func (w *wasting) take(f trace.Fact) {
	key := WasteRow{Day: w.day(f.At), Place: cmp.Or(string(f.Machine), f.Place, wasteFloor)}
	switch f.Kind {
	case trace.RunEnded, trace.JobCounted, trace.JobEnded:
		if f.Kind != trace.RunEnded {
			w.slotsOf(f)
		}
		if f.Waste == 0 {
			return
		}
		sheets := f.Waste
		if f.Kind == trace.RunEnded {
			key.Place = string(w.s.Plant.Corrugator.Code)
		} else {
			per := max(w.s.way(f.Release).PerSheet, 1)
			sheets = (f.Waste + per - 1) / per
		}
		mass := quantity.Mass(float64(sheets)) * w.sheetMass(f.Release)
		if f.Reason != "" {
			key.Reason = f.Reason
			w.add(key, sheets, mass)
			return
		}
		c := w.counted[key]
		if c == nil {
			c = &counts{}
			w.counted[key] = c
		}
		c.sheets, c.mass = c.sheets+sheets, c.mass+mass
	case trace.WasteBooked:
		mass := f.Mass
		if mass == 0 {
			mass = quantity.Mass(float64(f.Waste)) * w.sheetMass(f.Release)
		}
		if f.Machine != "" {
			w.booked[key] += f.Waste
		}
		key.Reason = f.Reason
		w.add(key, f.Waste, mass)
	}
}

func (w *wasting) day(t time.Time) time.Time {
	y, m, d := t.In(w.s.zone).Date()
	return time.Date(y, m, d, 0, 0, 0, 0, w.s.zone)
}

func (w *wasting) add(key WasteRow, sheets int, mass quantity.Mass) {
	r := w.rows[key]
	if r == nil {
		fresh := key
		r = &fresh
		w.rows[key] = r
	}
	r.Sheets, r.Mass = r.Sheets+sheets, r.Mass+mass
}

// remainders are what was counted at a place beyond what was booked with a reason.
func (w *wasting) remainders() {
	for key, c := range w.counted {
		rest := c.sheets - w.booked[key]
		if rest <= 0 {
			continue
		}
		key.Reason = WasteUntold
		w.add(key, rest, c.mass*quantity.Mass(float64(rest)/float64(c.sheets)))
	}
}

// sheetMass is what a sheet of a release weighs by its area and grammage; 0 where that is not known.
func (w *wasting) sheetMass(r ident.Release) quantity.Mass {
	l, ok := w.s.Line(r)
	if !ok {
		return 0
	}
	item, _ := w.s.Item(l.Item)
	return w.boardMass(item.Grade, w.s.sheetOf(r).Area())
}

func (w *wasting) boardMass(grade ident.Grade, a quantity.Area) quantity.Mass {
	g, ok := w.s.Grade(grade)
	if !ok {
		return 0
	}
	return quantity.Mass(float64(a) * float64(g.BoardGrammage(board.NewCatalogue(w.s.Plant.Papers, w.s.Plant.Flutes))))
}

// trimOf adds the planned trim of a run that ended.
func (d *Desk) trimOf(ctx context.Context, w *wasting, r trace.Run, at time.Time) error {
	p, _, err := d.Plan(ctx, r.Plan)
	if errors.Is(err, fault.NotFound) || errors.Is(err, fault.Refused) {
		return nil // a plan without runs has no trim to tell
	}
	if err != nil {
		return err
	}
	if mass := trimMass(p, w, r.Run); mass > 0 {
		w.add(WasteRow{Day: w.day(at), Place: string(w.s.Plant.Corrugator.Code), Reason: WasteTrim, Planned: true}, 0, mass)
	}
	return nil
}

func trimMass(p *plan.Plan, w *wasting, seq int) quantity.Mass {
	for _, run := range p.Runs {
		if run.Seq == seq {
			return w.boardMass(run.Grade, quantity.Area(run.Trim.Metres()*run.Length.Metres()))
		}
	}
	return 0
}

func (w *wasting) sorted() []WasteRow {
	out := make([]WasteRow, 0, len(w.rows))
	for _, r := range w.rows {
		out = append(out, *r)
	}
	slices.SortFunc(out, func(a, b WasteRow) int {
		return cmp.Or(b.Day.Compare(a.Day), cmp.Compare(b.Mass, a.Mass), cmp.Compare(a.Place, b.Place), cmp.Compare(a.Reason, b.Reason))
	})
	return out
}
