package combine

// marginalRounds of column generation at most.
const marginalRounds = 200

// Marginals returns for every item what one more wanted piece costs at the margin
// of the relaxation (see root), credit for what is cut away deducted: the dual
// prices of the items' rows. Items that Front finishes, or that may be left
// out, have 0. It is an estimate for small changes only: runs are whole, and a
// plan's next piece may cost nothing or a run. stop ends the column generation
// early, with prices that are too low; nil: never.
func Marginals(p *Problem, stop func() bool) []float64 {
	s := prepare(p)
	out := make([]float64, len(s.Items))
	var items []int32
	for i := range s.Items {
		if it := &s.Items[i]; it.Want > 0 && it.Least > 0 {
			items = append(items, int32(i))
		}
	}
	if len(items) == 0 {
		return out
	}
	if stop == nil {
		stop = func() bool { return false }
	}
	r, l := newRoot(s, items), &lister{s: s}
	for k := 0; k < marginalRounds && !stop() && r.round(l, stop); k++ {
		continue
	}
	for k, i := range items {
		if r.dual == nil {
			break
		}
		it := &s.Items[i]
		out[i] = r.dual[k]*s.scaled(i) + s.leastCredit(i)*float64(it.Width)*float64(it.Length)
	}
	return out
}
