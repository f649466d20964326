package oracle

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
)

// lane and pattern are the oracle's own words: outs of orders on one web of one grade.
type lane struct{ order, outs int }

type pattern struct {
	grade runs.Grade
	nm    int64   // of the web
	web   float64 // m
	lanes []lane
}

// model writes a problem as a mixed-integer programme: for each pattern that the
// limits allow, and each of its copies, whether it runs (u), for how many metres
// (r), and how many whole cuts each lane has (c); the orders of skip are left out.
type model struct {
	p        runs.Problem
	skip     map[string]bool
	patterns []pattern
	goal     strings.Builder
	rows     strings.Builder
	bounds   strings.Builder
	whole    []string
	binary   []string
	n        int
}

// copies of each pattern that may run: an order is in two runs at most.
const copies = 2

// halfMM keeps a run clear of the length at which one more cut is made. Sizes are
// drawn in whole millimetres, so no plan is lost, and the solver's tolerance of
// 1e-6 cannot blur a cut.
const halfMM = 0.0005

// write returns the programme in LP format, and false where there is nothing to run.
func write(p runs.Problem, skip map[string]bool) (string, bool) {
	return (&model{p: p, skip: skip}).write()
}

func (w *model) write() (string, bool) {
	p, skip := w.p, w.skip
	w.enumerate()
	made, parts := make([]strings.Builder, len(p.Orders)), make([]strings.Builder, len(p.Orders))
	draws := map[string]*strings.Builder{}
	for k, pt := range w.patterns {
		for copied := range copies {
			w.column(fmt.Sprintf("%d_%d", k, copied), pt, made, parts, draws)
		}
	}
	for i, o := range p.Orders {
		if skip[o.Order] {
			continue
		}
		if made[i].Len() == 0 {
			return "", false // no pattern holds it
		}
		w.order(i, o, made[i].String(), parts[i].String())
	}
	for _, s := range p.Papers {
		for web, metres := range s.Metres {
			if d := draws[fmt.Sprint(s.Paper, int64(web))]; d != nil {
				w.row("%s <= %.9f", d.String(), metres.Metres())
			}
		}
	}
	return fmt.Sprintf("minimize\n obj: %s\nsubject to\n%sbounds\n%sgeneral\n %s\nbinary\n %s\nend\n",
		w.goal.String(), w.rows.String(), w.bounds.String(), strings.Join(w.whole, "\n "), strings.Join(w.binary, "\n ")), len(w.binary) > 0
}

func (w *model) row(format string, args ...any) {
	w.n++
	fmt.Fprintf(&w.rows, " x%d: "+format+"\n", append([]any{w.n}, args...)...)
}

// column writes one copy of a pattern.
func (w *model) column(id string, pt pattern, made, parts []strings.Builder, draws map[string]*strings.Builder) {
	c := w.p.Corrugator
	price, credit := 1.0, float64(pt.grade.WasteCredit)
	if pt.grade.PricePerM2 != nil {
		price = float64(*pt.grade.PricePerM2)
	}
	longest := math.Inf(1) // metres after which some lane has made too much
	for _, l := range pt.lanes {
		_, most := window(w.p.Orders[l.order])
		longest = min(longest, (math.Floor(float64(most)/float64(l.outs))+float64(c.RejectCutsPerLane)+1)*w.p.Orders[l.order].Chop.Metres())
	}
	least := max(c.MinRun.Metres(), 0)
	if least >= longest {
		return
	}
	w.binary = append(w.binary, "u"+id)
	net := (price - credit) * pt.web
	once := net * c.RunChangeLoss.Metres()
	fmt.Fprintf(&w.goal, " + %.12f r%s", net, id)
	w.row("r%s - %.9f u%s >= 0", id, least, id)
	w.row("r%s - %.9f u%s <= 0", id, longest-halfMM, id)
	w.minutes(id, pt)
	for _, l := range pt.lanes {
		o := w.p.Orders[l.order]
		cut := fmt.Sprintf("c%s_%d", id, l.order)
		chop, lost := o.Chop.Metres(), float64(c.RejectCutsPerLane)
		w.whole = append(w.whole, cut)
		w.row("r%s - %.9f %s >= 0", id, chop, cut)
		w.row("r%s - %.9f %s - %.9f u%s <= 0", id, chop, cut, chop-halfMM, id)
		w.row("%s - %.0f u%s >= 0", cut, max(lost, 0)+1, id) // a lane makes a good sheet
		fmt.Fprintf(&made[l.order], " + %d %s - %.0f u%s", l.outs, cut, float64(l.outs)*lost, id)
		fmt.Fprintf(&parts[l.order], " + u%s", id)
		area := float64(l.outs) * o.Slit.Metres() * chop * credit
		fmt.Fprintf(&w.goal, " + %.12f %s", area, cut)
		once -= area * lost
	}
	fmt.Fprintf(&w.goal, " %+.12f u%s", once, id) // a name must stand once: the reader of the format does not add up
	use := map[string]float64{}
	for _, ply := range pt.grade.Plies {
		up := ply.TakeUp
		if up == 0 {
			up = 1
		}
		use[fmt.Sprint(ply.Paper, pt.nm)] += up
	}
	for key, up := range use {
		if draws[key] == nil {
			draws[key] = &strings.Builder{}
		}
		fmt.Fprintf(draws[key], " + %.9f r%s", up, id)
	}
}

