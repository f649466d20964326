package pack

// blockCut is the best known way to lay a rectangle: as one block of equal
// boxes, or cut by x1 ≤ x2 and y1 ≤ y2 into five blocks round a pinwheel.
//
//	+-----+--------+
//	|  1  |   2    | y2
//	|     +---+----+
//	|     | 3 |    |
//	+-----+---+ 5  | y1
//	|    4    |    |
//	+---------+----+
//	     x1   x2
type blockCut struct {
	count          int
	depth          int // searched to this depth
	cut            bool
	turned         bool // a block of turned boxes
	x1, x2, y1, y2 int16
}

// maxDepth is how often blocks are cut again; more has not been seen to help.
const maxDepth = 4

// blocks lays the deck by recursive five-block cuts.
func (s *search) blocks() []rect {
	s.block = map[[2]int16]blockCut{}
	i, j := s.top(s.deckX), s.top(s.deckY)
	limit := s.work + blockWork
	depth := maxDepth
	if s.less == nil {
		depth = 0
	}
	for d := 0; d <= depth; d++ {
		if s.lay(i, j, d, limit) == s.bound(i, j) {
			break
		}
	}
	var out []rect
	s.emitBlock(i, j, 0, 0, &out)
	return out
}

// blockWork bounds the five-block search, in cuts looked at.
const blockWork = 30_000_000

// lay returns the best count of at[i] × at[j] within depth cuts.
func (s *search) lay(i, j int16, depth, limit int) int {
	key := [2]int16{i, j}
	got, known := s.block[key]
	if !known {
		got = s.oneBlock(i, j)
	} else if got.depth >= depth {
		return got.count
	}
	most := s.bound(i, j)
	if depth > 0 && got.count < most {
		s.fiveBlocks(i, j, depth, limit, most, &got)
	}
	got.depth = depth
	if got.count == most {
		got.depth = maxDepth
	}
	s.block[key] = got
	return got.count
}

func (s *search) oneBlock(i, j int16) blockCut {
	x, y := s.at[i], s.at[j]
	plain := int((x / s.long) * (y / s.short))
	turned := int((x / s.short) * (y / s.long))
	return blockCut{count: max(plain, turned), turned: turned > plain}
}

// rasters returns the cut positions of a side that matter: each is the most
// that one part can use when the other has a normal size.
func (s *search) rasters(i int16) []int16 {
	var out []int16
	last := int16(-1)
	for k := i; k >= 0; k-- {
		if v := s.less[i][k]; v != last {
			out = append(out, v)
			last = v
		}
	}
	return out
}

func (s *search) fiveBlocks(i, j int16, depth, limit, most int, got *blockCut) {
	xs, ys := s.rasters(i), s.rasters(j)
	lx, ly := s.less[i], s.less[j]
	for _, x1 := range xs {
		for _, x2 := range xs {
			if x2 < x1 {
				continue
			}
			dx := s.less[x2][x1]
			for _, y1 := range ys {
				b1, b4 := s.bound(x1, ly[y1]), s.bound(x2, y1)
				for _, y2 := range ys {
					if y2 < y1 {
						continue
					}
					if s.spent(limit) {
						return
					}
					dy := s.less[y2][y1]
					b2, b3, b5 := s.bound(lx[x1], ly[y2]), s.bound(dx, dy), s.bound(lx[x2], y2)
					parts := [5]part{{x1, ly[y1], b1}, {lx[x1], ly[y2], b2}, {dx, dy, b3}, {x2, y1, b4}, {lx[x2], y2, b5}}
					if parts[0].i == i && parts[0].j == j || parts[1].i == i && parts[1].j == j ||
						parts[3].i == i && parts[3].j == j || parts[4].i == i && parts[4].j == j || dx == i && dy == j {
						continue
					}
					if n := s.laid(parts, depth-1, limit, got.count); n > got.count {
						*got = blockCut{count: n, cut: true, x1: x1, x2: x2, y1: y1, y2: y2}
						if n == most {
							return
						}
					}
				}
			}
		}
	}
}

// part is one of five blocks with its bound.
type part struct {
	i, j int16
	most int
}

// laid returns the sum over the parts, or 0 as soon as it can't pass floor.
func (s *search) laid(parts [5]part, depth, limit, floor int) int {
	sum := 0
	for _, p := range parts {
		sum += p.most
	}
	for _, p := range parts {
		if sum <= floor {
			return 0
		}
		if p.most > 0 {
			sum += s.lay(p.i, p.j, depth, limit) - p.most
		}
	}
	return sum
}

// emitBlock writes the boxes of at[i] × at[j] with its corner at x, y.
func (s *search) emitBlock(i, j int16, x, y int64, out *[]rect) {
	c, known := s.block[[2]int16{i, j}]
	if !known {
		c = s.oneBlock(i, j)
	}
	if !c.cut {
		w, h := s.long, s.short
		if c.turned {
			w, h = h, w
		}
		for r := int64(0); (r+1)*h <= s.at[j]; r++ {
			for k := int64(0); (k+1)*w <= s.at[i]; k++ {
				*out = append(*out, rect{x + k*w, y + r*h, w, h})
			}
		}
		return
	}
	lx, ly := s.less[i], s.less[j]
	x1, x2, y1, y2 := s.at[c.x1], s.at[c.x2], s.at[c.y1], s.at[c.y2]
	s.emitBlock(c.x1, ly[c.y1], x, y+y1, out)
	s.emitBlock(lx[c.x1], ly[c.y2], x+x1, y+y2, out)
	s.emitBlock(s.less[c.x2][c.x1], s.less[c.y2][c.y1], x+x1, y+y1, out)
	s.emitBlock(c.x2, c.y1, x, y, out)
	s.emitBlock(lx[c.x2], c.y2, x+x2, y, out)
}
