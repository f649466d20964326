package runs

import (
	"cmp"
	"context"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
)

// Explained says why a plan is as it is, and what else there could be.
type Explained struct {
	Unplanned []Freed     `json:"unplanned"` // each order that no run makes, in the plan's sequence
	Runs      []WebChoice `json:"runs"`      // why each run is on its web
	Different []Different `json:"different"` // plans of another kind, the cheapest first
	Details   []Detail    `json:"details"`   // small changes that would save money, the surest saving first
	Short     []Metre     `json:"short"`     // papers that run short, with what a metre more is worth
	Days      float64     `json:"span_days"` // that the plan's runs take, at least one: what is saved in them makes a week's saving
}

// Freed is an unplanned order with what was found to free it.
type Freed struct {
	Order  string `json:"order"`
	Reason string `json:"reason"` // the limit that stops it
	Frees  []Free `json:"frees"`  // cheapest first; none is only thought of: each was planned and its plan passed Check
	Tried  int    `json:"tried"`  // loosened limits that were planned; 0: the order was not looked into
}

// Free is one loosened limit with which an order is planned and no other is lost.
type Free struct {
	Limit string         `json:"limit"` // the problem's field that is loosened, or partner, paper, pieces
	Words string         `json:"words"` // in SI
	Extra quantity.Money `json:"extra"` // of the whole plan with the order over that without it; the paper in a partner's sheets is not in it

	plan Answer // that it was found in
}

// ExplainOptions of Explain; the zero value works.
type ExplainOptions struct {
	Seed    uint64
	Rounds  int                          // of each plan that is tried; 0: 20. The same rounds and seed say the same
	Orders  int                          // unplanned orders looked into at most; 0: 20
	Plans   int                          // different plans at most; 0: 3, negative: none is looked for
	Share   float64                      // of the orders that must have other partners in a different plan; 0: 0.2
	Slit    quantity.Length              // by which a slit is changed at most; 0: 4 mm
	StandIn []StandIn                    // permitted substitutes that are tried for the orders of their board
	Later   map[string][]quantity.Length // webs that an order may run on besides were it due a day later
	Days    float64                      // that the plan's runs take; 0: their minutes without a pause
	Seconds float64                      // after which nothing new is begun; 0: no limit. What was begun ends, so that what is said is always whole
}

// StandIn is a board as it would be with a substitute in one of its plies.
type StandIn struct {
	Words string // what stands in for what
	Board Grade  // of the code that it has in the problem
}

const (
	explainRounds = 20
	explainOrders = 20
	explainPlans  = 3
	explainShare  = 0.2
)

// Explain looks into a legal plan of p. Cancelling ctx is a normal end with what
// was found so far. It returns what Solve and Check return for a problem or a
// plan that cannot be.
func Explain(ctx context.Context, p Problem, a Answer, opt ExplainOptions) (Explained, error) {
	e := Explained{Unplanned: []Freed{}, Different: []Different{}, Details: []Detail{}, Short: []Metre{}, Days: cmp.Or(opt.Days, p.Span(a))}
	if err := p.Validate(); err != nil {
		return e, err
	}
	if err := Check(p, a); err != nil {
		return e, err
	}
	opt.Rounds, opt.Orders = cmp.Or(opt.Rounds, explainRounds), cmp.Or(opt.Orders, explainOrders)
	opt.Plans, opt.Share = cmp.Or(opt.Plans, explainPlans), cmp.Or(opt.Share, explainShare)
	over, done := opt.until(ctx)
	defer done()
	e.Runs = WebChoices(p, a)
	if err := p.free(over, a, opt, &e); err != nil {
		return e, err
	}
	if opt.Plans > 0 && over.Err() == nil {
		share := differentShare
		if len(a.Unplanned) == 0 {
			share += freedShare / 2
		}
		part, ended := opt.part(over, share)
		defer ended()
		var err error
		if e.Different, err = DifferentPlans(part, p, a, opt); err != nil {
			return e, err
		}
	}
	if over.Err() == nil {
		x, err := p.priced(over, a)
		if err != nil {
			return e, err
		}
		if over.Err() == nil { // prices that were cut short say nothing
			e.Short = x.short
		}
		if e.Details, err = p.details(over, a, x, opt); err != nil {
			return e, err
		}
	}
	return e, nil
}

// Of the options' seconds, at most so much goes to the orders that are left, and
// to different plans, which have half of the former where no order is left. What
// one does not use the next may.
const (
	freedShare     = 0.4
	differentShare = 0.25
)

// free looks into the orders that are left, each for its share of the time.
func (p Problem) free(over context.Context, a Answer, opt ExplainOptions, e *Explained) error {
	n := min(opt.Orders, len(a.Unplanned))
	all, ended := opt.part(over, freedShare)
	defer ended()
	for i, u := range a.Unplanned {
		f := Freed{Order: u.Order, Reason: u.Reason, Frees: []Free{}}
		if i < n && all.Err() == nil {
			own, done := equally(all, n-i)
			var err error
			f, err = p.freed(own, a, u, opt)
			done()
			if err != nil {
				return err
			}
		}
		e.Unplanned = append(e.Unplanned, f)
	}
	return nil
}

// part ends with ctx or after a share of the options' seconds.
func (o ExplainOptions) part(ctx context.Context, share float64) (context.Context, context.CancelFunc) {
	o.Seconds *= share
	return o.until(ctx)
}