// minutes charges the longer of running and set-up.
func (w *model) minutes(id string, pt pattern) {
	c := w.p.Corrugator
	cost := float64(c.MinuteCost)
	if w.p.Minute == runs.Idle {
		cost = float64(w.p.IdleMinuteCost)
	}
	speed := float64(c.Speed) * 60 // metres a minute
	if pt.grade.Speed > 0 {
		speed = float64(pt.grade.Speed) * 60
	}
	if cost <= 0 || speed <= 0 {
		return
	}
	fmt.Fprintf(&w.goal, " + %.12f t%s", cost, id)
	w.row("t%s - %.12f r%s >= 0", id, 1/speed, id)
	w.row("t%s - %.12f u%s >= 0", id, c.SectionSetup/60, id)
}

// order writes an order's window, parts, and the price of what is short, over or split.
func (w *model) order(i int, o runs.Order, made, parts string) {
	least, most := window(o)
	w.row("%s >= %d", made, least)
	w.row("%s <= %d", made, most)
	w.row("%s + short%d >= %d", made, i, o.Sheets)
	w.row("%s - over%d <= %d", made, i, o.Sheets)
	fmt.Fprintf(&w.goal, " + %.12f short%d + %.12f over%d", float64(o.ShortCost), i, float64(o.OverCost), i)
	if o.MaxParts > 0 {
		w.row("%s <= %d", parts, o.MaxParts)
	}
	if o.SplitCost > 0 {
		fmt.Fprintf(&w.goal, " + %.12f split%d", float64(o.SplitCost), i)
		w.row("%s - split%d <= 1", parts, i)
	}
}

// window is written from the interchange document: ⌈wanted × (1 − under)⌉ to ⌊wanted × (1 + over)⌋.
func window(o runs.Order) (least, most int) {
	return int(math.Ceil(float64(o.Sheets)*(1-o.UnderPct/100) - 1e-9)), int(math.Floor(float64(o.Sheets)*(1+o.OverPct/100) + 1e-9))
}

// enumerate lists every pattern of every web of every grade.
func (w *model) enumerate() {
	c := w.p.Corrugator
	for _, g := range w.p.Grades {
		webs := g.Webs
		if webs == nil {
			webs = c.Webs
		}
		seen := map[int64]bool{}
		for _, web := range webs {
			if seen[int64(web)] || slices.Contains(w.p.BarredWebs, web) {
				continue
			}
			seen[int64(web)] = true
			var may []int
			for i, o := range w.p.Orders {
				if !w.skip[o.Order] && w.cuttable(o) && w.runsOn(o, g.Grade) && !slices.Contains(o.BarredWebs, web) {
					may = append(may, i)
				}
			}
			w.extend(g, int64(web), may, nil)
		}
	}
}

func (w *model) runsOn(o runs.Order, g ident.Grade) bool {
	if o.Grade == g {
		return true
	}
	for _, own := range w.p.Grades {
		if own.Grade == o.Grade {
			return !o.UpgradeBarred && slices.Contains(own.MayUpgradeTo, g)
		}
	}
	return false
}

func (w *model) cuttable(o runs.Order) bool {
	c := w.p.Corrugator
	ok := o.Slit >= c.MinSlit && o.Chop >= c.MinChop && (c.MaxChop == nil || o.Chop <= *c.MaxChop)
	for k, s := range o.Scores { // drawn in rising order
		ok = ok && s >= c.MinScoreToSlit && o.Slit-s >= c.MinScoreToSlit && (k == 0 || s-o.Scores[k-1] >= c.MinScoreToScore)
	}
	return ok
}

