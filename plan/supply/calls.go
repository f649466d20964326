package supply

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/roll"
)

// Call is paper to call off.
type Call struct {
	Paper    ident.Paper
	Web      quantity.Length
	Rolls    int
	Metres   quantity.Distance // of all rolls
	Mass     quantity.Mass
	Short    quantity.Distance // missing metres that it covers; 0: nothing is missing, it only keeps the days of cover
	Cover    quantity.Distance // metres beyond Short that the days of cover ask for; 0 where no rule is stated
	NeededAt time.Time         // when the first metre is missing, or from when less than the days of cover is left
	Supplier string            // "": nobody is named
	Truck    int               // rows of one truck have one number; 0: no truckload is known
	FullPct  float64           // of the truck with all its rows
	By       time.Time         // latest hour to call; zero without a supplier
	Arrives  time.Time         // when called then
	TooLate  bool              // By has passed, or is nobody's to keep
}

// Spared is a shortage that needs no call.
type Spared struct {
	Paper ident.Paper
	Web   quantity.Length
	Short quantity.Distance
	Other quantity.Length // wider, and free of every paper that the runs draw
}

// CallOff is the list.
type CallOff struct {
	Calls  []Call // shortages ahead of cover, each latest hour first
	More   int    // that the list has no room for
	Spared []Spared
}

// Calls lists what must be called off: shortages that no other free width
// covers, and behind them what keeps the stated days of cover. A wider web covers one when every paper of the runs that come short is
// free there. What one shortage takes of it is not free for the next.
func Calls(p Problem) CallOff { return CallsOf(p, Levels(p)) }

// CallsOf is Calls where the levels are known already.
func CallsOf(p Problem, levels []Level) CallOff {
	free := map[shelf]quantity.Distance{}
	for _, l := range levels {
		free[shelf{l.Paper, l.Web}] = l.Free
	}
	var out CallOff
	last := p.lastDraw()
	for _, l := range levels {
		lack, thin := p.lack(l, last)
		if l.Short == 0 {
			if lack > 0 {
				out.Calls = append(out.Calls, p.keep(l, lack, thin))
			}
			continue
		}
		if web, ok := p.otherWidth(l, free); ok {
			out.Spared = append(out.Spared, Spared{l.Paper, l.Web, l.Short, web})
			continue
		}
		out.Calls = append(out.Calls, p.call(l, lack))
	}
	slices.SortStableFunc(out.Calls, func(a, b Call) int {
		return cmp.Or(cmp.Compare(min(b.Short, 1), min(a.Short, 1)), a.when().Compare(b.when()), cmp.Compare(a.Supplier, b.Supplier), cmp.Compare(a.Paper, b.Paper), cmp.Compare(a.Web, b.Web))
	})
	p.loadTrucks(out.Calls)
	if most := cmp.Or(p.MostCalls, mostCalls); len(out.Calls) > most {
		out.Calls, out.More = out.Calls[:most], len(out.Calls)-most
	}
	return out
}

// lastDraw is when the last of all draws is; zero where nothing is drawn.
func (p Problem) lastDraw() (last time.Time) {
	for i := range p.Draws {
		if at := p.Draws[i].At; at.After(last) {
			last = at
		}
	}
	return last
}

// when sorts: a row that nobody can call any more stands by the hour it is missing.
func (c Call) when() time.Time {
	if c.By.IsZero() {
		return c.NeededAt
	}
	return c.By
}

// otherWidth finds the next wider web on which all that the short runs draw is free, and takes it.
func (p Problem) otherWidth(l Level, free map[shelf]quantity.Distance) (quantity.Length, bool) {
	short := map[int]bool{}
	for _, d := range p.Draws { // the runs from the first missing metre on
		if d.Paper == l.Paper && d.Web == l.Web && !d.At.Before(l.ShortAt) {
			short[d.Run] = true
		}
	}
	want := map[ident.Paper]quantity.Distance{}
	for _, d := range p.Draws {
		if short[d.Run] && d.Web == l.Web {
			want[d.Paper] += d.Metres
		}
	}
	var webs []quantity.Length
	for _, w := range p.Catalogue.Papers[l.Paper].Webs {
		if w > l.Web {
			webs = append(webs, w)
		}
	}
	slices.Sort(webs)
	for _, w := range webs {
		all := len(want) > 0
		for paper, metres := range want {
			all = all && free[shelf{paper, w}] >= metres
		}
		if !all {
			continue
		}
		for paper, metres := range want {
			free[shelf{paper, w}] -= metres
		}
		return w, true
	}
	return 0, false
}

