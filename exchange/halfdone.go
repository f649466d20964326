package exchange

import (
	"strconv"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/exchange/cells"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

var jobColumns = []string{"machine!", "order!", "line", "release", "good", "waste", "started", "stack"}

// job reads a job half done: that a machine was in it, and what it has counted
// so far. Of several jobs of one machine the one started last is in it now. The facts' ids follow from machine and order, so that a file
// imported twice counts once.
func (in *tableFile) job(r *cells.Record) {
	r.Needs("order")
	f := trace.Fact{
		At: in.book.Now, Source: "import", Kind: trace.JobStarted, Machine: ident.Machine(r.Code("machine")),
		Release: ident.NewRelease(r.Code("order"), r.Code("line"), r.Code("release")), Stack: ident.Stack(r.Text("stack")),
	}
	if !r.Empty("started") {
		f.At = r.Moment("started")
		if f.At.After(in.book.Now) && !in.book.Now.IsZero() {
			r.Add("started", "lies in the future", "")
		}
	}
	counted := f
	counted.Kind, counted.Good, counted.Waste = trace.JobCounted, r.Whole("good"), r.Whole("waste")
	for field, n := range map[string]int{"good": counted.Good, "waste": counted.Waste} {
		if n < 0 || n > order.MostBoxes {
			r.Add(field, "must be a whole number from 0 to "+strconv.Itoa(order.MostBoxes), "")
		}
	}
	if _, err := ident.ParseRelease(f.Release.String()); err != nil && f.Release.Order != "" {
		r.Add("order", "must not hold a slash, which parts order, line and release", "write a hyphen instead")
	}
	name := "job " + string(f.Machine) + " " + f.Release.String()
	f.ID, counted.ID = ident.Fact(name+" on"), ident.Fact(name+" counted")
	counted.At = later(f.At, in.book.Now)
	take(in, r, &in.table.Facts, f)
	if counted.Good+counted.Waste > 0 && len(r.Faults) == 0 {
		in.table.Facts = append(in.table.Facts, counted)
	}
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
