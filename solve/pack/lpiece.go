package pack

// lpiece is an L with its corner at the origin: the rectangle X × Y without
// its far corner (x…X) × (y…Y). Sizes are indices into grid.at, x ≤ X, y ≤ Y;
// a rectangle has x = X and y = Y. In standing form X > Y, or X = Y and x ≥ y.
type lpiece struct{ X, Y, x, y int16 }

func (p lpiece) isRect() bool     { return p.x == p.X && p.y == p.Y }
func (p lpiece) mirror() lpiece   { return lpiece{p.Y, p.X, p.y, p.x} }
func (p lpiece) standing() bool   { return p.X > p.Y || p.X == p.Y && p.x >= p.y }
func (f frame) apply(r rect) rect { return r.swapped(f.swap).flipped(f) }

// pieceState is what is known of a piece: lo boxes lie in it, cut so, and more
// than hi can't be reached. A rectangle without a cut is laid in blocks.
type pieceState struct {
	lo, hi int
	cut    lcut
}

// lcut divides a piece in two. The frames lead to the piece's own frame, or to
// its mirror image if mirrored.
type lcut struct {
	known    bool
	mirrored bool
	a, b     part2
}

// part2 is a piece in standing form and the way it lies in its parent's frame.
type part2 struct {
	piece lpiece
	at    frame
}

// frame takes local (u, v): swapped if swap, then counted from (x, y), backwards where flipped.
type frame struct {
	x, y         int64
	flipX, flipY bool
	swap         bool
}

func (r rect) swapped(swap bool) rect {
	if swap {
		return rect{r.y, r.x, r.h, r.w}
	}
	return r
}

func (r rect) flipped(f frame) rect {
	if f.flipX {
		r.x = f.x - r.x - r.w
	} else {
		r.x += f.x
	}
	if f.flipY {
		r.y = f.y - r.y - r.h
	} else {
		r.y += f.y
	}
	return r
}

// makePart cuts the L of the given sizes down to normal sizes and stands it up.
func (s *search) makePart(X, Y, x, y int64, f frame) part2 {
	if x > X {
		x = X
	}
	if y > Y {
		y = Y
	}
	switch {
	case x <= 0:
		x, Y = X, y
	case y <= 0:
		y, X = Y, x
	}
	if X <= 0 || Y <= 0 {
		return part2{lpiece{}, f}
	}
	p := lpiece{s.top(X), s.top(Y), s.top(x), s.top(y)}
	switch {
	case p.x == 0:
		p.x, p.Y = p.X, p.y
	case p.y == 0:
		p.y, p.X = p.Y, p.x
	}
	if p.x == p.X || p.y == p.Y {
		p.x, p.y = p.X, p.Y
	}
	if !p.standing() {
		p = p.mirror()
		f.swap = true
	}
	return part2{p, f}
}

func (s *search) state(p lpiece) *pieceState {
	st := s.piece[p]
	if st != nil {
		return st
	}
	st = &pieceState{}
	if p.isRect() {
		st.hi = s.bound(p.X, p.Y)
		st.lo = s.lay(p.X, p.Y, 1, s.work+20_000)
	} else {
		area := s.at[p.X]*s.at[p.y] + s.at[p.x]*(s.at[p.Y]-s.at[p.y])
		st.hi = min(int(area/(s.long*s.short)), s.bound(p.X, p.Y))
	}
	s.piece[p] = st
	return st
}

// pieces looks for want boxes on the deck among nested L pieces; nil if there
// are none or the limit of steps ended the search.
func (s *search) pieces(want, limit int) []rect {
	if s.less == nil {
		return nil
	}
	if s.piece == nil {
		s.piece = map[lpiece]*pieceState{}
	}
	s.over = false
	deck := s.makePart(s.deckX, s.deckY, s.deckX, s.deckY, frame{})
	if !s.holds(deck.piece, want, s.work+limit) {
		return nil
	}
	var out []rect
	for _, r := range s.emitPiece(deck.piece) {
		out = append(out, deck.at.apply(r))
	}
	return out
}

// holds says whether want boxes lie in p.
func (s *search) holds(p lpiece, want, limit int) bool {
	st := s.state(p)
	if st.lo >= want {
		return true
	}
	if st.hi < want || s.over {
		return false
	}
	mirrored := false
	try := func(a, b part2) bool {
		if s.over || s.spent(limit) {
			s.over = true
			return true
		}
		if a.piece == p || b.piece == p {
			return false
		}
		sa := s.state(a.piece)
		sb := s.state(b.piece)
		for n := max(want-sb.hi, sa.lo); n <= sa.hi && n+sb.hi >= want; n++ {
			if !s.holds(a.piece, n, limit) {
				return s.over
			}
			if s.holds(b.piece, want-n, limit) {
				st.lo = want
				st.cut = lcut{true, mirrored, a, b}
				return true
			}
		}
		return s.over
	}
	s.eachCut(p, want, try)
	if st.lo < want && !s.over {
		mirrored = true
		s.eachCut(p.mirror(), want, try)
	}
	if st.lo >= want {
		return true
	}
	if !s.over {
		st.hi = want - 1
	}
	return false
}

// emitPiece returns the boxes of a piece in its own frame.
func (s *search) emitPiece(p lpiece) []rect {
	c := s.piece[p].cut
	if !c.known {
		var out []rect
		if p.isRect() {
			s.emitBlock(p.X, p.Y, 0, 0, &out)
		}
		return out
	}
	var out []rect
	for _, part := range []part2{c.a, c.b} {
		if s.piece[part.piece] == nil || s.piece[part.piece].lo == 0 {
			continue
		}
		for _, r := range s.emitPiece(part.piece) {
			out = append(out, part.at.apply(r).swapped(c.mirrored))
		}
	}
	return out
}
