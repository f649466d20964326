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
	bounds       []int32   // of at[i] × at[j], −1: not yet known
	topOf        []int16   // top of small sizes
}

// rect is one box on the grid's scale.
type rect struct{ x, y, w, h int64 }

func newGrid(p Problem) *grid {
	u := gcd(gcd(p.DeckX, p.DeckY), gcd(p.BoxX, p.BoxY))
	g := &grid{deckX: p.DeckX / u, deckY: p.DeckY / u, unit: u}
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
	if reach < 1<<16 {
		g.topOf = make([]int16, reach+1)
		k := 0
		for v := range g.topOf {
			if k+1 < len(g.at) && g.at[k+1] <= int64(v) {
				k++
			}
			g.topOf[v] = int16(k)
		}
	}
	if len(g.at) <= maxSums {
		g.bounds = make([]int32, len(g.at)*len(g.at))
		for i := range g.bounds {
			g.bounds[i] = -1
		}
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
	if v < int64(len(g.topOf)) {
		return g.topOf[v]
	}
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
	if g.bounds == nil {
		return boundOf(g.at[i], g.at[j], g.long, g.short)
	}
	at := int(i)*len(g.at) + int(j)
	if g.bounds[at] < 0 {
		g.bounds[at] = int32(boundOf(g.at[i], g.at[j], g.long, g.short))
	}
	return int(g.bounds[at])
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
