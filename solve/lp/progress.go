package lp

import "math"

// settle takes note of whether the last exchanges have made progress.
func (s *Simplex) settle() {
	miss := s.missing()
	merit, phase := miss, miss > 0
	if !phase {
		merit = s.Objective()
	}
	if s.phase && !phase || s.phase == phase && (math.IsInf(s.merit, 1) || merit < s.merit-progress*(1+math.Abs(s.merit))) {
		s.stuck, s.merit, s.phase = 0, merit, phase
		return
	}
	s.stuck++
}

// missing is by how much basic values lie outside their bounds, in all.
func (s *Simplex) missing() float64 {
	sum := 0.0
	for k := range s.m {
		if s.outside(k) != 0 {
			c := s.head[k]
			sum += max(s.lo[c]-s.x[k], s.x[k]-s.hi[c])
		}
	}
	return sum
}
