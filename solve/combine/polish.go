package combine

import "math"

// polish shortens and lengthens runs from place from on by single cuts while
// that saves money and stays legal. The dive aims at whole orders; what is
// right to the last cut, where shorts and overs have prices, is found here.
func (s *shop) polish(p *plan, left []float64, from int) {
	for pass := 0; pass < 20; pass++ {
		better := false
		for i := from; i < len(p.runs); i++ {
			if h := p.runs[i].hold; h > 0 && s.Hold[h-1].Length > 0 {
				continue
			}
			for k := 0; k < mostNudges && s.nudge(p, left, i); k++ {
				better = true
			}
		}
		if !better {
			return
		}
	}
}

// mostNudges is how often a run is changed in one pass.
const mostNudges = 8

// nudge tries the nearest other lengths of a run and takes the best that saves.
func (s *shop) nudge(p *plan, left []float64, i int) bool {
	r := p.runs[i]
	best, saved := r.length, 1e-9
	exact := s.Line.RunLeast
	for _, l := range r.lanes {
		c := s.Items[l.item].Length
		exact = max(exact, r.length/c*c)
	}
	try := func(length int64) {
		if length == r.length || length < s.Line.RunLeast {
			return
		}
		if v := s.saving(p, left, &r, length); v > saved {
			best, saved = length, v
		}
	}
	try(exact)
	all := [2]int64{s.Line.RunLeast, s.Line.RunLeast} // to the least of all lanes, to what is wanted of all
	for _, l := range r.lanes {
		it := &s.Items[l.item]
		c := it.Length
		cuts := r.length / c
		others := p.made[l.item] - s.good(int(l.item), int(l.outs), r.length)
		for k, goal := range [2]int64{it.Least, it.Want} {
			length := (ceil(max(goal-others, 1), int64(l.outs)) + s.Line.Rejects) * c
			all[k] = max(all[k], length)
			try(length)
		}
		try((cuts + 1) * c)
		try(cuts * c)
		try(max(s.Line.RunLeast, cuts*c-1)) // one cut less, as long as the others allow
		shorter := s.Line.RunLeast
		for _, o := range r.lanes {
			d := s.Items[o.item].Length
			shorter = max(shorter, min((cuts-1)*c, r.length)/d*d)
		}
		try(shorter)
	}
	try(all[0])
	try(all[1])
	if best == r.length {
		return false
	}
	for _, d := range s.Stocks[r.stock].Draws {
		left[d.Resource] -= d.PerLength * float64(best-r.length)
	}
	p.relength(s, i, best)
	return true
}

// saving is what another length of a run saves; -Inf where it is not legal.
func (s *shop) saving(p *plan, left []float64, r *run, length int64) float64 {
	other := run{stock: r.stock, length: length, lanes: r.lanes}
	v := s.cost(r) - s.cost(&other)
	for _, l := range r.lanes {
		it := &s.Items[l.item]
		g := s.good(int(l.item), int(l.outs), length)
		made := p.made[l.item] + g - s.good(int(l.item), int(l.outs), r.length)
		if g < 1 || made < it.Least || made > it.Most {
			return math.Inf(-1)
		}
		v += s.itemCost(int(l.item), p.made[l.item], 1) - s.itemCost(int(l.item), made, 1)
	}
	for _, d := range s.Stocks[r.stock].Draws {
		if length > r.length && d.PerLength*float64(length-r.length) > left[d.Resource] {
			return math.Inf(-1)
		}
	}
	return v
}
