package plan

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/promise"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
)

// Ask is a question about one release of the book, or about one that nobody has
// ordered yet.
type Ask struct {
	Release  ident.Release  `json:"release,omitzero"` // of the book; the rest is then left empty
	Item     ident.Item     `json:"item,omitempty"`
	Quantity int            `json:"quantity,omitempty"`
	Customer ident.Customer `json:"customer,omitempty"` // whose dock; none: the item's customer
	Due      time.Time      `json:"due,omitzero"`
	DueAt    order.Dock     `json:"due_at,omitempty"` // gate or dock
	Without  Absence        `json:"without,omitzero"` // answered a second time with this crew taken off
}

// asked is the key of a release that nobody has ordered yet.
var asked = ident.Release{Order: "asked", Line: "1", Release: "1"}

// Promised is the answer, and the problem it was found in.
type Promised struct {
	promise.Result
	Sentence string          `json:"sentence"` // yes or no, the date, what it waits for, chance, a day sooner
	Without  *Absent         `json:"without,omitempty"`
	Problem  promise.Problem `json:"-"`
}

// Promise answers when a release can be at its gate or dock: it is put into the
// plan in force, which is not planned anew. front is what is frozen of it, and
// scatter how long runs and jobs have really taken. It returns fault.Violations
// for a question that cannot be; every answer has passed promise.Check.
func Promise(ctx context.Context, given plant.Book, p *Plan, ask Ask, front Front, scatter promise.Scatter, now time.Time, opt promise.Options) (*Promised, error) {
	book, key, err := ask.into(given)
	if err != nil {
		return nil, err
	}
	m, _, err := begin(book, Options{Now: now})
	if err != nil {
		return nil, err
	}
	out := &Promised{}
	if out.Problem, err = m.promiseProblem(p, key, front); err != nil {
		return nil, err
	}
	out.Problem.Scatter = scatter
	if out.Result, err = promise.Solve(ctx, out.Problem, opt); err != nil {
		return nil, err
	}
	if err := promise.Check(out.Problem, out.Result); err != nil {
		return nil, fmt.Errorf("promise: %w", err)
	}
	out.Sentence = m.promised(out)
	if ask.Without != (Absence{}) {
		if out.Without, err = absent(ctx, given, p, ask, front, scatter, now, opt, out); err != nil {
			return nil, err
		}
		out.Without.Words = m.inUnits(m.absentWords(out.Without, out))
	}
	return out, nil
}

// into returns the book with the question in it as an open line.
func (a Ask) into(b plant.Book) (plant.Book, ident.Release, error) {
	var vs fault.Violations
	if a.Release != (ident.Release{}) {
		i := slices.IndexFunc(b.Lines, func(l order.Line) bool { return l.Key == a.Release })
		vs.Require(i >= 0, "release", a.Release.String(), "is not in the book")
		if i >= 0 {
			vs.Require(b.Lines[i].State == order.Open, "release", a.Release.String(), "is "+string(b.Lines[i].State)+", not open")
		}
		return b, a.Release, vs.Err()
	}
	item := slices.IndexFunc(b.Items, func(i order.Item) bool { return i.Code == a.Item })
	vs.Require(item >= 0, "item", string(a.Item), "is not an item of the book")
	if a.Customer == "" && item >= 0 {
		a.Customer = b.Items[item].Customer
	}
	vs.Require(slices.ContainsFunc(b.Customers, func(c order.Customer) bool { return c.Code == a.Customer }), "customer", string(a.Customer), "is not a customer of the book: say whose dock it is for")
	vs.Require(a.Quantity >= 1 && a.Quantity <= 10_000_000, "quantity", strconv.Itoa(a.Quantity), "must be 1 to 10,000,000")
	vs.Require(!a.Due.IsZero(), "due", "", "say by when")
	vs.Require(a.DueAt == "" || a.DueAt == order.AtGate || a.DueAt == order.AtDock, "due_at", string(a.DueAt), "must be gate or dock")
	l := order.Line{Key: asked, Item: a.Item, Customer: a.Customer, Quantity: a.Quantity, Due: a.Due, DueAt: a.DueAt, OverPct: 5, State: order.Open}
	b.Lines = append(slices.Clone(b.Lines), l)
	return b, asked, vs.Err()
}

