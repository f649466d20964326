package desk

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/waste"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// boxThen is what waste asks of a release's item, as it stood at a moment.
type boxThen struct {
	board    quantity.Grammage
	sheet    quantity.Area
	perSheet int // at least 1
	colours  int
	steps    []convert.Kind
	on       map[ident.Machine]convert.Kind
	cut      waste.CutOut
}

// boxOf is the box of a release by its item at a moment; with no item it weighs nothing.
func (w *wasting) boxOf(ctx context.Context, r ident.Release, at time.Time) (boxThen, error) {
	l, ok := w.s.Line(r)
	if !ok {
		return boxThen{perSheet: 1}, nil
	}
	i, version, err := w.itemAt(ctx, l.Item, at)
	if err != nil {
		return boxThen{}, err
	}
	key := itemVersion{l.Item, version}
	b, known := w.boxes[key]
	if !known {
		b = w.s.boxThen(i)
		w.boxes[key] = b
	}
	return b, nil
}

// itemVersion is an item as one of its edits left it.
type itemVersion struct {
	item    ident.Item
	version int
}

func (s *Snapshot) boxThen(i order.Item) boxThen {
	sheet := s.sheetOfItem(i)
	b := boxThen{
		board: s.boardGrammage(i.Grade), sheet: sheet.Area(), perSheet: max(i.PiecesPerSheet, 1), colours: i.Colours,
		steps: s.steps(i), on: map[ident.Machine]convert.Kind{}, cut: waste.CutOutOf(i, sheet, s.allowanceOf(i.Grade)),
	}
	for _, m := range s.Plant.Machines {
		b.on[m.Code] = m.Kind
	}
	return b
}

// step is which step of the box's way a machine is, from 1. One of another kind
// stands in for the last: what it counts are boxes.
func (b boxThen) step(m ident.Machine) int {
	if at := slices.Index(b.steps, b.on[m]); at >= 0 {
		return at + 1
	}
	return max(len(b.steps), 1)
}

// mass is what an area of its board weighs.
func (b boxThen) mass(a quantity.Area) quantity.Mass {
	return quantity.Mass(float64(a) * float64(b.board))
}

func (b boxThen) cutsOn(m ident.Machine) bool { return b.step(m) == waste.CutsOn(b.steps) }

// fedTo is the area of one sheet's pieces as a machine is fed them: after the step
// that cuts the box out, without what was cut.
func (b boxThen) fedTo(m ident.Machine) quantity.Area {
	if b.step(m) > waste.CutsOn(b.steps) {
		return max(0, b.sheet-b.cut.Area*quantity.Area(b.perSheet))
	}
	return b.sheet
}

// itemAt is an item as it stood at a moment, and its version; the first one where it came later.
func (w *wasting) itemAt(ctx context.Context, code ident.Item, at time.Time) (i order.Item, version int, err error) {
	i, _ = w.s.Item(code)
	version = w.s.Version(KindItem, string(code))
	if version < 2 || !w.s.Changed(KindItem, string(code)).After(at) {
		return i, version, nil
	}
	edits, read := w.items[code]
	if !read {
		if edits, err = w.desk.Store.History(ctx, KindItem, string(code)); err != nil {
			return i, 0, fmt.Errorf("item %s: %w", code, err)
		}
		w.items[code] = edits
	}
	then := edits[0]
	for _, e := range edits { // newest first
		if e.After == nil {
			continue
		}
		if then = e; !e.At.After(at) {
			break
		}
	}
	i = order.Item{}
	if err := json.Unmarshal(then.After, &i); err != nil {
		return i, 0, fmt.Errorf("item %s, version %d: %w", code, then.Version, err)
	}
	return i, then.Version, nil
}

func (s *Snapshot) allowanceOf(grade ident.Grade) *box.Allowance {
	g, _ := s.Grade(grade)
	at := slices.IndexFunc(s.Plant.Allowances, func(a box.Allowance) bool { return a.Flute == g.Flute })
	if at < 0 {
		return nil
	}
	return &s.Plant.Allowances[at]
}

// boardGrammage is that of a grade; 0 where it is not one of the plant's.
func (s *Snapshot) boardGrammage(grade ident.Grade) quantity.Grammage {
	g, ok := s.Grade(grade)
	if !ok {
		return 0
	}
	return g.BoardGrammage(board.NewCatalogue(s.Plant.Papers, s.Plant.Flutes))
}

// runEnded adds the planned waste of a run that ended. Its first cuts are told
// with its counts: here they only say how much of these was planned.
func (w *wasting) runEnded(ctx context.Context, r trace.Run, at time.Time) error {
	p, _, err := w.desk.Plan(ctx, r.Plan)
	if errors.Is(err, fault.NotFound) || errors.Is(err, fault.Refused) {
		return nil // a plan without runs has no trim to tell
	}
	if err != nil {
		return err
	}
	w.firsts[r] = firstCuts(p, r.Run)
	for _, part := range waste.OfRun(w.s.Book, p, r.Run) {
		if part.What != waste.FirstCuts {
			w.add(WasteSource{Run: r}, at, string(w.s.Plant.Corrugator.Code), part.What, true, 0, part.Mass)
		}
	}
	return nil
}

// firstCuts are the planned rejects of a run by release, in sheets.
func firstCuts(p *plan.Plan, seq int) map[ident.Release]float64 {
	out := map[ident.Release]float64{}
	for _, run := range p.Runs {
		if run.Seq != seq {
			continue
		}
		for _, l := range run.Lanes {
			if key, err := ident.ParseRelease(l.Order); err == nil {
				out[key] += float64(l.Outs*l.Cuts - l.Sheets)
			}
		}
	}
	return out
}