// equally ends with ctx or after the n-th part of what is left of its time.
func equally(ctx context.Context, n int) (context.Context, context.CancelFunc) {
	at, limited := ctx.Deadline()
	if !limited {
		return context.WithCancel(ctx)
	}
	return context.WithTimeout(ctx, time.Until(at)/time.Duration(n))
}

// until ends with ctx or with the options' seconds.
func (o ExplainOptions) until(ctx context.Context) (context.Context, context.CancelFunc) {
	if o.Seconds <= 0 {
		return context.WithCancel(ctx)
	}
	return context.WithTimeout(ctx, secondsOf(o.Seconds))
}

// freed plans an unplanned order under one loosened limit after another.
func (p Problem) freed(ctx context.Context, a Answer, u Unplanned, opt ExplainOptions) (Freed, error) {
	f := Freed{Order: u.Order, Reason: u.Reason, Frees: []Free{}}
	k := slices.IndexFunc(p.Orders, func(o Order) bool { return o.Order == u.Order })
	v := p.Vicinity(a, u.Order)
	f.Tried++
	if free, err := p.try(ctx, a, v, k, asItIs, opt); free != nil || err != nil { // then no limit stops it
		if free != nil {
			f.Reason, f.Frees = "no limit stops it: the search of this plan did not come to it", append(f.Frees, *free)
		}
		return f, err
	}
	for _, ladder := range p.ladders(p.Orders[k], opt) {
		free, tried, err := p.climb(ctx, a, v, k, ladder, opt)
		if err != nil {
			return f, err
		}
		f.Tried += tried
		if free != nil {
			f.Frees = append(f.Frees, *free)
		}
		if ctx.Err() != nil {
			break
		}
	}
	slices.SortStableFunc(f.Frees, func(x, y Free) int { return cmp.Compare(x.Extra, y.Extra) })
	return f, nil
}

// asItIs loosens nothing: a longer search would have found it.
var asItIs = step{limit: "none", words: "the runs around it planned anew make it", loosen: func(*Problem, *Order) {}}

// climb tries the steps of a ladder, the least loosening first, until one frees
// order k; where steps only grow it halves the rungs instead.
func (p Problem) climb(ctx context.Context, a Answer, v Vicinity, k int, l ladder, opt ExplainOptions) (*Free, int, error) {
	tried := 0
	try := func(i int) (*Free, error) {
		tried++
		return p.try(ctx, a, v, k, l.steps[i], opt)
	}
	if !l.grows {
		for i := range l.steps {
			if ctx.Err() != nil {
				return nil, tried, nil
			}
			if free, err := try(i); free != nil || err != nil {
				return free, tried, err
			}
		}
		return nil, tried, nil
	}
	var found *Free
	lo, hi := 0, len(l.steps)
	for first := true; lo < hi && ctx.Err() == nil; first = false {
		mid := (lo + hi) / 2
		if first { // without use where even the widest does not help
			mid = len(l.steps) - 1
		}
		free, err := try(mid)
		if err != nil {
			return nil, tried, err
		}
		if free != nil {
			found, hi = free, mid
		} else if lo = mid + 1; first {
			return nil, tried, nil
		}
	}
	return found, tried, nil
}

// try plans order k under one loosened limit; nil where that does not free it,
// or only by leaving out another.
func (p Problem) try(ctx context.Context, a Answer, v Vicinity, k int, s step, opt ExplainOptions) (*Free, error) {
	q := p
	q.Orders, q.Grades, q.Papers = slices.Clone(p.Orders), slices.Clone(p.Grades), slices.Clone(p.Papers)
	s.loosen(&q, &q.Orders[k])
	near := v
	if len(q.Orders) > len(p.Orders) { // a partner that is thought up
		near.Orders = append(slices.Clone(v.Orders), q.Orders[len(p.Orders)].Order)
	}
	whole, _, err := q.Again(ctx, a, near, Options{Seed: opt.Seed, Rounds: opt.Rounds, Unproven: true})
	if err != nil || ctx.Err() != nil && len(whole.Unplanned) >= len(a.Unplanned) {
		return nil, err
	}
	if len(whole.Unplanned) != len(a.Unplanned)-1 || slices.ContainsFunc(whole.Unplanned, func(u Unplanned) bool { return u.Order == p.Orders[k].Order }) {
		return nil, nil
	}
	if err := Check(q, whole); err != nil {
		if s.wide {
			return nil, nil
		}
		return nil, err
	}
	free := &Free{Limit: s.limit, Words: s.words, Extra: whole.Totals.Cost - a.Totals.Cost, plan: whole}
	if s.tell != nil {
		if free.Words = s.tell(q, whole); free.Words == "" { // it came to be planned within the limit as it is
			return nil, nil
		}
	}
	if len(q.Orders) > len(p.Orders) {
		free.Extra -= q.paperOf(whole, q.Orders[len(p.Orders)].Order)
	}
	return free, nil
}

// paperOf is the price of the paper in an order's good sheets, at the boards they are made of.
func (p Problem) paperOf(a Answer, order string) quantity.Money {
	grades, sum := p.byGrade(), 0.0
	for _, r := range a.Runs {
		for _, l := range r.Lanes {
			if l.Order == order {
				sum += float64(grades[r.Grade].price()) * float64(l.Sheets) * l.Slit.Metres() * l.Chop.Metres()
			}
		}
	}
	return quantity.Money(sum)
}
