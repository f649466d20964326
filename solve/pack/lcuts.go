package pack

// eachCut calls try with the ways of cutting p in two Ls by a line of at most
// two bends, in the frame of p, until try returns true. The mirror image of p
// gives the rest. Cuts whose parts can't hold want boxes by area are left out.
func (s *search) eachCut(p lpiece, want int, try func(a, b part2) bool) {
	e := &cutter{s: s, try: try, want: int64(want), box: s.long * s.short,
		X: s.at[p.X], Y: s.at[p.Y], x: s.at[p.x], y: s.at[p.y]}
	if p.isRect() {
		e.rectangle(p)
		return
	}
	_ = e.straight(p) || e.fromNotch(p) || e.corners(p)
}

// cutter holds one piece's sizes while its cuts are listed.
type cutter struct {
	s          *search
	try        func(a, b part2) bool
	want, box  int64
	X, Y, x, y int64
}

// pair tries two Ls, each as sizes and frame.
func (e *cutter) pair(aX, aY, ax, ay int64, fa frame, bX, bY, bx, by int64, fb frame) bool {
	rest := (bX*by + bx*(bY-by)) / e.box
	if (aX*ay+ax*(aY-ay))/e.box+rest < e.want {
		return false
	}
	a := e.s.makePart(aX, aY, ax, ay, fa)
	areaA := e.s.area(a.piece)
	if areaA/e.box+rest < e.want {
		return false
	}
	b := e.s.makePart(bX, bY, bx, by, fb)
	if areaA/e.box+e.s.area(b.piece)/e.box < e.want {
		return false
	}
	return e.try(a, b)
}

func (g *grid) area(p lpiece) int64 {
	return g.at[p.X]*g.at[p.y] + g.at[p.x]*(g.at[p.Y]-g.at[p.y])
}

// rectangle: a line from the near to the far side, straight or with two bends.
func (e *cutter) rectangle(p lpiece) {
	at, X, Y := e.s.at, e.X, e.Y
	for k1 := int16(0); k1 <= p.X; k1++ {
		x1 := at[k1]
		if x1 > 0 && x1 < X && e.pair(x1, Y, x1, Y, frame{}, X-x1, Y, X-x1, Y, frame{x: x1}) {
			return
		}
		for k2 := k1 + 1; k2 <= p.X; k2++ {
			x2 := at[k2]
			for j := int16(1); j < p.Y; j++ {
				y1 := at[j]
				if e.pair(x2, Y, x1, Y-y1, frame{y: Y, flipY: true}, X-x1, Y, X-x2, y1, frame{x: X, flipX: true}) {
					return
				}
			}
		}
	}
}

// straight lines across an L.
func (e *cutter) straight(p lpiece) bool {
	for k := int16(1); k < p.X; k++ {
		c := e.s.at[k]
		if c <= e.x && e.pair(c, e.Y, c, e.Y, frame{}, e.X-c, e.Y, e.x-c, e.y, frame{x: c}) {
			return true
		}
		if c >= e.x && e.pair(e.X-c, e.y, e.X-c, e.y, frame{x: c}, c, e.Y, e.x, e.y, frame{}) {
			return true
		}
	}
	return false
}

// fromNotch lists lines that leave the inner corner (x, y) towards the origin's column.
func (e *cutter) fromNotch(p lpiece) bool {
	X, Y, x, y := e.X, e.Y, e.x, e.y
	for k := int16(0); k < p.x; k++ {
		c := e.s.at[k]
		// down to the near side
		if c > 0 && e.pair(X-c, y, X-c, y, frame{x: c}, x, Y, c, Y-y, frame{y: Y, flipY: true}) {
			return true
		}
		// up to the far side
		if c > 0 && e.pair(x-c, Y-y, x-c, Y-y, frame{x: c, y: y}, X, Y, c, y, frame{}) {
			return true
		}
		for j := int16(1); j < p.Y; j++ {
			d := e.s.at[j]
			switch {
			case d < y: // down, then on to the side
				if c > 0 && e.pair(x, Y-d, c, Y-y, frame{y: Y, flipY: true}, X, y, X-c, d, frame{x: X, flipX: true}) {
					return true
				}
			case d > y: // up, then on to the side
				if c > 0 && e.pair(x, Y-y, x-c, Y-d, frame{x: x, y: Y, flipX: true, flipY: true}, X, d, c, y, frame{}) {
					return true
				}
			}
		}
	}
	return false
}

// corners lists lines of one bend that keep the inner corner on the bend's inner side.
func (e *cutter) corners(p lpiece) bool {
	X, Y, x, y := e.X, e.Y, e.x, e.y
	for k := int16(1); k < p.X; k++ {
		c := e.s.at[k]
		for j := int16(1); j < p.y; j++ {
			d := e.s.at[j]
			if c < x {
				if e.pair(X, Y, c, d, frame{}, X-c, Y-d, x-c, y-d, frame{x: c, y: d}) {
					return true
				}
				continue
			}
			if c > x && e.pair(c, Y-d, x, y-d, frame{y: d}, X, y, X-c, d, frame{x: X, flipX: true}) {
				return true
			}
		}
	}
	return false
}
