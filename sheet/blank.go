package sheet

import (
	"fmt"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/draw"
)

// shape is the blank of the ticket's item as the drawing wants it.
func (t *ticket) shape() (draw.BlankShape, bool) {
	d := t.demand
	if d.Sheet.Chop <= 0 || d.Sheet.Slit <= 0 {
		return draw.BlankShape{}, false
	}
	it := t.items[d.Item]
	out := draw.BlankShape{
		Title:  fmt.Sprintf("%s  sheet %s × %s", it.Style, t.Length(d.Sheet.Chop), t.size(d.Sheet.Slit)),
		Panels: []quantity.Length{d.Sheet.Chop},
	}
	from := quantity.Length(0)
	for _, score := range d.Sheet.Scores {
		out.Strips = append(out.Strips, score-from)
		from = score
	}
	out.Strips = append(out.Strips, d.Sheet.Slit-from)
	return out, true
}
