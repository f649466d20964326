package trace

import "math"

// Foretold is how a count is expected to end: what is good so far and what the
// pieces still to be fed will give.
type Foretold struct {
	Good      int     // so far
	Left      int     // pieces still to be fed
	Waste     float64 // share of waste taken for them
	Low, High float64 // its band, 95 %
	Expect    int     // good in the end
	Worst     int     // with the share High
	Best      int     // with the share Low
	Few       bool    // too few were counted for a share: the stated loss was taken
}

// fewPieces is how many pieces must have been counted before their own share of
// waste is taken (common practice, no published source).
const fewPieces = 200

// Foretell expects how a count ends: good and waste pieces so far, left still
// to be fed; stated is the share of waste that the machine is stated to have,
// taken while fewer than 200 pieces are counted. The band is Wilson's score
// interval for a share; it takes each piece to be lost by itself, so that waste
// that comes in lots, a jam or a bad stack, can fall outside it.
//
// Source: Wilson, E. B. (1927), Probable inference, the law of succession, and
// statistical inference, Journal of the American Statistical Association 22, 209–212.
func Foretell(good, waste, left int, stated float64) Foretold {
	f := Foretold{Good: good, Left: max(left, 0)}
	n := good + waste
	if n < fewPieces {
		f.Few = true
		f.Waste, f.Low, f.High = stated, stated, stated
	} else {
		f.Waste = float64(waste) / float64(n)
		f.Low, f.High = Wilson(waste, n)
	}
	end := func(share float64) int { return good + int(math.Round(float64(f.Left)*(1-share))) }
	f.Expect, f.Worst, f.Best = end(f.Waste), end(f.High), end(f.Low)
	return f
}

// Wilson returns the 95 % score interval of a share, hits out of n:
//
//	(p + z²/2n ± z √(p(1−p)/n + z²/4n²)) / (1 + z²/n),  z = 1.96
//
// It is 0 to 1 for n = 0.
func Wilson(hits, n int) (low, high float64) {
	const z = 1.959963984540054
	if n <= 0 {
		return 0, 1
	}
	m := float64(n)
	p := float64(hits) / m
	middle, half := p+z*z/(2*m), z*math.Sqrt(p*(1-p)/m+z*z/(4*m*m))
	scale := 1 + z*z/m
	return max(0, (middle-half)/scale), min(1, (middle+half)/scale)
}
