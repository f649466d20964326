package pack

import (
	"context"
	"slices"
	"sort"
)

// grid is the problem on its normal positions: every layout can be pushed
// towards the origin until each edge is a sum of box sides, so only such sums
// matter as sizes and cuts. at holds the sums, rising from 0; sizes of pieces
// are indices into it.
type grid struct {
	deckX, deckY int64 // common factor taken out, long and short side of the box
	long, short  int64
	unit         int64
	swapped      bool // the problem's BoxX is the short side
	at           []int64
	less         [][]int16 // less[i][j]: index of the greatest sum not above at[i] − at[j]
	bounds       map[[2]int16]int
}

// rect is one box on the grid's scale.
type rect struct{ x, y, w, h int64 }

func newGrid(p Problem) *grid {
	u := gcd(gcd(p.DeckX, p.DeckY), gcd(p.BoxX, p.BoxY))
	g := &grid{deckX: p.DeckX / u, deckY: p.DeckY / u, unit: u, bounds: map[[2]int16]int{}}
	g.long, g.short = max(p.BoxX, p.BoxY)/u, min(p.BoxX, p.BoxY)/u
	g.swapped = p.BoxX < p.BoxY
	reach := max(g.deckX, g.deckY)
	seen := map[int64]bool{}
	for a := int64(0); a <= reach; a += g.long {
		for b := a; b <= reach; b += g.short {
			seen[b] = true
		}
	}
	for v := range seen {
		g.at = append(g.at, v)
	}
	slices.Sort(g.at)
	if len(g.at) <= maxSums {
		g.less = make([][]int16, len(g.at))
		for i := range g.at {
			g.less[i] = make([]int16, i+1)
			for j := range i + 1 {
				g.less[i][j] = g.top(g.at[i] - g.at[j])
			}
		}
	}
	return g
}

// maxSums is the greatest number of normal positions that the recursive searches take.
const maxSums = 600

// top returns the index of the greatest sum not above v ≥ 0.
func (g *grid) top(v int64) int16 {
	return int16(sort.Search(len(g.at), func(i int) bool { return g.at[i] > v }) - 1)
}

// places turns boxes on the grid into places of the problem.
func (g *grid) places(boxes []rect) []Place {
	out := make([]Place, len(boxes))
	for i, b := range boxes {
		plain := b.w == g.long
		if g.swapped {
			plain = b.w == g.short
		}
		out[i] = Place{b.x * g.unit, b.y * g.unit, !plain}
	}
	slices.SortFunc(out, func(a, b Place) int {
		if a.Y != b.Y {
			return int(max(-1, min(1, a.Y-b.Y)))
		}
		return int(max(-1, min(1, a.X-b.X)))
	})
	return out
}

// bound returns the bound of the piece at[i] × at[j].
func (g *grid) bound(i, j int16) int {
	if i < j {
		i, j = j, i
	}
	key := [2]int16{i, j}
	n, known := g.bounds[key]
	if !known {
		n = boundOf(g.at[i], g.at[j], g.long, g.short)
		g.bounds[key] = n
	}
	return n
}

// search is one Solve on a grid.
type search struct {
	*grid
	ctx    context.Context
	budget int
	work   int
	over   bool // the L search ran into its limit
	block  map[[2]int16]blockCut
	piece  map[lpiece]*pieceState
}

// spent counts one step and says whether the search must end.
func (s *search) spent(limit int) bool {
	s.work++
	return s.work > limit || s.work&0xfff == 0 && s.ctx.Err() != nil
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
