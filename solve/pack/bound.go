package pack

// Bound returns a number that no layout of p exceeds: the least of
//   - the area bound ⌊XY/(ab)⌋ on the deck cut down to its normal size;
//   - Barnes' bound: a box a × b is made of bars k × 1 for k = a and for k = b,
//     and bars k × 1 leave at least min(rs, (k−r)(k−s)) of X × Y uncovered,
//     with r = X mod k, s = Y mod k;
//   - the bound of conservative scales: see scaleBound.
//
// Source: F. W. Barnes (1979), Packing the maximum number of m × n tiles in a
// large p × q rectangle, Discrete Mathematics 26, 93–100; S. P. Fekete and
// J. Schepers (2004), A general framework for bounds for higher-dimensional
// orthogonal packing problems, Math. Methods of Operations Research 60 (both
// from memory).
func Bound(p Problem) int {
	u := gcd(gcd(p.DeckX, p.DeckY), gcd(p.BoxX, p.BoxY))
	return boundOf(p.DeckX/u, p.DeckY/u, max(p.BoxX, p.BoxY)/u, min(p.BoxX, p.BoxY)/u)
}

// boundOf is Bound with l ≥ w.
func boundOf(x, y, l, w int64) int {
	if max(x, y) < l || min(x, y) < w {
		return 0
	}
	n := int64(float64(x)/float64(l)*float64(y)/float64(w)) + 1
	for _, k := range []int64{l, w} {
		r, s := x%k, y%k
		n = min(n, wholeBoxes(x, y, min128(r, s, k), l, w))
	}
	return int(min(n, int64(scaleBound(x, y, l, w))))
}

// min128 returns min(rs, (k−r)(k−s)); sizes up to 2^40 make the products overflow,
// so they are kept as floats, rounded down to stay a bound.
func min128(r, s, k int64) float64 {
	return min(float64(r)*float64(s), float64(k-r)*float64(k-s)) * (1 - 1e-12)
}

// wholeBoxes returns ⌊(xy − waste)/(lw)⌋, rounded to the safe side.
func wholeBoxes(x, y int64, waste float64, l, w int64) int64 {
	const exact = 1 << 26
	if max(x, y, l, w) < exact {
		free := x*y - int64(waste+0.5)
		return free / (l * w)
	}
	return int64((float64(x)*float64(y)-waste)/(float64(l)*float64(w))*(1+1e-12) + 1e-9)
}

// scale gives the long side the size A/C and the short side B/C of the deck's 1.
type scale struct{ A, B, C int64 }

// scales returns the extreme scales for a deck side: those (A/C, B/C) under
// which every row that fits in size also fits in the scale, and that no other
// such scale dominates. They are the edges of the hull of the rows (n long,
// m short sides).
func scales(side, l, w int64) []scale {
	type row struct{ n, m int64 }
	var hull []row
	for n := int64(0); n*l <= side; n++ {
		p := row{n, (side - n*l) / w}
		for len(hull) >= 2 {
			a, b := hull[len(hull)-2], hull[len(hull)-1]
			if (b.n-a.n)*(p.m-a.m)-(b.m-a.m)*(p.n-a.n) < 0 {
				break
			}
			hull = hull[:len(hull)-1]
		}
		hull = append(hull, p)
	}
	var out []scale
	if m := hull[0].m; m > 0 {
		out = append(out, scale{0, 1, m})
	}
	if n := hull[len(hull)-1].n; n > 0 {
		out = append(out, scale{1, 0, n})
	}
	for i := 1; i < len(hull); i++ {
		a, b := hull[i-1], hull[i]
		dm, dn := a.m-b.m, b.n-a.n
		out = append(out, scale{dm, dn, dm*a.n + dn*a.m})
	}
	return out
}

// scaleBound returns the most boxes p plain and q turned that keep
//
//	p · (A/C)(B′/C′) + q · (B/C)(A′/C′) ≤ 1
//
// for every pair of extreme scales of the two deck sides. Each is an area
// bound after resizing the boxes by conservative scales.
func scaleBound(x, y, l, w int64) int {
	type rule struct{ plain, turned, most int64 }
	var rules []rule
	ys := scales(y, l, w)
	for _, a := range scales(x, l, w) {
		for _, b := range ys {
			rules = append(rules, rule{a.A * b.B, a.B * b.A, a.C * b.C})
		}
	}
	best := int64(0)
	area := int64(float64(x)/float64(l)*float64(y)/float64(w)) + 1
	for p := int64(0); p <= area; p++ {
		q := area - p
		for _, r := range rules {
			rest := r.most - p*r.plain
			if rest < 0 {
				q = -1
				break
			}
			if r.turned > 0 {
				q = min(q, rest/r.turned)
			}
		}
		if q >= 0 {
			best = max(best, p+q)
		}
	}
	return int(best)
}
