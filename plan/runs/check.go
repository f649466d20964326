package runs

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// Check judges a plan against the problem from the runs alone; it shares no
// code with the solver. It returns an error that names every broken limit and
// every stated figure that the runs do not give, or nil.
func Check(p Problem, a Answer) error {
	j := newJudge(p)
	j.front(a.Runs)
	for i := range a.Runs {
		j.run(i, a.Runs)
	}
	j.pinned(a)
	j.sequence(a.Runs)
	j.stock()
	j.counts(a)
	j.totals(a)
	if len(j.faults) > 0 {
		return fmt.Errorf("%w: %s", fault.Infeasible, strings.Join(j.faults, "; "))
	}
	return nil
}

func newJudge(p Problem) *judge {
	j := &judge{p: p, grades: map[ident.Grade]Grade{}, orders: map[string]Order{}, made: map[string]int{}, in: map[string][]int{}, paper: map[string]float64{}}
	for _, g := range p.Grades {
		j.grades[g.Grade] = g
	}
	for _, o := range p.Orders {
		j.orders[o.Order] = o
	}
	return j
}

type judge struct {
	p      Problem
	grades map[ident.Grade]Grade
	orders map[string]Order
	made   map[string]int
	in     map[string][]int
	paper  map[string]float64 // metres by "paper at web"
	frozen int                // runs at the front that keep no limit
	before map[string]int     // sheets of each order in them
	drawn  map[string]float64 // paper that they draw
	cost   float64
	web    float64
	sheet  float64
	faults []string
}

func (j *judge) say(format string, args ...any) {
	j.faults = append(j.faults, fmt.Sprintf(format, args...))
}

func (j *judge) run(i int, list []Run) {
	r, c := list[i], j.p.Corrugator
	if r.Seq != i+1 {
		j.say("run %d stands at place %d", r.Seq, i+1)
	}
	g, known := j.grades[r.Grade]
	if !known {
		j.say("run %d: grade %s is unknown", r.Seq, r.Grade)
		return
	}
	webs := g.Webs
	if webs == nil {
		webs = c.Webs
	}
	free := i >= j.frozen
	if free && slices.Contains(j.p.BarredWebs, r.Web) {
		j.say("run %d: no run may be on %s", r.Seq, r.Web)
	}
	if free && !slices.Contains(webs, r.Web) {
		j.say("run %d: grade %s is not stocked at %s", r.Seq, r.Grade, r.Web)
	}
	if r.Length <= 0 || free && r.Length < c.MinRun {
		j.say("run %d: %s is under the least run %s", r.Seq, r.Length, c.MinRun)
	}
	for _, ply := range g.Plies {
		up := ply.TakeUp
		if up == 0 {
			up = 1
		}
		j.paper[string(ply.Paper)+" at "+r.Web.String()] += r.Length.Metres() * up
	}
	j.lanes(r, free)
	j.money(r, g)
	if !free {
		j.drawn = maps.Clone(j.paper)
		j.before = maps.Clone(j.made)
	}
}

func (j *judge) lanes(r Run, free bool) {
	said := len(j.faults)
	outs, scores, trim := 0, 0, r.Web
	glue, names := "", map[string]bool{}
	chop, levelOuts, closed := map[int]quantity.Length{}, map[int]int{}, map[int]bool{}
	for k, l := range r.Lanes {
		o, known := j.orders[l.Order]
		if !known {
			j.say("run %d: order %s is unknown", r.Seq, l.Order)
			continue
		}
		if names[l.Order] {
			j.say("run %d: order %s stands in two lanes", r.Seq, l.Order)
		}
		names[l.Order] = true
		if o.Adhesive != "" && glue != "" && o.Adhesive != glue {
			j.say("run %d: adhesives %s and %s", r.Seq, glue, o.Adhesive)
		}
		if o.Adhesive != "" {
			glue = o.Adhesive
		}
		if k > 0 && r.Lanes[k-1].Level != l.Level {
			closed[r.Lanes[k-1].Level] = true
		}
		if closed[l.Level] {
			j.say("run %d: the lanes of level %d are not side by side", r.Seq, l.Level)
		}
		if before, ok := chop[l.Level]; ok && before != o.Chop {
			j.say("run %d: level %d would cut %s and %s", r.Seq, l.Level, before, o.Chop)
		}
		chop[l.Level] = o.Chop
		levelOuts[l.Level] += l.Outs
		j.lane(r, l, o)
		outs += l.Outs
		scores += l.Outs * len(o.Scores)
		trim -= quantity.Length(l.Outs) * o.Slit
	}
	for _, pair := range j.p.Apart {
		if names[pair[0]] && names[pair[1]] {
			j.say("run %d: orders %s and %s must not share a run", r.Seq, pair[0], pair[1])
		}
	}
	j.section(r, outs, scores, trim, len(names), levelOuts)
	if !free { // what is frozen stands, whatever the limits say
		j.faults = j.faults[:said]
	}
	if trim != r.Trim {
		j.say("run %d: states trim %s, its lanes leave %s", r.Seq, r.Trim, trim)
	}
}

