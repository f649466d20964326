package whatnow

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/corrugator"
	"github.com/flutewright/flutewright/plant/order"
)

// short answers an order that ends under what was ordered: ship it short, feed
// the spare sheets, top it up by the least run there is, or make the rest again
// as a child order.
func (r *repair) short(ctx context.Context) (nothing way, ways []way, err error) {
	if err := r.over(); err != nil {
		return nothing, nil, err
	}
	e := r.Event
	l, _ := lineOf(r.Book, e.Release)
	b := r.st.book
	q := b.Done[e.Release]
	q.BoxesGood, q.SheetsMade = e.Good, max(q.SheetsMade, e.Spare)
	q.SheetsFed = q.SheetsMade - e.Spare
	b.Done[e.Release] = q
	jobs := without(r.st.jobs, e.Release)
	base := way{book: b, runs: r.st.runs, jobs: jobs, about: e.Release}

	nothing = r.closing(base, l, e.Good)
	nothing.title = fmt.Sprintf("Do nothing: ship %s of %s", wordsOf(b).Count(e.Good), wordsOf(b).Count(l.Quantity))
	if e.Good >= l.Quantity {
		return nothing, nil, nil
	}
	if w, ok := r.spare(base, l); ok {
		ways = append(ways, w)
	}
	top, err := r.topUps(ctx, base, l)
	if err != nil {
		return nothing, nil, err
	}
	ways = append(ways, top...)
	again, err := r.again(ctx, base, l, e.Good, "made short")
	return nothing, append(ways, again...), err
}

// closing is the way in which a line ends at so many boxes; the others are
// given up at their price. The book keeps what was ordered, with its tolerance
// widened so far. Under the customer's least a name must stand for it.
func (r *repair) closing(w way, l order.Line, at int) way {
	x := wordsOf(w.book)
	full := l.Quantity
	w.short += boxPrice(w.book, l) * quantity.Money(max(0, full-at))
	if n := least(l); at < n {
		w.name = fmt.Sprintf("it ships %s under the least of %s: a name must stand for it", x.Count(n-at), x.Count(n))
	}
	if at < full {
		kept := l
		kept.UnderPct = max(l.UnderPct, 100*float64(full-at)/float64(full))
		w.lines = append(slices.Clone(w.lines), kept)
		l.Quantity = at
		w.book = withLine(w.book, l)
	}
	return w
}

// stepsOf are the machines that a release passes by the plan's own choice.
func (r *repair) stepsOf(k ident.Release) (out []convert.Machine) {
	for _, d := range r.Plan.Demands {
		if d.Release == k {
			for _, code := range d.Route {
				m, _ := machineOf(r.Book, code)
				out = append(out, m)
			}
		}
	}
	return out
}

// spare feeds the sheets of the order that are left on the floor.
func (r *repair) spare(w way, l order.Line) (way, bool) {
	item := itemOf(w.book, l.Item)
	gain := convert.PiecesExpected(r.Event.Spare, max(1, item.PiecesPerSheet), r.stepsOf(l.Key), item.Colours)
	if gain <= 0 {
		return w, false
	}
	x := wordsOf(w.book)
	w = r.closing(w, l, min(l.Quantity, r.Event.Good+gain))
	w.family = "spare"
	w.title = fmt.Sprintf("Feed the %s spare sheets: %s boxes more", x.Count(r.Event.Spare), x.Count(gain))
	return w, true
}

// top is one run of the order alone.
type top struct {
	run    runs.Run
	sheets int
	boxes  int
	cost   quantity.Money
}

// mostTops is how many of the least runs get their best place sought.
const mostTops = 2

// topUps makes the least run that brings the order to the customer's least: on
// each web with each number of outs, the cheapest by its paper and by what its
// boxes sell for.
func (r *repair) topUps(ctx context.Context, w way, l order.Line) (ways []way, err error) {
	g, err := r.ready(w)
	if err != nil {
		return nil, err
	}
	trim := g.trim()
	i := slices.IndexFunc(trim.Orders, func(o runs.Order) bool { return o.Order == l.Key.String() })
	if i < 0 {
		return nil, nil
	}
	list := r.leastRuns(trim, trim.Orders[i], l)
	x := wordsOf(w.book)
	for _, t := range list[:min(len(list), mostTops)] {
		c := r.closing(w, l, min(l.Quantity, r.Event.Good+t.boxes))
		c.runs = append(slices.Clone(w.runs), t.run)
		c.family = "top up"
		s := slot{with: c.runs, mine: []int{len(c.runs) - 1}}
		s.title = fmt.Sprintf("Top up %s sheets, %s × %s", x.Count(t.sheets), x.metres(t.run.Length), plural(t.run.Lanes[0].Outs, "out", "outs"))
		if best, ok := r.placed(ctx, c, s); ok {
			ways = append(ways, best)
		}
	}
	r.besides(ctx, ways)
	return ways, nil
}

