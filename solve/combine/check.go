package combine

import (
	"fmt"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
)

// Check returns a fault.Infeasible error unless the plan begins with Front, holds
// every run of Hold that is not in Unheld, every other run keeps the line's
// limits, the items not left lie in their windows and parts, and no resource is
// used beyond its limit. It shares no code with the search.
func Check(p Problem, r Result) error {
	made, parts := make([]int64, len(p.Items)), make([]int, len(p.Items))
	use := make([]float64, len(p.Limits))
	front, err := checkFront(p, r, made, parts, use)
	if err != nil {
		return err
	}
	already := slices.Clone(made)
	limits := slices.Clone(p.Limits)
	for k := range limits {
		limits[k] = max(limits[k], use[k]) // what is frozen may have drawn more
	}
	held := slices.Clone(p.Hold)
	for _, k := range slices.Backward(slices.Sorted(slices.Values(r.Unheld))) {
		held = slices.Delete(held, k, k+1)
	}
	for n, run := range r.Runs[front:] {
		if err := checkRun(p, run, made, parts); err != nil {
			return fmt.Errorf("run %d: %w", front+n, err)
		}
		for _, d := range p.Stocks[run.Stock].Draws {
			use[d.Resource] += d.PerLength * float64(run.Length)
		}
		if k := slices.IndexFunc(held, func(h Run) bool { return isHeld(h, run) }); k >= 0 {
			held = slices.Delete(held, k, k+1)
		}
	}
	if len(held) > 0 {
		return fmt.Errorf("a held run on stock %d is not in the plan: %w", held[0].Stock, fault.Infeasible)
	}
	for k, u := range use {
		if u > limits[k]*(1+1e-9) {
			return fmt.Errorf("resource %d: %v used of %v: %w", k, u, limits[k], fault.Infeasible)
		}
	}
	left := map[int]bool{}
	for _, i := range r.Left {
		left[i] = true
	}
	for i, it := range p.Items {
		switch {
		case left[i] && made[i] > already[i]:
			return fmt.Errorf("item %d is left and yet made: %w", i, fault.Infeasible)
		case made[i] == already[i] && made[i] > it.Most: // by the front alone
		case !left[i] && (made[i] < it.Least || made[i] > it.Most):
			return fmt.Errorf("item %d: %d made, wanted %d to %d: %w", i, made[i], it.Least, it.Most, fault.Infeasible)
		case it.Parts > 0 && parts[i] > it.Parts && made[i] > already[i]:
			return fmt.Errorf("item %d: in %d runs, at most %d: %w", i, parts[i], it.Parts, fault.Infeasible)
		}
	}
	return nil
}

// checkFront compares the first runs with Front and counts what they make and draw.
func checkFront(p Problem, r Result, made []int64, parts []int, use []float64) (int, error) {
	if len(r.Runs) < len(p.Front) {
		return 0, fmt.Errorf("%d runs, the front alone has %d: %w", len(r.Runs), len(p.Front), fault.Infeasible)
	}
	for n, f := range p.Front {
		if got := r.Runs[n]; got.Stock != f.Stock || got.Length != f.Length || !slices.Equal(got.Lanes, f.Lanes) {
			return 0, fmt.Errorf("run %d is not the front's: %w", n, fault.Infeasible)
		}
		for _, l := range f.Lanes {
			made[l.Item] += int64(l.Outs) * max(0, f.Length/p.Items[l.Item].Length-p.Line.Rejects)
			parts[l.Item]++
		}
		for _, d := range p.Stocks[f.Stock].Draws {
			use[d.Resource] += d.PerLength * float64(f.Length)
		}
	}
	return len(p.Front), nil
}

// isHeld reports whether a run is one that must be in the plan.
func isHeld(h, r Run) bool {
	if h.Stock != r.Stock || h.Length > 0 && h.Length != r.Length || len(h.Lanes) != len(r.Lanes) {
		return false
	}
	for _, a := range h.Lanes {
		if !slices.ContainsFunc(r.Lanes, func(b Lane) bool { return a.Item == b.Item && a.Outs == b.Outs }) {
			return false
		}
	}
	return true
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
		good := r.Length/it.Length - p.Line.Rejects
		if good < 1 {
			return fmt.Errorf("item %d: no good piece: %w", l.Item, fault.Infeasible)
		}
		made[l.Item] += int64(l.Outs) * good
		parts[l.Item]++
	}
	for _, a := range p.Apart {
		if seen[a[0]] && seen[a[1]] {
			return fmt.Errorf("items %d and %d share a run: %w", a[0], a[1], fault.Infeasible)
		}
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