// extend adds each later order with each number of outs.
func (w *model) extend(g runs.Grade, web int64, may []int, lanes []lane) {
	if len(lanes) > 0 && w.legal(web, lanes) {
		w.patterns = append(w.patterns, pattern{g, web, float64(web) * 1e-9, slices.Clone(lanes)})
	}
	for k, i := range may {
		for outs := 1; outs <= 8; outs++ {
			w.extendOne(g, web, may[k+1:], append(slices.Clone(lanes), lane{i, outs}))
		}
	}
}

func (w *model) extendOne(g runs.Grade, web int64, may []int, lanes []lane) {
	used := int64(0)
	for _, l := range lanes {
		used += int64(l.outs) * int64(w.p.Orders[l.order].Slit)
	}
	if used <= web && len(lanes) <= 4 {
		w.extend(g, web, may, lanes)
	}
}

func (w *model) legal(web int64, lanes []lane) bool {
	c := w.p.Corrugator
	trim, outs, marks, glue := web, 0, 0, ""
	for _, l := range lanes {
		o := w.p.Orders[l.order]
		trim -= int64(l.outs) * int64(o.Slit)
		outs += l.outs
		marks += l.outs * len(o.Scores)
		if o.Adhesive != "" {
			if glue != "" && glue != o.Adhesive {
				return false
			}
			glue = o.Adhesive
		}
	}
	for _, pair := range w.p.Apart {
		a, b := false, false
		for _, l := range lanes {
			a, b = a || w.p.Orders[l.order].Order == pair[0], b || w.p.Orders[l.order].Order == pair[1]
		}
		if a && b {
			return false
		}
	}
	return trim >= 2*int64(c.SideTrimMin) && (c.SideTrimMax == nil || trim <= 2*int64(*c.SideTrimMax)) &&
		(c.MaxOuts == nil || outs <= *c.MaxOuts) && (c.Scorers == nil || marks <= *c.Scorers) &&
		(c.MaxOrdersPerRun == nil || len(lanes) <= *c.MaxOrdersPerRun) && w.levels(lanes, nil) != nil
}

// levels tries every way of putting the lanes on knife levels, and returns the first that is legal.
func (w *model) levels(lanes []lane, on []int) []int {
	c := w.p.Corrugator
	n := max(c.KnifeLevels, 1)
	if len(on) == len(lanes) {
		return on
	}
	for level := range n {
		outs, chops := 0, true
		for k := range on {
			if on[k] == level {
				outs += lanes[k].outs
				chops = chops && w.p.Orders[lanes[k].order].Chop == w.p.Orders[lanes[len(on)].order].Chop
			}
		}
		outs += lanes[len(on)].outs
		if !chops || c.MaxOutsPerLevel != nil && outs > *c.MaxOutsPerLevel || level < len(c.OutsByLevel) && outs > c.OutsByLevel[level] {
			continue
		}
		if found := w.levels(lanes, append(slices.Clone(on), level)); found != nil {
			return found
		}
	}
	return nil
}

// plan puts a solved programme back into runs, so that the oracle's own claim is judged too.
func (w *model) plan(columns map[string]float64) []runs.Run {
	w.patterns = nil
	w.enumerate()
	var out []runs.Run
	for k, pt := range w.patterns {
		for copied := range copies {
			id := fmt.Sprintf("%d_%d", k, copied)
			if columns["u"+id] < 0.5 {
				continue
			}
			r := runs.Run{Grade: pt.grade.Grade, Web: quantity.Length(pt.nm), Length: w.p.Corrugator.MinRun}
			on := w.levels(pt.lanes, nil)
			for n, l := range pt.lanes {
				o := w.p.Orders[l.order]
				cuts := math.Round(columns[fmt.Sprintf("c%s_%d", id, l.order)])
				r.Length = max(r.Length, quantity.Distance(cuts)*quantity.Distance(o.Chop))
				r.Lanes = append(r.Lanes, runs.Lane{Order: o.Order, Level: on[n] + 1, Outs: l.outs, Slit: o.Slit, Chop: o.Chop, Upgraded: o.Grade != r.Grade})
			}
			slices.SortStableFunc(r.Lanes, func(a, b runs.Lane) int { return a.Level - b.Level })
			out = append(out, r)
		}
	}
	return out
}
