package plan

import (
	"fmt"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
)

// Choices are what people have decided by hand; the engines plan the rest
// around it. What a choice costs is the difference from the plan without it.
type Choices struct {
	Pins      []Pin             `json:"pins,omitempty"`
	Apart     []Apart           `json:"apart,omitempty"`
	Barred    []quantity.Length `json:"barred_webs_mm,omitempty"` // no order runs on these
	Routes    []Routed          `json:"routes,omitempty"`
	Exchanges []Exchange        `json:"exchanges,omitempty"`
}

// Pin keeps a release on one web.
type Pin struct {
	Release ident.Release   `json:"release"`
	Web     quantity.Length `json:"web_mm"`
}

// Apart keeps two releases from standing side by side on a run.
type Apart struct {
	A ident.Release `json:"a"`
	B ident.Release `json:"b"`
}

// Routed sends one release over machines of its own this time, in order,
// whatever its item has agreed.
type Routed struct {
	Release ident.Release   `json:"release"`
	Route   []ident.Machine `json:"route"`
}

// None reports whether nothing has been decided by hand.
func (c Choices) None() bool {
	return len(c.Pins)+len(c.Apart)+len(c.Barred)+len(c.Routes)+len(c.Exchanges) == 0
}

// Check returns a fault.Violations for what no plan of this book could keep.
func (c Choices) Check(book plant.Book) error { return c.check(newIndex(book)) }

// check returns a fault.Violations for what no plan of this book could keep.
func (c Choices) check(ix *index) error {
	var vs fault.Violations
	webs := ix.book.Plant.Corrugator.Limits.Webs
	lines := map[ident.Release]bool{}
	for _, l := range ix.book.Lines {
		lines[l.Key] = true
	}
	known := func(field string, r ident.Release) {
		vs.Require(lines[r], field, r.String(), "is not in the book")
	}
	pinned := map[ident.Release]bool{}
	for i, p := range c.Pins {
		at := fmt.Sprintf("pins[%d]", i)
		known(at+".release", p.Release)
		vs.Require(slices.Contains(webs, p.Web), at+".web_mm", p.Web.String(), "is not a web of the corrugator")
		vs.Require(!slices.Contains(c.Barred, p.Web), at+".web_mm", p.Web.String(), "is barred for every order")
		vs.Require(!pinned[p.Release], at+".release", p.Release.String(), "is pinned twice")
		pinned[p.Release] = true
	}
	for i, a := range c.Apart {
		known(fmt.Sprintf("apart[%d].a", i), a.A)
		known(fmt.Sprintf("apart[%d].b", i), a.B)
		vs.Require(a.A != a.B, fmt.Sprintf("apart[%d]", i), a.A.String(), "names one release twice")
	}
	for i, w := range c.Barred {
		vs.Require(slices.Contains(webs, w), fmt.Sprintf("barred_webs_mm[%d]", i), w.String(), "is not a web of the corrugator")
	}
	for i, r := range c.Routes {
		known(fmt.Sprintf("routes[%d].release", i), r.Release)
		for _, m := range r.Route {
			_, there := ix.machines[m]
			vs.Require(there, fmt.Sprintf("routes[%d].route", i), string(m), "is not a machine of the plant")
		}
	}
	c.checkExchanges(&vs, ix)
	return vs.Err()
}

// onRuns states the choices in the trim problem.
func (c Choices) onRuns(p *runs.Problem) {
	pins := map[string]quantity.Length{}
	for _, pin := range c.Pins {
		pins[pin.Release.String()] = pin.Web
	}
	for i := range p.Orders {
		o := &p.Orders[i]
		web, pinned := pins[o.Order]
		for _, w := range p.Corrugator.Webs {
			if (slices.Contains(c.Barred, w) || pinned && w != web) && !slices.Contains(o.BarredWebs, w) {
				o.BarredWebs = append(o.BarredWebs, w)
			}
		}
		slices.Sort(o.BarredWebs)
	}
	in := map[string]bool{}
	for _, o := range p.Orders {
		in[o.Order] = true
	}
	for _, a := range c.Apart {
		if x, y := a.A.String(), a.B.String(); in[x] && in[y] {
			p.Apart = append(p.Apart, [2]string{x, y})
		}
	}
}

// route returns the machines chosen by hand for a release; none: as its item says.
func (c Choices) route(r ident.Release) []ident.Machine {
	for _, v := range c.Routes {
		if v.Release == r {
			return v.Route
		}
	}
	return nil
}
