package plan

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
)

// Explain says of a plan what frees each order that no run makes, why each run is
// on its web, and which other plans there are. opt is what the plan was made
// with; frozen runs are those of opt.Front. fault.Conflict where the book has
// changed so that the plan is not one of it any more.
func Explain(ctx context.Context, book plant.Book, p *Plan, opt Options, how runs.ExplainOptions) (runs.Explained, error) {
	opt.Now, opt.Choices.Exchanges = p.Now, p.Exchanges
	problem, err := Trim(book, opt)
	if err != nil {
		return runs.Explained{}, err
	}
	under := map[string]float64{}
	for _, l := range book.Lines {
		under[l.Key.String()] = l.UnderPct
	}
	short := map[string]bool{} // asked for with their window open, see loosen
	for _, o := range p.Orders {
		short[o.Order] = o.Least < o.Wanted
	}
	problem.Orders = slices.Clone(problem.Orders)
	for i := range problem.Orders {
		if o := &problem.Orders[i]; short[o.Order] {
			o.UnderPct = under[o.Order]
		}
	}
	problem.Frozen = opt.Front.Runs
	own := p.Answer // orders with a fault are refused before they reach the runs
	asked := map[string]bool{}
	for _, o := range problem.Orders {
		asked[o.Order] = true
	}
	own.Unplanned = slices.DeleteFunc(slices.Clone(own.Unplanned), func(u runs.Unplanned) bool { return !asked[u.Order] })
	if err := runs.Check(problem, own); err != nil {
		return runs.Explained{}, fmt.Errorf("the book has changed since this plan was made, so it cannot be explained; plan again: %w", fault.Conflict)
	}
	if how.StandIn, err = standIns(book, opt, problem); err != nil {
		return runs.Explained{}, err
	}
	if how.Later, err = opened(book, opt, problem); err != nil {
		return runs.Explained{}, err
	}
	how.Slit = cmp.Or(how.Slit, book.Plant.Corrugator.SlitTrial)
	how.Days = p.Summary.Ends.Sub(p.Now).Hours() / 24
	clock := how.Seconds * clockShare
	how.Seconds -= clock
	e, err := runs.Explain(ctx, problem, own, how)
	if err != nil {
		return runs.Explained{}, err
	}
	over, done := within(ctx, clock)
	defer done()
	if e.Details, err = days(over, book, p, opt, e.Details); err != nil {
		return runs.Explained{}, err
	}
	problem.Spread(e.Details, e.Days)
	runs.SortDetails(e.Details)
	return e, nil
}

// clockShare of the seconds goes to what a day of due time is worth.
const clockShare = 0.2

// within ends with ctx or after some seconds; 0: no limit.
func within(ctx context.Context, seconds float64) (context.Context, context.CancelFunc) {
	if seconds <= 0 {
		return context.WithCancel(ctx)
	}
	return context.WithTimeout(ctx, time.Duration(seconds*float64(time.Second)))
}

// standIns are the substitutes that the plant permits for the boards of a problem's orders.
func standIns(book plant.Book, opt Options, problem runs.Problem) ([]runs.StandIn, error) {
	asked := map[ident.Grade]bool{}
	for _, o := range problem.Orders {
		asked[o.Grade] = true
	}
	var out []runs.StandIn
	plain := newIndex(book)
	for _, g := range book.Plant.Grades {
		for k, ply := range g.Plies {
			for _, r := range book.Plant.Substitutes {
				s := Exchange{Grade: g.Code, Ply: k + 1, For: r.For, Use: r.Use}
				if !asked[g.Code] || r.For != ply.Paper {
					continue
				}
				with := opt
				with.Choices.Exchanges = append(slices.Clone(opt.Choices.Exchanges), s)
				var vs fault.Violations
				if with.Choices.checkExchanges(&vs, plain); len(vs) > 0 {
					continue
				}
				after, err := Trim(book, with)
				if err != nil {
					return nil, err
				}
				at := slices.IndexFunc(after.Grades, func(v runs.Grade) bool { return v.Grade == g.Code })
				out = append(out, runs.StandIn{Words: fmt.Sprintf("%s in place of %s in ply %d of %s, for every run of it", s.Use, s.For, s.Ply, s.Grade), Board: after.Grades[at]})
			}
		}
	}
	return out, nil
}
