package runs

import (
	"math"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// minuteCost is the price of a corrugator minute that is in force.
func (p Problem) minuteCost() quantity.Money {
	if p.Minute == Idle {
		return p.IdleMinuteCost
	}
	return p.Corrugator.MinuteCost
}

// speed is the line's speed on a grade.
func (p Problem) speed(g Grade) quantity.Speed {
	if g.Speed > 0 {
		return g.Speed
	}
	return p.Corrugator.Speed
}

// minutes is how long a run holds the corrugator: its length at the grade's
// speed, or the section's set-up where that takes longer. 0 without a speed.
func (p Problem) minutes(g Grade, length quantity.Distance) float64 {
	speed := p.speed(g)
	if speed <= 0 {
		return 0
	}
	return max(length.Metres()/speed.MetresPerMinute(), p.Corrugator.SectionSetup/60)
}

// timeCost is the price of a metre, and of the shortest run.
func (p Problem) timeCost(g Grade) (perMetre, least float64) {
	speed, cost := p.speed(g), p.minuteCost()
	if cost <= 0 || speed <= 0 {
		return 0, 0
	}
	return float64(cost) / speed.MetresPerMinute(), float64(cost) * p.Corrugator.SectionSetup / 60
}

func (p Problem) byGrade() map[ident.Grade]Grade {
	out := make(map[ident.Grade]Grade, len(p.Grades))
	for _, g := range p.Grades {
		out[g.Grade] = g
	}
	return out
}

func (p Problem) byOrder() map[string]Order {
	out := make(map[string]Order, len(p.Orders))
	for _, o := range p.Orders {
		out[o.Order] = o
	}
	return out
}

// pricing adds up the cost terms of a plan.
type pricing struct {
	p      Problem
	grades map[ident.Grade]Grade
	orders map[string]Order
	t      *Totals
	bare   bool // money alone
}

// price works out the cost terms, what each pays for, and what the paper buys.
func (p Problem) price(a Answer, t *Totals) {
	x := pricing{p: p, grades: p.byGrade(), orders: p.byOrder(), t: t}
	t.CostTerms, t.CostUnits, t.Paper = map[string]quantity.Money{}, map[string]Amount{}, map[string]Share{}
	for _, r := range a.Runs {
		x.run(r)
	}
	x.neighbours(a.Runs)
	x.made(a)
	x.late(a.Runs)
	for _, name := range sortedKeys(t.CostTerms) {
		t.Cost += t.CostTerms[name]
	}
	if t.Bound > t.Cost && t.Bound <= t.Cost*(1+1e-9) { // the same sum in another order of additions
		t.Bound = t.Cost
	}
	if t.Bound > 0 {
		t.GapPct = math.Max(0, 100*(float64(t.Cost/t.Bound)-1))
	}
}

// add charges a term; mass is of the board that the amount is of, 0 where it is no board.
func (x *pricing) add(term string, cost, amount float64, unit string, mass float64) {
	x.t.CostTerms[term] += quantity.Money(cost)
	if x.bare {
		return
	}
	u := x.t.CostUnits[term]
	x.t.CostUnits[term] = Amount{u.Amount + amount, unit, u.Mass + quantity.Mass(mass), u.Sheets}
}

// run charges what a run costs by itself. What the good sheets of upgraded orders cost
// more on its board than on their own is not in the paper but a term of its own; the
// trim beside them is paper of the run's board.
func (x *pricing) run(r Run) {
	g, c := x.grades[r.Grade], x.p.Corrugator
	price, mass := float64(g.price()), float64(g.Mass)
	web, loss := r.Web.Metres()*r.Length.Metres(), r.Web.Metres()*c.RunChangeLoss.Metres()
	good, rejects, ends, better := 0.0, 0.0, 0.0, 0.0
	for _, l := range r.Lanes {
		width := float64(l.Outs) * l.Slit.Metres()
		one := width * l.Chop.Metres()
		sheets := float64(l.Sheets) * l.Slit.Metres() * l.Chop.Metres()
		good += sheets
		rejects += float64(l.Cuts)*one - sheets
		ends += width*r.Length.Metres() - float64(l.Cuts)*one
		if own, known := x.grades[x.orders[l.Order].Grade]; known && own.Grade != g.Grade {
			more := (price - float64(own.price())) * sheets
			better += more
			x.add("upgrade", more, sheets, "m2", mass*sheets)
			x.upgraded(l.Sheets)
		}
	}
	x.add("paper", price*web-better, web, "m2", mass*web)
	x.add("run_change", price*loss, loss, "m2", mass*loss)
	x.add("waste_credit", -float64(g.WasteCredit)*(web+loss-good), web+loss-good, "m2", mass*(web+loss-good))
	perMetre, least := x.p.timeCost(g)
	x.add("minutes", max(perMetre*r.Length.Metres(), least), x.p.minutes(g, r.Length), "min", 0)
	if x.bare {
		return
	}
	for name, area := range map[string]float64{"sheets": good, "rejects": rejects, "ends": ends, "trim": r.Trim.Metres() * r.Length.Metres()} {
		s := x.t.Paper[name]
		x.t.Paper[name] = Share{s.Cost + quantity.Money(price*area), s.Area + quantity.Area(area)}
	}
	s := x.t.Paper["sheets"]
	x.t.Paper["sheets"] = Share{s.Cost - quantity.Money(better), s.Area}
}

// upgraded counts the good sheets that the term upgrade is of.
func (x *pricing) upgraded(sheets int) {
	if x.bare {
		return
	}
	u := x.t.CostUnits["upgrade"]
	u.Sheets += sheets
	x.t.CostUnits["upgrade"] = u
}

// glue is the adhesive of a run, "" where its orders name none.
func (x *pricing) glue(r Run) string {
	for _, l := range r.Lanes {
		if a := x.orders[l.Order].Adhesive; a != "" {
			return a
		}
	}
	return ""
}

// neighbours charges the changes between runs that follow each other.
func (x *pricing) neighbours(list []Run) {
	glue := ""
	for i, r := range list {
		on := x.glue(r)
		if i > 0 {
			x.change(list[i-1], r, glue != "" && on != "" && on != glue)
		}
		if on != "" {
			glue = on
		}
	}
}

func (x *pricing) change(a, b Run, glue bool) {
	c, more := x.p.Corrugator, x.p.Changes
	from, to := x.grades[a.Grade], x.grades[b.Grade]
	price := max(float64(from.price()), float64(to.price()))
	wide, mass := max(a.Web, b.Web).Metres(), float64(max(from.Mass, to.Mass))
	for _, k := range [...]struct {
		term    string
		changed bool
		loss    quantity.Distance
	}{
		{"web_change", a.Web != b.Web, c.WebChangeLoss},
		{"grade_change", a.Grade != b.Grade, c.GradeChangeLoss},
		{"flute_change", from.Flute != to.Flute, more.FluteLoss},
		{"wall_change", from.Wall != to.Wall, more.WallLoss},
		{"adhesive_change", glue, more.AdhesiveLoss},
	} {
		if k.changed && k.loss > 0 {
			area := wide * k.loss.Metres()
			x.add(k.term, price*area, k.loss.Metres(), "m", mass*area)
		}
	}
}

// made charges sheets short of and over the wanted number, and splits; what has no price is counted all the same.
func (x *pricing) made(a Answer) {
	for _, m := range a.Orders {
		o := x.orders[m.Order]
		short, over := float64(max(0, o.Sheets-m.Planned)), float64(max(0, m.Planned-o.Sheets))
		x.add("short", float64(o.ShortCost)*short, short, "sheets", 0)
		x.add("over", float64(o.OverCost)*over, over, "sheets", 0)
	}
	in := map[string]int{}
	for _, r := range a.Runs {
		for _, l := range r.Lanes {
			if in[l.Order]++; in[l.Order] > 1 {
				x.add("split", float64(x.orders[l.Order].SplitCost), 1, "runs", 0)
			}
		}
	}
}

// late charges the hours that orders with a price of lateness are made after
// their due time, the runs following each other without a pause from Begins on.
func (x *pricing) late(list []Run) {
	if x.p.Begins.IsZero() {
		return
	}
	at, ends := 0.0, map[string]float64{}
	for _, r := range list {
		at += x.p.minutes(x.grades[r.Grade], r.Length)
		for _, l := range r.Lanes {
			ends[l.Order] = at
		}
	}
	for _, o := range x.p.Orders { // in their sequence: the same sum every time
		end, runs := ends[o.Order]
		if !runs || o.Due.IsZero() || x.bare && o.LateCost <= 0 {
			continue
		}
		if hours := (end+float64(o.Behind))/60 - o.Due.Sub(x.p.Begins).Hours(); hours > 0 {
			x.add("late", float64(o.LateCost)*hours, hours, "h", 0)
		}
	}
}
