package plan

import (
	"cmp"
	"context"
	"math"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
)

const (
	daysTried = 4    // orders whose truck a day later, and as many a day sooner, are planned for
	dayTold   = 0.01 // of money from which a day is told
)

// dayed is a book with the due times of some lines moved by days; of none named, all.
func dayed(b plant.Book, by int, only ...ident.Release) plant.Book {
	b.Lines = slices.Clone(b.Lines)
	for i := range b.Lines {
		if l := &b.Lines[i]; len(only) == 0 || slices.Contains(only, l.Key) {
			l.Due = l.Due.AddDate(0, 0, by)
		}
	}
	return b
}

// opened are the webs that each order of a trim problem may run on besides were it
// due a day later: its paper would come in time.
func opened(book plant.Book, opt Options, p runs.Problem) (map[string][]quantity.Length, error) {
	later, err := Trim(dayed(book, 1), opt)
	if err != nil {
		return nil, err
	}
	still := map[string][]quantity.Length{}
	for _, o := range later.Orders {
		still[o.Order] = o.BarredWebs
	}
	out := map[string][]quantity.Length{}
	for _, o := range p.Orders {
		barred, known := still[o.Order]
		for _, w := range o.BarredWebs {
			if known && !slices.Contains(barred, w) {
				out[o.Order] = append(out[o.Order], w)
			}
		}
	}
	return out, nil
}

// days prices one day of due time of the orders it is worth most to, later and
// sooner, over the whole plan: runs, machines and lateness. About is the lateness that
// goes or comes where nothing else moves; Saves what the plan costs less, or more where it is
// negative, with runs and machines sequenced anew from where they are, against the
// same without the day. details of a web that a later truck opens are taken into account
// and leave the list. Nothing of a day is sure: the clock has no bound as close.
func days(ctx context.Context, book plant.Book, p *Plan, opt Options, details []runs.Detail) ([]runs.Detail, error) {
	y := &dayPrices{ctx: ctx, book: book, p: p, opt: opt, lateness: map[int]map[ident.Release]quantity.Money{}}
	rest := slices.DeleteFunc(slices.Clone(details), func(d runs.Detail) bool { return d.Field == "due_d" })
	for _, by := range []int{0, 1, -1} {
		if ctx.Err() != nil {
			return rest, nil
		}
		if err := y.standing(by); err != nil {
			return nil, err
		}
	}
	list := append(y.most(1, details), y.most(-1, nil)...)
	for k := range list {
		if ctx.Err() != nil {
			break
		}
		if err := y.try(&list[k]); err != nil {
			return nil, err
		}
	}
	for _, d := range list {
		if math.Abs(float64(d.Likely())) >= dayTold && (d.Change > 0) == (d.Likely() > 0) {
			rest = append(rest, d.Detail)
		}
	}
	return rest, nil
}

// day is an order whose truck leaves a day later or sooner.
type day struct {
	runs.Detail
	release ident.Release
}

// dayPrices are what days are priced by.
type dayPrices struct {
	ctx      context.Context
	book     plant.Book
	p        *Plan
	opt      Options
	lateness map[int]map[ident.Release]quantity.Money // where nothing moves, by days later
	whole    quantity.Money                           // of the plan sequenced anew without a change; 0: not yet
}

// given are the plan's own runs, jobs and overtime.
func (y *dayPrices) given(list []runs.Run, anew bool) Given {
	return Given{Runs: list, Jobs: y.p.Clock.Jobs, Left: y.p.Unplanned, Over: y.p.Clock.Manning, Sequence: anew, Improve: anew, Fixed: len(y.opt.Front.Runs)}
}

// standing works out each release's lateness where every truck leaves by days later
// and neither runs nor jobs move.
func (y *dayPrices) standing(by int) error {
	made, err := y.clocked(dayed(y.book, by), y.given(y.p.Runs, false))
	if err != nil {
		return err
	}
	y.lateness[by] = map[ident.Release]quantity.Money{}
	for _, f := range made.Clock.Finishes {
		y.lateness[by][f.Release] = f.LateCost
	}
	return nil
}

// most are the orders to which a day is worth most where nothing moves; behind them,
// of those in time, the ones with the least time to spare, for they hold up the others.
func (y *dayPrices) most(by int, details []runs.Detail) []day {
	var out []day
	for _, f := range y.p.Clock.Finishes {
		key := f.Release.String()
		k := slices.IndexFunc(details, func(d runs.Detail) bool { return d.Field == "due_d" && d.Order == key })
		about := y.lateness[0][f.Release] - y.lateness[by][f.Release]
		in := slices.ContainsFunc(y.book.Lines, func(l order.Line) bool { return l.Key == f.Release })
		switch {
		case f.MadeAt.IsZero(), !in:
		case by < 0 && f.Due.AddDate(0, 0, by).Before(y.p.Now):
		case k >= 0:
			d := day{details[k], f.Release}
			d.About += about
			out = append(out, d)
		default:
			d := day{runs.Detail{Order: key, Field: "due_d", Change: float64(by), About: about}, f.Release}
			d.Words = dayWords(key, by, f.Late > 0, about)
			out = append(out, d)
		}
	}
	float := map[ident.Release]quantity.Minutes{}
	for _, f := range y.p.Clock.Finishes {
		float[f.Release] = f.Float
	}
	slices.SortStableFunc(out, func(a, b day) int {
		return cmp.Or(cmp.Compare(math.Abs(float64(b.About)), math.Abs(float64(a.About))), cmp.Compare(float[a.release], float[b.release]))
	})
	return out[:min(len(out), daysTried)]
}

// dayWords is the sentence of a day.
func dayWords(order string, by int, late bool, about quantity.Money) string {
	switch {
	case by > 0 && late:
		return order + " leaving a day later would be less late, or in time"
	case by > 0:
		return order + " leaving a day later lets the others through before it"
	case about < 0:
		return order + " leaving a day sooner would be late where the runs stand"
	}
	return order + " leaving a day sooner is made before others that wait"
}

// try plans with the day. What is found with it is weighed without it, too: a
// better sequence that needs no day is none that the day is worth.
func (y *dayPrices) try(d *day) error {
	if y.whole == 0 {
		plain, err := y.clocked(y.book, y.given(y.p.Runs, true))
		if err != nil {
			return err
		}
		y.whole = min(whole(plain), whole(y.p))
	}
	book := dayed(y.book, int(d.Change), d.release)
	without := y.whole
	with := quantity.Money(math.Inf(1))
	for _, g := range []Given{y.given(y.p.Runs, false), y.given(y.p.Runs, true), y.given(d.Runs(), true)} {
		if g.Runs == nil {
			continue
		}
		made, err := y.clocked(book, g)
		if err != nil {
			return err
		}
		back, err := y.clocked(y.book, Given{Runs: made.Runs, Jobs: made.Clock.Jobs, Left: g.Left, Over: made.Clock.Manning, Fixed: g.Fixed})
		if err != nil {
			return err
		}
		with, without = min(with, whole(made)), min(without, whole(back))
	}
	if y.ctx.Err() != nil {
		return nil
	}
	d.Tried, d.Saves, d.Sure, d.Area = true, without-with, 0, 0
	return nil
}

// clocked is a plan of what is given, as far as its clock.
func (y *dayPrices) clocked(book plant.Book, g Given) (*Plan, error) {
	d, err := Prepare(book, y.opt)
	if err != nil {
		return nil, err
	}
	c, err := d.Clocked(y.ctx, g)
	if err != nil {
		return nil, err
	}
	return c.Plan, nil
}
