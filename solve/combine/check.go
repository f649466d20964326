package combine

import (
	"fmt"

	"github.com/flutewright/flutewright/base/fault"
)

// Check returns a fault.Infeasible error unless every run of the plan keeps the
// line's limits, the items not left lie in their windows and parts, and no
// resource is used beyond its limit. It shares no code with the search.
func Check(p Problem, r Result) error {
	made, parts := make([]int64, len(p.Items)), make([]int, len(p.Items))
	use := make([]float64, len(p.Limits))
	for n, run := range r.Runs {
		if err := checkRun(p, run, made, parts); err != nil {
			return fmt.Errorf("run %d: %w", n, err)
		}
		for _, d := range p.Stocks[run.Stock].Draws {
			use[d.Resource] += d.PerLength * float64(run.Length)
		}
	}
	for k, u := range use {
		if u > p.Limits[k]*(1+1e-9) {
			return fmt.Errorf("resource %d: %v used of %v: %w", k, u, p.Limits[k], fault.Infeasible)
		}
	}
	left := map[int]bool{}
	for _, i := range r.Left {
		left[i] = true
	}
	for i, it := range p.Items {
		switch {
		case left[i] && made[i] > 0:
			return fmt.Errorf("item %d is left and yet made: %w", i, fault.Infeasible)
		case !left[i] && (made[i] < it.Least || made[i] > it.Most):
			return fmt.Errorf("item %d: %d made, wanted %d to %d: %w", i, made[i], it.Least, it.Most, fault.Infeasible)
		case it.Parts > 0 && parts[i] > it.Parts:
			return fmt.Errorf("item %d: in %d runs, at most %d: %w", i, parts[i], it.Parts, fault.Infeasible)
		}
	}
	return nil
}

func checkRun(p Problem, r Run, made []int64, parts []int) error {
	st := p.Stocks[r.Stock]
	used, outs, marks, class := int64(0), 0, 0, 0
	length, strips := map[int]int64{}, map[int]int{}
	seen := map[int]bool{}
	for _, l := range r.Lanes {
		it := p.Items[l.Item]
		if seen[l.Item] || l.Outs < 1 {
			return fmt.Errorf("item %d stands twice or with %d strips: %w", l.Item, l.Outs, fault.Infeasible)
		}
		seen[l.Item] = true
		allowed := false
		for _, k := range it.Kinds {
			allowed = allowed || k == st.Kind
		}
		for _, b := range it.Barred {
			allowed = allowed && b != r.Stock
		}
		if !allowed || class != 0 && it.Class != 0 && class != it.Class {
			return fmt.Errorf("item %d must not be cut here: %w", l.Item, fault.Infeasible)
		}
		if it.Class != 0 {
			class = it.Class
		}
		if c, cut := length[l.Level]; cut && c != it.Length {
			return fmt.Errorf("level %d cuts %d and %d: %w", l.Level, c, it.Length, fault.Infeasible)
		}
		length[l.Level] = it.Length
		strips[l.Level] += l.Outs
		used += int64(l.Outs) * it.Width
		outs += l.Outs
		marks += l.Outs * it.Marks
		made[l.Item] += int64(l.Outs) * (r.Length/it.Length - p.Line.Rejects)
		parts[l.Item]++
	}
	for level, n := range strips {
		if level < 0 || level >= len(p.Line.LevelOuts) || n > p.Line.LevelOuts[level] {
			return fmt.Errorf("level %d takes %d strips: %w", level, n, fault.Infeasible)
		}
	}
	trim := st.Width - used
	if trim < p.Line.TrimLeast || trim > p.Line.TrimMost || outs > p.Line.Outs || marks > p.Line.Marks || len(r.Lanes) > p.Line.Orders || r.Length < p.Line.RunLeast {
		return fmt.Errorf("trim %d, %d strips, %d marks, %d items, length %d: %w", trim, outs, marks, len(r.Lanes), r.Length, fault.Infeasible)
	}
	return nil
}
