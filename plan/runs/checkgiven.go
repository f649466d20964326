package runs

import (
	"maps"
	"math"
	"slices"
)

// front compares the first runs with the frozen ones.
func (j *judge) front(list []Run) {
	j.frozen = len(j.p.Frozen)
	if len(list) < j.frozen {
		j.say("%d runs, %d are frozen", len(list), j.frozen)
		j.frozen = len(list)
	}
	for i, f := range j.p.Frozen[:j.frozen] {
		same := list[i].Grade == f.Grade && list[i].Web == f.Web && list[i].Length == f.Length && len(list[i].Lanes) == len(f.Lanes)
		for k := 0; same && k < len(f.Lanes); k++ {
			a, b := list[i].Lanes[k], f.Lanes[k]
			same = a.Order == b.Order && a.Outs == b.Outs && a.Level == max(b.Level, 1)
		}
		if !same {
			j.say("run %d is not the frozen one", i+1)
		}
	}
}

// pinned looks for a run of its own for each pinned one that is not given up.
func (j *judge) pinned(a Answer) {
	outs := func(r Run) map[string]int {
		m := map[string]int{}
		for _, l := range r.Lanes {
			m[l.Order] = l.Outs
		}
		return m
	}
	taken := make([]bool, len(a.Runs))
	find := func(k int, pin Run) {
		for i, r := range a.Runs[j.frozen:] {
			if !taken[i] && r.Grade == pin.Grade && r.Web == pin.Web && (pin.Length == 0 || pin.Length == r.Length) && maps.Equal(outs(r), outs(pin)) {
				taken[i] = true
				return
			}
		}
		j.say("pinned run %d is not in the plan", k)
	}
	for _, free := range []bool{false, true} { // a stated length first: the others take what is left
		for k, pin := range j.p.Pinned {
			if (pin.Length == 0) == free && !slices.Contains(a.Unpinned, k) {
				find(k, pin)
			}
		}
	}
}

// sequence adds what the runs' sequence costs: changes, splits and lateness.
func (j *judge) sequence(list []Run) {
	glue, now, ends := "", 0.0, map[string]float64{}
	for i, r := range list {
		g := j.grades[r.Grade]
		own := ""
		now += j.minutes(r, g)
		for _, l := range r.Lanes {
			o := j.orders[l.Order]
			if _, again := ends[l.Order]; again {
				j.cost += float64(o.SplitCost)
			}
			ends[l.Order] = now
			if o.Adhesive != "" {
				own = o.Adhesive
			}
		}
		if i > 0 {
			j.between(list[i-1], r, own != "" && glue != "" && own != glue)
		}
		if own != "" {
			glue = own
		}
	}
	for name, end := range ends {
		o := j.orders[name]
		if o.LateCost == 0 || o.Due.IsZero() || j.p.Begins.IsZero() {
			continue
		}
		late := end/60 + float64(o.Behind)/60 - o.Due.Sub(j.p.Begins).Hours()
		j.cost += float64(o.LateCost) * math.Max(0, late)
	}
}

func (j *judge) between(a, b Run, glue bool) {
	c, g, h := j.p.Corrugator, j.grades[a.Grade], j.grades[b.Grade]
	lost := 0.0
	if a.Web != b.Web {
		lost += c.WebChangeLoss.Metres()
	}
	if a.Grade != b.Grade {
		lost += c.GradeChangeLoss.Metres()
	}
	if g.Flute != h.Flute {
		lost += j.p.Changes.FluteLoss.Metres()
	}
	if g.Wall != h.Wall {
		lost += j.p.Changes.WallLoss.Metres()
	}
	if glue {
		lost += j.p.Changes.AdhesiveLoss.Metres()
	}
	j.cost += lost * math.Max(a.Web.Metres(), b.Web.Metres()) * math.Max(perArea(g), perArea(h))
}
