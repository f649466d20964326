package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/stock"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// want is one open release with all that the later stations ask about it.
type want struct {
	Demand
	line  order.Line
	item  order.Item
	grade board.Grade
	blank *box.Blank // nil where only a stated sheet is known
	spec  convert.Spec
	steps []convert.Machine // one machine a step, the cheapest that can
	done  trace.Quantities
	goods stock.Line // made goods that are its own or come to it
}

// wants works out what each open line of the book asks of the corrugator; a
// blanket order asks for nothing, its call-offs do. A line that cannot be
// planned at all keeps its fault in Demand.Fault.
func wants(ix *index, now time.Time) []want { return wantsBut(ix, now, nil) }

// wantsBut is wants without the lines that are known already.
func wantsBut(ix *index, now time.Time, known map[string]bool) []want {
	var out []want
	standing := stock.Of(ix.book, now)
	for _, l := range ix.book.Lines {
		if !asks(l) || len(known) > 0 && known[l.Key.String()] {
			continue
		}
		w := want{line: l, done: ix.book.Done[l.Key], goods: standing.Lines[l.Key]}
		w.Demand = Demand{
			Release: l.Key, Item: l.Item, Customer: l.Customer, Boxes: l.Quantity, Due: l.Due, Overdue: l.Due.Before(now),
			Kind: l.Kind, FromStock: w.goods.FromStock,
		}
		w.receivable(ix)
		if err := w.fill(ix); err != nil {
			w.Fault = strings.ReplaceAll(err.Error(), "\n", "; ")
		}
		out = append(out, w)
	}
	return out
}

// asks reports whether a line is to be made.
func asks(l order.Line) bool { return l.State == order.Open && l.Kind != order.Blanket }

// receivable brings a due time at the dock forward to the last moment before it
// at which the customer takes deliveries.
func (w *want) receivable(ix *index) {
	if w.line.DueAt != order.AtDock {
		return
	}
	if due, why := ix.customers[w.Customer].Receivable(w.Due, ix.zone); why != "" {
		w.Due, w.Stated, w.DueWhy = due, w.Due, why
	}
}

// fill takes the way item → sheet → machines → sheets wanted.
func (w *want) fill(ix *index) error {
	item, ok := ix.items[w.line.Item]
	if !ok {
		return fault.Violations{{Field: "item", Value: string(w.line.Item), Rule: "is not in the book", Remedy: "add the item, or correct the line"}}
	}
	w.item = *item
	if w.grade, ok = ix.grades[w.item.Grade]; !ok {
		return fault.Violations{{Field: "grade", Value: string(w.item.Grade), Rule: "is not a grade of the plant", Remedy: "add the grade, or correct the item"}}
	}
	w.Grade = w.grade.Code
	if err := w.sheet(ix); err != nil {
		return err
	}
	if err := w.route(ix); err != nil {
		return err
	}
	w.count(ix.book)
	w.Strength = strength(ix, w)
	return nil
}

// sheet takes the approved sheet, or the formula's where none is approved; the
// formula's answer stays beside an approved one.
func (w *want) sheet(ix *index) error {
	allowance, known := ix.allowances[w.grade.Flute]
	if !known && w.item.Sheet == nil {
		return fault.Violations{{Field: "flute", Value: string(w.grade.Flute), Rule: "has no allowances in the plant", Remedy: "state them, or approve a sheet for the item"}}
	}
	blank, err := box.Compute(w.item.Style, w.item.Inside, w.item.Overlap, allowance)
	if err == nil && known {
		w.blank = &blank
	}
	switch {
	case w.item.Sheet != nil:
		w.Sheet, w.Approved = *w.item.Sheet, true
		if w.blank != nil {
			w.Formula = &w.blank.Sheet
		}
	case err != nil:
		return err
	default:
		w.Sheet = blank.Sheet
	}
	return nil
}

// route takes the item's agreed machines, or for each step the cheapest manned one that can make it.
func (w *want) route(ix *index) error {
	w.spec = convert.Spec{Style: w.item.Style, Sheet: w.Sheet, Flute: w.grade.Flute, Colours: w.item.Colours, Plate: w.item.Plate, Die: w.item.Die}
	if w.blank != nil && len(w.blank.Panels) > 1 {
		w.spec.Panels = w.blank.Panels[1:]
	}
	kinds := convert.Steps(w.item.Style)
	if by := ix.choices.route(w.line.Key); len(by) > 0 {
		w.item.Route = by
	}
	if len(w.item.Route) > 0 {
		for _, code := range w.item.Route {
			m, ok := ix.machines[code]
			if !ok {
				return fault.Violations{{Field: "route", Value: string(code), Rule: "is not a machine of the plant", Remedy: "correct the item's route"}}
			}
			w.steps = append(w.steps, m)
		}
	} else {
		for step := range kinds {
			m, why := cheapest(ix, w, step+1)
			if why != "" {
				return fault.Violations{{Field: "machine", Rule: why}}
			}
			w.steps = append(w.steps, m)
		}
	}
	for _, m := range w.steps {
		w.Route = append(w.Route, m.Code)
	}
	return nil
}

// cheapest returns the machine that does a step at the least cost by itself, or
// why none can. Queues are the jobs station's business.
func cheapest(ix *index, w *want, step int) (convert.Machine, string) {
	var best convert.Machine
	var refusals []string
	bestCost := quantity.Money(-1)
	for _, m := range ix.book.Plant.Machines {
		if kinds := convert.Steps(w.spec.Style); m.Kind != kinds[step-1] {
			continue
		}
		why := convert.Refuse(m, w.spec, step)
		if why == "" && len(m.Shifts) == 0 {
			why = "no crew on any shift"
		}
		if why != "" {
			refusals = append(refusals, fmt.Sprintf("%s: %s", m.Code, why))
			continue
		}
		fed := w.line.Quantity / max(w.item.PiecesPerSheet, 1)
		c := convert.Cost(m, convert.SetUpMinutes(m, w.spec, nil), convert.RunMinutes(m, fed), 0, 0)
		if bestCost < 0 || c < bestCost {
			best, bestCost = m, c
		}
	}
	if bestCost >= 0 {
		return best, ""
	}
	if len(refusals) == 0 {
		return best, fmt.Sprintf("step %d of style %s needs a %s; the plant has none", step, w.spec.Style, convert.Steps(w.spec.Style)[step-1])
	}
	return best, "no machine can make it: " + strings.Join(refusals, " / ")
}

// compareDemand puts overdue and early-due releases first, then by key.
func compareDemand(a, b want) int {
	return cmp.Or(a.Due.Compare(b.Due), ident.Compare(a.Release, b.Release))
}

// planned returns the wants without a fault that still need sheets, due first.
func planned(all []want) []want {
	var out []want
	for _, w := range all {
		if w.Fault == "" && w.Wanted > 0 {
			out = append(out, w)
		}
	}
	slices.SortStableFunc(out, compareDemand)
	return out
}
