package plan

import (
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// count asks for the sheets of what is still to make, net of made goods: what
// is wanted plus what will be lost at every step, less the sheets that already
// stand on the floor or lie between two machines. Stacks on hold do not count.
// A job in progress needs no sheets for setting up a second time. A release
// whose last job has ended within its tolerance is complete.
func (w *want) count(b plant.Book) {
	f, machines := b.Floor, b.Plant.Machines
	w.ToMake = w.goods.Short
	w.PerSheet = max(w.item.PiecesPerSheet, 1)
	w.OnFloor = max(0, w.done.SheetsMade-w.done.SheetsFed-w.done.SheetsLost-heldSheets(f, w.Release))
	if w.ToMake > 0 && w.OnFloor == 0 && w.goods.Have+w.goods.FromStock >= w.line.Least() && w.over(f, machines) {
		w.ToMake, w.Within = 0, w.goods.Short
	}
	w.Net = (w.ToMake + w.PerSheet - 1) / w.PerSheet
	w.Wanted = w.Net
	if w.ToMake > 0 {
		w.Wanted = convert.SheetsWanted(w.ToMake, w.PerSheet, w.begun(f, machines), w.item.Colours)
	}
	w.Wanted = max(0, w.Wanted-w.OnFloor)
	if w.Wanted > 0 && w.OnFloor > 0 && remade(b, w.Release) {
		good := w.goods.Have + w.goods.FromStock + convert.PiecesExpected(w.OnFloor, w.PerSheet, w.begun(f, machines), w.item.Colours)
		if good >= w.line.Least() {
			w.Wanted = 0
		}
	}
}

// remade reports whether a part of a release is made again as an order of its own.
func remade(b plant.Book, r ident.Release) bool {
	key := r.String()
	for i := range b.Lines { // a line is large, and there are thousands
		if l := &b.Lines[i]; l.Parent == key && l.State != order.Closed {
			return true
		}
	}
	return false
}

// heldSheets are the sheets of a release that stand there but must not be fed.
func heldSheets(f trace.Floor, r ident.Release) (n int) {
	for _, s := range f.Stacks {
		if s.Release == r && s.Held {
			n += s.Sheets
		}
	}
	return n
}

// over reports whether the release's job on its last machine was ended and none is on.
func (w *want) over(f trace.Floor, machines []convert.Machine) bool {
	if len(w.steps) == 0 {
		return false
	}
	for _, on := range f.JobsOn {
		if on.Release == w.Release {
			return false
		}
	}
	last := w.steps[len(w.steps)-1].Kind
	for _, m := range machines {
		if m.Kind == last && !f.Jobs[trace.Job{Release: w.Release, Machine: m.Code}].Ended.IsZero() {
			return true
		}
	}
	return false
}

// begun returns the steps with nothing lost to the set-up of a job in progress.
func (w *want) begun(f trace.Floor, machines []convert.Machine) []convert.Machine {
	steps := slices.Clone(w.steps)
	for _, m := range machines {
		if f.JobsOn[m.Code].Release != w.Release {
			continue
		}
		for i := range steps {
			if steps[i].Kind == m.Kind {
				steps[i].Loss.SetUpSheets, steps[i].Loss.PerColourSheets = 0, 0
			}
		}
	}
	return steps
}