// promiseProblem states the plan in force as it stands now, with the release in question.
func (m *maker) promiseProblem(p *Plan, key ident.Release, front Front) (promise.Problem, error) {
	cut, err := m.divide()
	if err != nil {
		return promise.Problem{}, err
	}
	for _, w := range m.all {
		if w.Release == key && w.Fault != "" {
			return promise.Problem{}, fault.Violations{{Field: "item", Value: string(w.Item), Rule: w.Fault}}
		}
	}
	out := promise.Problem{Jobs: p.Clock.Jobs, Front: len(front.Runs), Paper: m.arrivals()}
	if !front.Begun.IsZero() {
		out.Going = 1
	}
	m.trim = trimProblem(m.ix, cut, nil)
	list := m.ahead(p, front)
	m.strangers(list)
	lanes := map[string]bool{}
	for _, r := range list {
		for _, l := range r.Lanes {
			lanes[l.Order] = true
		}
	}
	var on []want
	for _, w := range m.ws {
		if w.Release == key || lanes[w.Release.String()] || w.Wanted == 0 {
			on = append(on, w)
		}
	}
	m.trim.Orders = slices.DeleteFunc(m.trim.Orders, func(o runs.Order) bool { return o.Order != key.String() && !lanes[o.Order] })
	for i := range m.trim.Orders {
		if o := &m.trim.Orders[i]; o.Order == key.String() { // cuts come whole: one more of each out is no surplus
			o.OverPct = max(o.OverPct, 100*8/float64(max(o.Sheets, 1)))
		}
	}
	out.Trim = m.trim
	out.Clock = clockProblem(m.ix, on, m.opt.Now, runs.Of(m.trim.Admitting(list), list).Runs, nil)
	out.Clock.Frozen, out.Clock.RunBegun, out.Clock.Manning = front.Jobs, front.Begun, p.Clock.Manning
	out.Ask = slices.IndexFunc(on, func(w want) bool { return w.Release == key })
	return out, nil
}

// ahead are the runs of the plan that are still to come, the frozen ones first.
func (m *maker) ahead(p *Plan, front Front) []runs.Run {
	out := slices.Clone(front.Runs)
	for _, r := range p.Runs {
		same := func(f runs.Run) bool { return f.Seq == r.Seq }
		if !slices.ContainsFunc(front.Runs, same) && !slices.ContainsFunc(front.Done, func(n int) bool { return n == r.Seq }) {
			out = append(out, r)
		}
	}
	return out
}

// strangers adds the orders of runs that want no more sheets, as their runs have them.
func (m *maker) strangers(list []runs.Run) {
	known := map[string]bool{}
	for _, o := range m.trim.Orders {
		known[o.Order] = true
	}
	for _, r := range list {
		for _, l := range r.Lanes {
			if !known[l.Order] {
				known[l.Order] = true
				m.trim.Orders = append(m.trim.Orders, runs.Order{Order: l.Order, Grade: r.Grade, Slit: l.Slit, Chop: l.Chop, Sheets: max(1, l.Sheets), OverPct: 100})
			}
		}
	}
}

// arrivals is the paper in the house, on the way, and as it can be bought.
func (m *maker) arrivals() (out []promise.Arrival) {
	house := houseStock(m.ix)
	if house == nil {
		return nil
	}
	for k, metres := range house {
		if metres > 0 {
			out = append(out, promise.Arrival{Paper: k.Paper, Web: k.Web, Metres: metres})
		}
	}
	for _, in := range m.ix.book.Inbound {
		if in.ETA.After(m.opt.Now) {
			out = append(out, promise.Arrival{Paper: in.Paper, Web: in.Width, Metres: in.Metres(), At: in.ETA, From: delivery(in)})
		}
	}
	for _, s := range m.ix.book.Plant.Supplies {
		at := m.opt.Now.Add(s.Lead.Duration())
		for _, web := range m.ix.catalogue.Papers[s.Paper].Webs {
			out = append(out, promise.Arrival{Paper: s.Paper, Web: web, At: at, From: "called off now from " + s.Supplier})
		}
	}
	slices.SortFunc(out, func(a, b promise.Arrival) int {
		if c := a.At.Compare(b.At); c != 0 {
			return c
		}
		if a.Paper != b.Paper {
			if a.Paper < b.Paper {
				return -1
			}
			return 1
		}
		return int((a.Web - b.Web) / quantity.Millimetre)
	})
	return out
}

func delivery(in roll.Inbound) string {
	if in.Supplier == "" {
		return "delivery " + in.ID
	}
	return "delivery " + in.ID + " of " + in.Supplier
}