func (j *judge) section(r Run, outs, scores int, trim quantity.Length, orders int, levelOuts map[int]int) {
	c := j.p.Corrugator
	over := func(what string, n int, limit *int) {
		if limit != nil && n > *limit {
			j.say("run %d: %d %s, at most %d", r.Seq, n, what, *limit)
		}
	}
	over("outs", outs, c.MaxOuts)
	over("scores", scores, c.Scorers)
	over("orders", orders, c.MaxOrdersPerRun)
	for level, n := range levelOuts {
		over(fmt.Sprintf("outs on level %d", level), n, c.MaxOutsPerLevel)
		if level >= 1 && level <= len(c.OutsByLevel) {
			over(fmt.Sprintf("outs on level %d", level), n, &c.OutsByLevel[level-1])
		}
		if level < 1 || level > max(1, c.KnifeLevels) {
			j.say("run %d: level %d, the knife has %d", r.Seq, level, max(1, c.KnifeLevels))
		}
	}
	if trim < 2*c.SideTrimMin {
		j.say("run %d: trim %s is under %s", r.Seq, trim, 2*c.SideTrimMin)
	}
	if c.SideTrimMax != nil && trim > 2**c.SideTrimMax {
		j.say("run %d: trim %s is over %s", r.Seq, trim, 2**c.SideTrimMax)
	}
	if orders == 0 {
		j.say("run %d: has no lane", r.Seq)
	}
}

func (j *judge) lane(r Run, l Lane, o Order) {
	c := j.p.Corrugator
	if l.Outs < 1 || l.Slit != o.Slit || l.Chop != o.Chop {
		j.say("run %d: order %s is not cut as ordered", r.Seq, l.Order)
	}
	if o.Slit < c.MinSlit || o.Chop < c.MinChop || c.MaxChop != nil && o.Chop > *c.MaxChop {
		j.say("run %d: order %s is outside slit or knife", r.Seq, l.Order)
	}
	if slices.Contains(o.BarredWebs, r.Web) {
		j.say("run %d: order %s must not run on %s", r.Seq, l.Order, r.Web)
	}
	marks := slices.Sorted(slices.Values(o.Scores))
	for k, s := range marks {
		if s < c.MinScoreToSlit || o.Slit-s < c.MinScoreToSlit || k > 0 && s-marks[k-1] < c.MinScoreToScore {
			j.say("run %d: order %s has a score at %s too near", r.Seq, l.Order, s)
		}
	}
	if cuts := int(int64(r.Length) / int64(o.Chop)); l.Cuts != cuts || l.Sheets != l.Outs*(cuts-c.RejectCutsPerLane) || l.Sheets < 0 {
		j.say("run %d: order %s states %d cuts and %d sheets, %s gives %d cuts", r.Seq, l.Order, l.Cuts, l.Sheets, r.Length, cuts)
	}
	if up := r.Grade != o.Grade; up != l.Upgraded || up && (o.UpgradeBarred || !slices.Contains(j.grades[o.Grade].MayUpgradeTo, r.Grade)) {
		j.say("run %d: order %s of %s may not run on %s", r.Seq, l.Order, o.Grade, r.Grade)
	}
	j.made[l.Order] += l.Sheets
	j.in[l.Order] = append(j.in[l.Order], r.Seq)
	j.sheet += float64(l.Sheets) * o.Slit.Metres() * o.Chop.Metres()
}

