package plan

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/convert"
)

// Fit says whether a machine can do a step of a release; Refusal is "" when it can.
type Fit struct {
	Machine ident.Machine
	Refusal string
}

// Fits returns, for every open release and each of its converting steps, the
// plant's machines of the step's kind with what stops them. A machine without
// any crew is refused. Agreed routes are not looked at.
func Fits(book plant.Book, now time.Time) map[ident.Release][][]Fit {
	ix := newIndex(book)
	out := map[ident.Release][][]Fit{}
	for _, w := range wants(ix, now) {
		if w.Fault != "" {
			continue
		}
		var steps [][]Fit
		for k, kind := range convert.Steps(w.spec.Style) {
			var fits []Fit
			for _, m := range ix.book.Plant.Machines {
				if m.Kind != kind {
					continue
				}
				why := convert.Refuse(m, w.spec, k+1)
				if why == "" && len(m.Shifts) == 0 {
					why = "no crew on any shift"
				}
				fits = append(fits, Fit{m.Code, why})
			}
			steps = append(steps, fits)
		}
		out[w.Release] = steps
	}
	return out
}
