package sheet

import (
	"fmt"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/draw"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/order"
)

// shape is the blank of the ticket's item as the drawing wants it: with panels,
// slots and flaps where the style's formula gives the very sheet that is made,
// else the sheet with its corrugator scores alone.
func (t *ticket) shape() (draw.BlankShape, bool) {
	made := t.demand.Sheet
	if made.Chop <= 0 || made.Slit <= 0 {
		return draw.BlankShape{}, false
	}
	it := t.items[t.demand.Item]
	title := fmt.Sprintf("%s, %s, %s", it.Style, t.inside(it), t.demand.Grade)
	if b, ok := t.computed(it); ok {
		return draw.BlankShape{
			Title: title, Panels: b.Panels, Strips: b.Strips, OneFlap: len(b.Strips) == 2,
			SlotWidth: b.SlotWidth, OuterFlap: b.OuterFlap, InnerFlap: b.InnerFlap,
		}, true
	}
	return draw.BlankShape{Title: title, Panels: []quantity.Length{made.Chop}, Strips: made.Strips()}, true
}

// inside is the size for the contents; a flat piece has no height.
func (t *ticket) inside(it order.Item) string {
	if it.Inside.Height == 0 {
		return fmt.Sprintf("%s × %s", t.Length(it.Inside.Length), t.size(it.Inside.Width))
	}
	return fmt.Sprintf("inside %s × %s × %s", t.Length(it.Inside.Length), t.Length(it.Inside.Width), t.size(it.Inside.Height))
}

// computed is the blank by the style's formula, where there is one and it gives the sheet that is made.
func (t *ticket) computed(it order.Item) (box.Blank, bool) {
	for _, a := range t.book.Plant.Allowances {
		if a.Flute == t.grades[it.Grade].Flute {
			b, err := box.Compute(it.Style, it.Inside, it.Overlap, a)
			made := t.demand.Sheet
			return b, err == nil && b.Sheet.Chop == made.Chop && b.Sheet.Slit == made.Slit
		}
	}
	return box.Blank{}, false
}

// panels lists the blank's panels; of a sheet that is no formula's they are not known here.
func (t *ticket) panels(it order.Item) string {
	b, ok := t.computed(it)
	if !ok || len(b.Panels) < 2 {
		return "by the drawing"
	}
	return lengthsInWords(t.folio.words, b.Panels)
}
