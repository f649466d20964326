package plan

import (
	"fmt"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plan/stock"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
)

// Check judges a whole plan against the book from its own words: every open
// line is answered once, runs stand one behind the other, no run draws paper
// that is neither in the house nor delivered by its start, each release's
// sheets are those of its lanes, and loads hold the boxes ordered. What a
// station alone can break is judged by that station's own Check.
func Check(book plant.Book, p *Plan) error {
	c := &checker{book: Exchanged(stock.Filled(book, p.Now), p.Exchanges), p: p}
	c.answered()
	c.lanes()
	c.clock()
	c.paper()
	c.loads()
	if len(c.faults) > 0 {
		return fmt.Errorf("%w: %s", fault.Infeasible, strings.Join(c.faults, "; "))
	}
	return nil
}

type checker struct {
	book   plant.Book
	p      *Plan
	faults []string
}

func (c *checker) say(format string, args ...any) {
	c.faults = append(c.faults, fmt.Sprintf(format, args...))
}

func (c *checker) answered() {
	times := map[string]int{}
	for _, o := range c.p.Orders {
		times[o.Order]++
	}
	for _, u := range c.p.Unplanned {
		times[u.Order]++
	}
	demands := map[ident.Release]Demand{}
	for _, d := range c.p.Demands {
		demands[d.Release] = d
	}
	for _, l := range c.book.Lines {
		if l.State != order.Open || l.Kind == order.Blanket {
			continue
		}
		d, known := demands[l.Key]
		want := 1
		if d.Fault == "" && d.Wanted == 0 {
			want = 0 // its sheets are made
		}
		if !known || times[l.Key.String()] != want {
			c.say("release %s is answered %d times, wanted %d", l.Key, times[l.Key.String()], want)
		}
	}
}

func (c *checker) lanes() {
	wanted := map[string]Demand{}
	for _, d := range c.p.Demands {
		wanted[d.Release.String()] = d
	}
	for _, r := range c.p.Runs {
		for _, l := range r.Lanes {
			if d := wanted[l.Order]; l.Slit != d.Sheet.Slit || l.Chop != d.Sheet.Chop {
				c.say("run %d cuts %s to %s × %s, its sheet is %s × %s", r.Seq, l.Order, l.Chop, l.Slit, d.Sheet.Chop, d.Sheet.Slit)
			}
		}
	}
	for _, o := range c.p.Orders {
		if d := wanted[o.Order]; o.Wanted != d.Wanted {
			c.say("release %s: the trim plan wants %d sheets, its demand is %d", o.Order, o.Wanted, d.Wanted)
		}
	}
}

func (c *checker) clock() {
	if len(c.p.Clock.Runs) != len(c.p.Runs) {
		c.say("%d runs, %d run times", len(c.p.Runs), len(c.p.Clock.Runs))
		return
	}
	for i, t := range c.p.Clock.Runs {
		if t.Run != c.p.Runs[i].Seq || t.End.Before(t.Start) || i > 0 && t.Start.Before(c.p.Clock.Runs[i-1].End) {
			c.say("run %d does not stand behind the one before it", t.Run)
		}
	}
}

// paper walks the runs by start and draws on what is there by then.
func (c *checker) paper() {
	if len(c.book.Rolls) == 0 || len(c.p.Clock.Runs) != len(c.p.Runs) {
		return
	}
	have := map[roll.PaperWeb]float64{}
	for _, r := range c.book.Rolls {
		if !r.Hold {
			have[roll.PaperWeb{Paper: r.Paper, Web: r.Width}] += r.Length.Metres()
		}
	}
	inbound := slices.Clone(c.book.Inbound)
	list := make([]int, len(c.p.Runs))
	for i := range list {
		list[i] = i
	}
	times := c.p.Clock.Runs
	slices.SortStableFunc(list, func(a, b int) int { return times[a].Start.Compare(times[b].Start) })
	for _, i := range list {
		inbound = slices.DeleteFunc(inbound, func(in roll.Inbound) bool {
			here := !in.ETA.After(times[i].Start)
			if here {
				have[roll.PaperWeb{Paper: in.Paper, Web: in.Width}] += in.Metres().Metres()
			}
			return here
		})
		c.draw(c.p.Runs[i], times[i], have)
	}
}

func (c *checker) draw(r runs.Run, t jobs.RunTime, have map[roll.PaperWeb]float64) {
	for _, g := range c.book.Plant.Grades {
		if g.Code != r.Grade {
			continue
		}
		for _, ply := range g.Plies {
			up := 1.0
			for _, f := range c.book.Plant.Flutes {
				if f.Code == ply.Flute {
					up = f.TakeUp
				}
			}
			k := roll.PaperWeb{Paper: ply.Paper, Web: r.Web}
			if have[k] -= r.Length.Metres() * up; have[k] < -0.001 {
				c.say("run %d starts at %s and lacks %.0f m of %s at %s", r.Seq, t.Start.Format("Mon 15:04"), -have[k], ply.Paper, r.Web)
				have[k] = 0
			}
		}
	}
}

func (c *checker) loads() {
	quantity := map[ident.Release]int{}
	for _, l := range c.book.Lines {
		quantity[l.Key] = l.Quantity
	}
	for _, l := range c.p.Loads {
		if l.Refusal != "" {
			continue
		}
		inUnits := l.LastUnit + max(0, l.Units-1)*l.PerUnit
		if inBundles := l.Bundles*l.PerBundle + l.OddBundle; l.Boxes != quantity[l.Release] || inBundles != l.Boxes || inUnits != l.Boxes {
			c.say("release %s orders %d boxes; bundles hold %d, units %d", l.Release, quantity[l.Release], inBundles, inUnits)
		}
	}
}
