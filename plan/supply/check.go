package supply

import (
	"cmp"
	"fmt"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// Check judges levels and a call-off list from the problem's own words: stock
// is counted anew at every moment, nothing that is short is passed over, what is
// called covers it in time, and no truck carries more than it may.
func Check(p Problem, levels []Level, list CallOff) error {
	c := &judge{p: p, short: map[shelf]quantity.Distance{}}
	for _, l := range levels {
		c.level(l)
	}
	c.list(list)
	if len(c.faults) > 0 {
		return fmt.Errorf("%w: %s", fault.Infeasible, strings.Join(c.faults, "; "))
	}
	return nil
}

type judge struct {
	p      Problem
	short  map[shelf]quantity.Distance
	faults []string
}

func (c *judge) say(format string, args ...any) {
	c.faults = append(c.faults, fmt.Sprintf(format, args...))
}

// stockAt is what stands in the house at a moment, with what comes and goes at it.
func (c *judge) stockAt(paper ident.Paper, web quantity.Length, at time.Time) quantity.Distance {
	sum := quantity.Distance(0)
	for _, r := range c.p.Rolls {
		if r.Paper == paper && r.Width == web && !r.Hold {
			sum += r.Length
		}
	}
	for _, in := range c.p.Inbound {
		if in.Paper == paper && in.Width == web && !in.ETA.After(at) {
			sum += in.Metres()
		}
	}
	for _, d := range c.p.Draws {
		if d.Paper == paper && d.Web == web && !d.At.After(at) {
			sum -= d.Metres
		}
	}
	return sum
}

// level holds a level to the stock at the moments of its draws, the only ones at which it falls.
func (c *judge) level(l Level) {
	least, first := quantity.Distance(0), time.Time{}
	for _, d := range c.p.Draws {
		if d.Paper != l.Paper || d.Web != l.Web {
			continue
		}
		stock := c.stockAt(l.Paper, l.Web, d.At)
		least = min(least, stock)
		if stock < -quantity.FromMetres(1) && (first.IsZero() || d.At.Before(first)) {
			first = d.At
		}
	}
	if first.IsZero() {
		least = 0
	}
	if !near(-least, l.Short) || !first.Equal(l.ShortAt) {
		c.say("%s at %s: short by %s from %s, counted %s from %s", l.Paper, l.Web, l.Short, l.ShortAt, -least, first)
	}
	if l.Short > 0 {
		c.short[shelf{l.Paper, l.Web}] = l.Short
	}
	for _, d := range c.p.Draws { // Free may go at once and leave nothing short
		if d.Paper == l.Paper && d.Web == l.Web && l.Free > 0 && c.stockAt(l.Paper, l.Web, d.At)-l.Free < -quantity.FromMetres(1) {
			c.say("%s at %s: %s are said to be free, and %s would be short", l.Paper, l.Web, l.Free, d.At)
		}
	}
}

func near(a, b quantity.Distance) bool {
	return a-b <= quantity.FromMetres(1) && b-a <= quantity.FromMetres(1)
}

func (c *judge) list(list CallOff) {
	if most := cmp.Or(c.p.MostCalls, mostCalls); len(list.Calls) > most {
		c.say("%d rows, at most %d", len(list.Calls), most)
	}
	answered := map[shelf]bool{}
	load, most := map[int]quantity.Mass{}, map[int]quantity.Mass{}
	rows := map[int]int{}
	for _, v := range list.Calls {
		k := shelf{v.Paper, v.Web}
		if answered[k] {
			c.say("%s at %s stands on the list twice", v.Paper, v.Web)
		}
		answered[k] = true
		if !near(v.Short, c.short[k]) || v.Rolls > 0 && v.Metres < v.Short {
			c.say("%s at %s: %s are called for %s short of %s", v.Paper, v.Web, v.Metres, v.Short, c.short[k])
		}
		c.inTime(v)
		if v.Truck > 0 {
			load[v.Truck] += v.Mass
			rows[v.Truck]++
			for _, s := range c.p.Supplies {
				if s.Supplier == v.Supplier {
					most[v.Truck] = max(most[v.Truck], s.Truckload)
				}
			}
		}
	}
	for t, mass := range load {
		if rows[t] > 1 && mass > most[t]*(1+1e-9) {
			c.say("truck %d carries %.0f kg, at most %.0f", t, float64(mass), float64(most[t]))
		}
	}
	for _, v := range list.Spared {
		answered[shelf{v.Paper, v.Web}] = true
		if v.Other <= v.Web {
			c.say("%s at %s is spared by %s, which is no wider", v.Paper, v.Web, v.Other)
		}
	}
	for k := range c.short {
		if !answered[k] && list.More == 0 {
			c.say("%s at %s is short and neither called nor spared", k.paper, k.web)
		}
	}
}

// inTime holds a call that is not too late to its supplier's lead time.
func (c *judge) inTime(v Call) {
	if v.TooLate || v.Short == 0 {
		return
	}
	for _, s := range c.p.Supplies {
		if s.Paper == v.Paper && s.Supplier == v.Supplier && v.By.Add((s.Lead + cmp.Or(c.p.GateToUse, gateToUse)).Duration()).After(v.NeededAt) {
			c.say("%s at %s: called at %s it comes after %s", v.Paper, v.Web, v.By, v.NeededAt)
		}
	}
}