// money adds the run's cost as the interchange document states it.
func (j *judge) money(r Run, g Grade) {
	c := j.p.Corrugator
	good := 0.0
	for _, l := range r.Lanes {
		good += float64(l.Sheets) * l.Slit.Metres() * l.Chop.Metres()
	}
	paid := r.Web.Metres() * (r.Length.Metres() + c.RunChangeLoss.Metres())
	j.cost += perArea(g)*paid - float64(g.WasteCredit)*(paid-good)
	j.web += r.Web.Metres() * r.Length.Metres()
	minute := c.MinuteCost
	if j.p.Minute == Idle {
		minute = j.p.IdleMinuteCost
	}
	j.cost += float64(minute) * j.minutes(r, g)
}

func perArea(g Grade) float64 {
	if g.PricePerM2 == nil {
		return 1
	}
	return float64(*g.PricePerM2)
}

func (j *judge) minutes(r Run, g Grade) float64 {
	speed := float64(j.p.Corrugator.Speed)
	if g.Speed > 0 {
		speed = float64(g.Speed)
	}
	if speed <= 0 {
		return 0
	}
	return math.Max(r.Length.Metres()/(speed*60), j.p.Corrugator.SectionSetup/60)
}

func (j *judge) stock() {
	for _, s := range j.p.Papers {
		for web, metres := range s.Metres {
			key := string(s.Paper) + " at " + web.String()
			if used := j.paper[key]; used > math.Max(metres.Metres(), j.drawn[key])+1e-3 {
				j.say("paper %s at %s: %.1f m used, %s in the house", s.Paper, web, used, metres)
			}
		}
	}
}

func (j *judge) counts(a Answer) {
	answered := map[string]bool{}
	for _, u := range a.Unplanned {
		if answered[u.Order] = true; u.Reason == "" || j.made[u.Order] > j.before[u.Order] {
			j.say("order %s: unplanned without a reason, or in a run all the same", u.Order)
		}
	}
	for _, m := range a.Orders {
		o := j.orders[m.Order]
		if answered[m.Order] {
			j.say("order %s: answered twice", m.Order)
		}
		answered[m.Order] = true
		least := int(math.Ceil(float64(o.Sheets)*(100-o.UnderPct)/100 - 1e-9))
		most := int(math.Floor(float64(o.Sheets)*(100+o.OverPct)/100 + 1e-9))
		full := j.made[m.Order] == j.before[m.Order] && j.before[m.Order] > most
		if n := j.made[m.Order]; n != m.Planned || n < least || n > most && !full || m.Wanted != o.Sheets || m.Least != least || m.Most != most {
			j.say("order %s: %d sheets, wanted %d to %d, stated %d", m.Order, n, least, most, m.Planned)
		}
		if o.MaxParts > 0 && len(j.in[m.Order]) > o.MaxParts && j.made[m.Order] > j.before[m.Order] {
			j.say("order %s: in %d runs, at most %d", m.Order, len(j.in[m.Order]), o.MaxParts)
		}
		if !slices.Equal(m.Runs, j.in[m.Order]) {
			j.say("order %s: states runs %v, stands in %v", m.Order, m.Runs, j.in[m.Order])
		}
		j.cost += float64(o.ShortCost)*float64(max(0, o.Sheets-j.made[m.Order])) + float64(o.OverCost)*float64(max(0, j.made[m.Order]-o.Sheets))
	}
	for _, o := range j.p.Orders {
		if !answered[o.Order] {
			j.say("order %s: neither planned nor unplanned", o.Order)
		}
	}
}

func (j *judge) totals(a Answer) {
	t := a.Totals
	if math.IsNaN(float64(t.Cost)) || math.Abs(float64(t.Cost)-j.cost) > 1e-6*(1+math.Abs(j.cost)) {
		j.say("cost %.4f stated, the runs give %.4f", t.Cost, j.cost)
	}
	if float64(t.Bound) > j.cost*(1+1e-9)+1e-9 {
		j.say("the bound %.4f is above the plan's own cost %.4f", t.Bound, j.cost)
	}
	if j.web > 0 && math.Abs(t.WastePct-100*(1-j.sheet/j.web)) > 1e-6 {
		j.say("waste %.4f %% stated, the runs give %.4f %%", t.WastePct, 100*(1-j.sheet/j.web))
	}
}