// besides notes at each of a few ways of one kind what the others cost beside it.
func (r *repair) besides(ctx context.Context, ways []way) {
	x := wordsOf(r.Book)
	for i := range ways {
		_, its, err := r.clocked(ctx, ways[i])
		for k, o := range ways {
			_, other, wrong := r.clocked(ctx, o)
			if k == i || err != nil || wrong != nil {
				continue
			}
			ways[i].note = fmt.Sprintf("t%s instead is %s", strings.TrimPrefix(o.title, "T"), x.beside(other.Total-its.Total))
		}
	}
}

// leastRuns are the legal runs of an order alone that give it the customer's
// least with the fewest metres, cheapest first.
func (r *repair) leastRuns(trim runs.Problem, o runs.Order, l order.Line) (out []top) {
	c := trim.Corrugator
	item := itemOf(r.Book, l.Item)
	steps, ups := r.stepsOf(l.Key), max(1, item.PiecesPerSheet)
	want := convert.SheetsWanted(max(1, least(l)-r.Event.Good), ups, steps, item.Colours) - r.Event.Spare
	for _, g := range trim.Grades {
		if g.Grade != o.Grade {
			continue
		}
		for _, web := range g.Webs {
			for outs := 1; outs <= mostOutsOf(c, len(o.Scores)) && !slices.Contains(o.BarredWebs, web); outs++ {
				trimmed := web - quantity.Length(outs)*o.Slit
				if trimmed < 2*c.SideTrimMin || c.SideTrimMax != nil && trimmed > 2**c.SideTrimMax {
					continue
				}
				cuts := (max(1, want)+outs-1)/outs + c.RejectCutsPerLane
				run := runs.Run{Grade: o.Grade, Web: web, Length: max(c.MinRun, quantity.Distance(int64(cuts)*int64(o.Chop))),
					Lanes: []runs.Lane{{Order: o.Order, Level: 1, Outs: outs, Slit: o.Slit, Chop: o.Chop}}}
				t := top{run: run, sheets: outs * (int(int64(run.Length)/int64(o.Chop)) - c.RejectCutsPerLane)}
				t.boxes = convert.PiecesExpected(t.sheets+r.Event.Spare, ups, steps, item.Colours)
				missing := max(0, l.Quantity-r.Event.Good-t.boxes)
				t.cost = quantity.Money(web.Metres()*run.Length.Metres())**g.PricePerM2 + boxPrice(r.Book, l)*quantity.Money(missing)
				out = append(out, t)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b top) int { return cmp.Compare(a.cost, b.cost) })
	return out
}

// again makes what is missing as a child order that takes its parent's truck;
// the parent closes at what there is.
func (r *repair) again(ctx context.Context, w way, l order.Line, have int, cause string) ([]way, error) {
	if l.Quantity <= have {
		return nil, nil
	}
	child := childOf(w.book, l, l.Quantity-have, cause)
	w = r.closing(w, l, have)
	w.short, w.name = 0, "" // the child makes up for it
	w.book = withLine(w.book, child)
	w.lines = append(w.lines, child)
	w.about, w.family = child.Key, "re-make"
	return r.slots(ctx, w, child.Key, fmt.Sprintf("Re-make %s as %s", wordsOf(w.book).Count(child.Quantity), child.Key))
}

// childOf is the line of a re-make: its parent's item, customer, due time and price.
func childOf(b plant.Book, l order.Line, n int, cause string) order.Line {
	child := l
	child.Parent, child.Quantity, child.State = l.Key.String(), n, order.Open
	child.Cause, child.Taken, child.Given = cause, nil, nil
	for i := 1; ; i++ {
		child.Key.Release = fmt.Sprintf("%sR%d", l.Key.Release, i)
		if _, taken := lineOf(b, child.Key); !taken {
			return child
		}
	}
}

// mostOutsOf is the greatest number of outs of one order on one knife level.
func mostOutsOf(c corrugator.Limits, scores int) int {
	n := math.MaxInt32
	limit := func(v *int) {
		if v != nil {
			n = min(n, *v)
		}
	}
	limit(c.MaxOuts)
	limit(c.MaxOutsPerLevel)
	if len(c.OutsByLevel) > 0 {
		n = min(n, c.OutsByLevel[0])
	}
	if c.Scorers != nil && scores > 0 {
		n = min(n, *c.Scorers/scores)
	}
	return min(n, 64)
}
