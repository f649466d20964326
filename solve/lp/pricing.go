package lp

import "math"

// price picks the entering column, or -1. It looks through blocks of columns in
// turn and takes the best of the first block that has an improving one (partial
// pricing). Where exchanges have long saved nothing it picks at random among the improving ones of
// all blocks, which leaves any cycle in the end.
func (s *Simplex) price(infeasible bool) int {
	n := len(s.cost)
	block := max(blockLeast, n/blockShare)
	if s.stuck > 0 {
		block = n
	}
	if s.next >= n {
		s.next = 0
	}
	best, q := 0.0, -1
	for seen := 0; seen < n; {
		for end := min(seen+block, n); seen < end; seen++ {
			j := s.next
			if s.next++; s.next == n {
				s.next = 0
			}
			if r := s.gain(j, infeasible); r > best {
				best, q = r, j
			}
		}
		if q >= 0 {
			return q
		}
	}
	return q
}

// gain is the weighted rate at which an entering column improves; 0 where it does not.
func (s *Simplex) gain(j int, infeasible bool) float64 {
	at := s.at[j]
	if at == basic || s.lo[j] == s.hi[j] {
		return 0
	}
	r := s.reduced(j, infeasible)
	switch at {
	case atLo:
		r = -r
	case atZero:
		r = math.Abs(r)
	}
	if r <= dual {
		return 0
	}
	r *= s.weight[j]
	if s.stuck > 0 {
		r *= s.random()
	}
	return r
}

func (s *Simplex) random() float64 {
	s.rnd ^= s.rnd << 13
	s.rnd ^= s.rnd >> 7
	s.rnd ^= s.rnd << 17
	return float64(s.rnd>>11) / (1 << 53)
}

// load computes the entering column in terms of the basis.
func (s *Simplex) load(q int) {
	clear(s.b)
	for e := s.beg[q]; e < s.beg[q+1]; e++ {
		s.b[s.idx[e]] += s.val[e]
	}
	s.fac.ftran(s.b, s.d)
}

// ratio finds how far the entering variable can go and the position that stops
// it (-1: its own other bound). A basic variable outside its bounds stops at the
// bound it comes to first.
func (s *Simplex) ratio(dir, own float64) (p int, step float64, at int8) {
	widest := math.Inf(1)
	for k, d := range s.d {
		if to, rate, ok := s.stop(k, -dir*d); ok {
			slack := feasible * (1 + math.Abs(to))
			if rate < 0 {
				slack = -slack
			}
			widest = math.Min(widest, math.Max(0, (to+slack-s.x[k])/rate))
		}
	}
	p, step = -1, math.Inf(1)
	if own <= widest {
		return -1, own, atLo
	}
	pivot := 0.0
	for k, d := range s.d {
		to, rate, ok := s.stop(k, -dir*d)
		if !ok {
			continue
		}
		if t := (to - s.x[k]) / rate; t <= widest && math.Abs(rate) > pivot {
			p, step, pivot = k, math.Max(t, 0), math.Abs(rate)
			at = atLo
			if to == s.hi[s.head[k]] && (to != s.lo[s.head[k]] || rate > 0) {
				at = atHi
			}
		}
	}
	if own < step {
		return -1, own, atLo
	}
	return p, step, at
}

// stop is the bound that position k runs into when it changes at rate.
func (s *Simplex) stop(k int, rate float64) (to, r float64, ok bool) {
	if rate < pivotLeast && rate > -pivotLeast {
		return 0, 0, false
	}
	c := s.head[k]
	switch o := s.outside(k); {
	case o < 0:
		to, ok = s.lo[c], rate > 0
	case o > 0:
		to, ok = s.hi[c], rate < 0
	case rate > 0:
		to, ok = s.hi[c], !math.IsInf(s.hi[c], 1)
	default:
		to, ok = s.lo[c], !math.IsInf(s.lo[c], -1)
	}
	return to, rate, ok
}
