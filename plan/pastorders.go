package plan

import (
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
)

// Past is what orders of some time, open and closed alike, ask of the corrugator
// as if none were made yet and every stocked width of paper were there.
type Past struct {
	Trim   runs.Problem
	Closed int     // lines of it that are closed
	Aside  int     // lines on hold and blanket orders; they ask for nothing
	Faulty int     // lines that no sheet could be worked out for; they are not in Trim
	Days   float64 // from the first due time to the last, at least 1
}

// PastOrders states the trim problem of a book's open and closed lines, to ask
// what another choice of paper would have cost. Lines on hold and blanket
// orders ask for nothing. fault.Violations for a book without such lines.
func PastOrders(book plant.Book, now time.Time) (Past, error) {
	asked := book
	asked.Lines, asked.Done, asked.Rolls, asked.Inbound = nil, nil, nil, nil
	asked.Floor = plant.Book{}.Floor
	var p Past
	var first, last time.Time
	closed := map[ident.Release]bool{}
	for _, l := range book.Lines {
		if l.State == order.Closed {
			closed[l.Key] = true
			l.State = order.Open
		}
		if !asks(l) {
			p.Aside++
			continue
		}
		if asked.Lines == nil || l.Due.Before(first) {
			first = l.Due
		}
		if l.Due.After(last) {
			last = l.Due
		}
		asked.Lines = append(asked.Lines, l)
	}
	ix := newIndex(asked)
	var good []want
	p.Days = max(1, last.Sub(first).Hours()/24)
	for _, w := range wants(ix, now) {
		if w.Fault != "" {
			p.Faulty++
		} else if w.Wanted > 0 {
			good = append(good, w)
			if closed[w.Release] {
				p.Closed++
			}
		}
	}
	if len(good) == 0 {
		return p, fault.Violations{{Field: "orders", Rule: "there is no open or closed order to judge widths by", Remedy: "import orders"}}
	}
	p.Trim = trimProblem(ix, good, nil)
	return p, nil
}
