package whatnow

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
)

// recutRounds is how many orders times rounds the trim engine is given for one
// set of orders: few orders get all rounds, many get fewer.
const recutRounds = 3000

// recut is cutAnew that returns a fault.Infeasible error where an order is then
// without a run, and why; one that had none before may stay without.
func (r *repair) recut(ctx context.Context, b plant.Book, choices plan.Choices, list []runs.Run, free map[int]bool, add ...ident.Release) ([]runs.Run, error) {
	fresh, left, err := r.cutAnew(ctx, b, choices, list, free, add...)
	if err != nil {
		return nil, err
	}
	for _, u := range left {
		if !r.leave && !r.waits(u.Order) {
			return nil, fmt.Errorf("%w: %s: %s", fault.Infeasible, u.Order, u.Reason)
		}
	}
	return fresh, nil
}

// cutAnew asks the trim engine for the orders of the free runs and of add again,
// around the runs that are kept: on the paper these leave, for the sheets these
// do not make. It returns the new runs, and the orders that none of them makes.
func (r *repair) cutAnew(ctx context.Context, b plant.Book, choices plan.Choices, list []runs.Run, free map[int]bool, add ...ident.Release) ([]runs.Run, []runs.Unplanned, error) {
	g, err := r.ready(way{book: b, choices: choices})
	if err != nil {
		return nil, nil, err
	}
	asked := map[string]bool{}
	for _, k := range add {
		asked[k.String()] = true
	}
	var kept []runs.Run
	for i, run := range list {
		if !free[i] {
			kept = append(kept, run)
			continue
		}
		for _, l := range run.Lanes {
			asked[l.Order] = true
		}
	}
	p := r.around(b, g.trim(), kept, asked)
	if len(p.Orders) == 0 {
		return nil, nil, nil
	}
	a, err := runs.Solve(ctx, p, runs.Options{Rounds: min(r.opt.Rounds, max(10, recutRounds/len(p.Orders))), Seed: r.opt.Seed, Unproven: true})
	return a.Runs, a.Unplanned, err
}

// around leaves the orders that are asked for, less what the kept runs make of
// them, and the paper that those do not draw.
func (r *repair) around(b plant.Book, p runs.Problem, kept []runs.Run, asked map[string]bool) runs.Problem {
	sheets, parts := map[string]int{}, map[string]int{}
	for _, o := range runs.Of(p, wanting(p, kept)).Orders {
		sheets[o.Order], parts[o.Order] = o.Planned, len(o.Runs)
	}
	orders := p.Orders
	p.Orders = nil
	for _, o := range orders {
		left := o.Sheets - sheets[o.Order]
		if !asked[o.Order] || left <= 0 {
			continue
		}
		most := float64(o.Sheets)*(1+o.OverPct/100) - float64(sheets[o.Order])
		least := float64(left)
		if u := r.opened(b, o.Order); u > 0 {
			least = max(1, float64(o.Sheets)*(1-u/100)-float64(sheets[o.Order]))
		}
		o.Sheets, o.OverPct, o.UnderPct = left, 100*(most/float64(left)-1), 100*(1-least/float64(left))
		if o.MaxParts > 0 {
			o.MaxParts = max(1, o.MaxParts-parts[o.Order])
		}
		p.Orders = append(p.Orders, o)
	}
	p.Papers = leftOver(p, kept)
	return p
}

// wanting leaves out runs with a lane that the problem has no order for.
func wanting(p runs.Problem, list []runs.Run) (out []runs.Run) {
	known := map[string]bool{}
	for _, o := range p.Orders {
		known[o.Order] = true
	}
	for _, r := range list {
		if !slices.ContainsFunc(r.Lanes, func(l runs.Lane) bool { return !known[l.Order] }) {
			out = append(out, r)
		}
	}
	return out
}

// opened is the under-delivery window that the plan in force had to open for an order.
func (r *repair) opened(b plant.Book, name string) float64 {
	for _, o := range r.Plan.Orders {
		if o.Order == name && o.Least < o.Wanted {
			if k, err := ident.ParseRelease(name); err == nil {
				l, _ := lineOf(b, k)
				return l.UnderPct
			}
		}
	}
	return 0
}

// leftOver is the paper that the kept runs leave.
func leftOver(p runs.Problem, kept []runs.Run) (out []runs.Stock) {
	type at struct {
		paper ident.Paper
		web   quantity.Length
	}
	drawn := map[at]quantity.Distance{}
	plies := map[ident.Grade][]runs.Ply{}
	for _, g := range p.Grades {
		plies[g.Grade] = g.Plies
	}
	for _, r := range kept {
		for _, ply := range plies[r.Grade] {
			up := ply.TakeUp
			if up == 0 {
				up = 1
			}
			drawn[at{ply.Paper, r.Web}] += quantity.Distance(float64(r.Length) * up)
		}
	}
	for _, s := range p.Papers {
		left := runs.Stock{Paper: s.Paper, Metres: map[quantity.Length]quantity.Distance{}}
		for web, metres := range s.Metres {
			left.Metres[web] = max(0, metres-drawn[at{s.Paper, web}])
		}
		out = append(out, left)
	}
	return out
}

// spliced puts fresh runs where the first free run stood, in place of the free ones.
func spliced(list []runs.Run, free map[int]bool, fresh []runs.Run) (out []runs.Run, at int) {
	at = -1
	for i, run := range list {
		if !free[i] {
			out = append(out, run)
			continue
		}
		if at < 0 {
			at = len(out)
			out = append(out, fresh...)
		}
	}
	if at < 0 {
		at = len(out)
		out = append(out, fresh...)
	}
	return out, at
}

// partners names the other orders on the runs of one.
func partners(list []runs.Run, of ident.Release) string {
	var out []string
	for _, run := range list {
		if !slices.Contains(ordersOf(run), of) {
			continue
		}
		for _, k := range ordersOf(run) {
			if k != of && !slices.Contains(out, k.String()) {
				out = append(out, k.String())
			}
		}
	}
	return strings.Join(out, " and ")
}