// call is the row of a shortage, with what the days of cover ask for beside it:
// whole rolls, and the latest hour by the supplier that may be called last.
func (p Problem) call(l Level, cover quantity.Distance) Call {
	each := RollLength(p, l.Paper)
	c := Call{Paper: l.Paper, Web: l.Web, Short: l.Short, Cover: cover, NeededAt: l.ShortAt, TooLate: true}
	if each > 0 {
		c.Rolls = int(math.Ceil(float64(l.Short+cover) / float64(each)))
		c.Metres = each * quantity.Distance(c.Rolls)
		c.Mass = roll.MassOf(c.Metres, l.Web, p.Catalogue.Papers[l.Paper].Grammage)
	}
	for _, s := range p.Supplies {
		if s.Paper != l.Paper {
			continue
		}
		if by := p.latest(s, l.ShortAt); c.Supplier == "" || by.After(c.By) {
			c.Supplier, c.By, c.Arrives = s.Supplier, by, by.Add(s.Lead.Duration())
			c.TooLate = by.Before(p.Now)
		}
	}
	return c
}

// latest is the last moment to call a supplier for paper that must be on a
// stand at a moment. A call up to the supplier's hour counts as made at that
// hour, a later one as made at the next day's.
func (p Problem) latest(s plant.Supply, needed time.Time) time.Time {
	by := needed.Add(-(cmp.Or(p.GateToUse, gateToUse) + s.Lead).Duration())
	if hour, stated := callHour(s, by.In(p.zone())); stated {
		if hour.After(by) {
			hour = hour.AddDate(0, 0, -1)
		}
		by = hour
	}
	for n := 0; p.Closed != nil && p.Closed(by) && n < 14; n++ {
		local := by.In(p.zone())
		by = time.Date(local.Year(), local.Month(), local.Day()-1, local.Hour(), local.Minute(), 0, 0, p.zone())
	}
	return by
}

// ArrivesAt is when rolls of a paper come from a supplier that is called now;
// zero where the plant states no lead time for them.
func (p Problem) ArrivesAt(paper ident.Paper, supplier string) time.Time {
	for _, s := range p.Supplies {
		if s.Paper == paper && s.Supplier == supplier {
			return p.soonest(s).Add(s.Lead.Duration())
		}
	}
	return time.Time{}
}

// callHour is the supplier's hour on the day of a moment; false where none is stated.
func callHour(s plant.Supply, day time.Time) (time.Time, bool) {
	var h, m int
	if _, err := fmt.Sscanf(s.CallOffBy, "%d:%d", &h, &m); err != nil {
		return time.Time{}, false
	}
	return time.Date(day.Year(), day.Month(), day.Day(), h, m, 0, 0, day.Location()), true
}

func (p Problem) zone() *time.Location {
	if p.Zone == nil {
		return time.UTC
	}
	return p.Zone
}

// RollLength is what a roll of a paper usually holds: the middle of the full
// rolls in the house and on the way, at any width; 0 where there is none.
func RollLength(p Problem, paper ident.Paper) quantity.Distance {
	var list []quantity.Distance
	for _, r := range p.Rolls {
		if r.Paper == paper && !r.Butt {
			list = append(list, r.Length)
		}
	}
	for _, in := range p.Inbound {
		if in.Paper == paper {
			list = append(list, in.LengthEach)
		}
	}
	if len(list) == 0 {
		return 0
	}
	slices.Sort(list)
	return list[len(list)/2]
}

// loadTrucks gives rows of one supplier, called one behind the other, one truck
// as long as it holds them; a row heavier than a truck fills its own.
func (p Problem) loadTrucks(calls []Call) {
	type truck struct {
		number int
		mass   quantity.Mass
	}
	open := map[string]*truck{}
	most := map[string]quantity.Mass{}
	for _, s := range p.Supplies {
		most[s.Supplier] = max(most[s.Supplier], s.Truckload)
	}
	n, load := 0, map[int]quantity.Mass{}
	for i := range calls {
		c := &calls[i]
		if most[c.Supplier] <= 0 {
			continue
		}
		t := open[c.Supplier]
		if t == nil || t.mass+c.Mass > most[c.Supplier] {
			n++
			t = &truck{number: n}
			open[c.Supplier] = t
		}
		t.mass += c.Mass
		load[t.number] = t.mass
		c.Truck = t.number
	}
	for i := range calls {
		if c := &calls[i]; c.Truck > 0 {
			c.FullPct = 100 * float64(load[c.Truck]) / float64(most[c.Supplier])
		}
	}
}
