package whatnow

import (
	"context"
	"fmt"
	"math"

	"github.com/flutewright/flutewright/base/quantity"
)

// held answers boxes on hold: ship what is free, sort what is held, or make it again.
func (r *repair) held(ctx context.Context) (nothing way, ways []way, err error) {
	e := r.Event
	x := wordsOf(r.Book)
	l, _ := lineOf(r.Book, e.Release)
	q := r.st.book.Done[e.Release]
	done := q.BoxesGood >= l.Quantity
	q.BoxesGood = max(0, q.BoxesGood-e.Held)
	r.st.book.Done[e.Release] = q
	free := q.BoxesGood
	if !done && len(r.stepsOf(e.Release)) > 0 {
		free = max(0, l.Quantity-e.Held) // the job goes on to its end; what is held is missing there
	}
	base := way{book: r.st.book, runs: r.st.runs, jobs: r.st.jobs, about: e.Release}
	nothing = r.closing(base, l, free)
	nothing.title = fmt.Sprintf("Do nothing: %s on hold, %s go", x.Count(e.Held), x.Count(free))
	if e.SortPerHour > 0 {
		ways = append(ways, r.sorted(base, free))
	}
	again, err := r.again(ctx, base, l, free, "on hold")
	return nothing, append(ways, again...), err
}

// sorted has people part the good from the bad among what is held.
func (r *repair) sorted(w way, free int) way {
	e := r.Event
	x := wordsOf(r.Book)
	l, _ := lineOf(r.Book, e.Release)
	good := e.Held - int(math.Ceil(float64(e.Held)*e.BadPct/100))
	took := quantity.Minutes(60 * float64(e.Held) / e.SortPerHour)
	w = r.closing(w, l, min(l.Quantity, free+good))
	w.extra = e.SortPerHourCost * quantity.Money(float64(took)/60)
	w.title = fmt.Sprintf("Sort the %s on hold: about %s are good", x.Count(e.Held), x.Count(good))
	w.note = fmt.Sprintf("%s of sorting, done by %s at the soonest", span(took), x.clock(r.Now.Add(took.Duration())))
	return w
}
