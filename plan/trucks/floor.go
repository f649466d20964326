package trucks

import "github.com/flutewright/flutewright/base/quantity"

// stance is one way to stand units of a footprint in rows across a trailer.
type stance struct {
	across int             // units in a row
	depth  quantity.Length // of a row, gap in it
	side   quantity.Length // of one unit across the trailer
	turned bool
}

// stances are the one or two ways; none where a unit is too wide either way.
func stances(p Parcel, width quantity.Length) []stance {
	var out []stance
	for _, turned := range []bool{false, true} {
		long, side := p.Length, p.Width
		if turned {
			long, side = side, long
		}
		if side <= 0 || side > width {
			continue
		}
		out = append(out, stance{int(width / side), long + gap, side, turned})
		if p.Length == p.Width {
			break
		}
	}
	return out
}

// rows is how many rows of each stance take n units on the least floor.
// It tries every number of rows of the first; the second takes the rest.
func rows(ways []stance, n int) (counts []int, floor quantity.Length) {
	if len(ways) == 0 {
		return nil, 0
	}
	if len(ways) == 1 {
		r := up(n, ways[0].across)
		return []int{r}, ways[0].depth * quantity.Length(r)
	}
	best := []int{0, 0}
	floor = -1
	for first := 0; first <= up(n, ways[0].across); first++ {
		second := up(max(0, n-first*ways[0].across), ways[1].across)
		used := ways[0].depth*quantity.Length(first) + ways[1].depth*quantity.Length(second)
		if floor < 0 || used < floor {
			best, floor = []int{first, second}, used
		}
	}
	return best, floor
}

func up(n, d int) int { return (n + d - 1) / d }

// footprint names units that may share a row.
type footprint struct{ length, width quantity.Length }

// lot is the units of one release that go on a truck.
type lot struct {
	Parcel
	from, units int
}

func (l lot) mass() quantity.Mass {
	m := l.Mass * quantity.Mass(l.units)
	if l.LastMass > 0 && l.from+l.units-1 == l.Units {
		m += l.LastMass - l.Mass
	}
	return m
}

// floorOf is the trailer length that lots stand on: units of one footprint share rows.
func floorOf(lots []lot, width quantity.Length) quantity.Length {
	sum := quantity.Length(0)
	for _, g := range alike(lots) {
		_, floor := rows(stances(g[0].Parcel, width), count(g))
		sum += floor
	}
	return sum
}

// alike parts lots by footprint, in their order.
func alike(lots []lot) [][]lot {
	var out [][]lot
	at := map[footprint]int{}
	for _, l := range lots {
		k := footprint{l.Length, l.Width}
		i, known := at[k]
		if !known {
			i = len(out)
			at[k] = i
			out = append(out, nil)
		}
		out[i] = append(out[i], l)
	}
	return out
}

func count(lots []lot) int {
	n := 0
	for _, l := range lots {
		n += l.units
	}
	return n
}

// places stands lots row by row from the front wall.
func places(lots []lot, width quantity.Length) []Place {
	var out []Place
	x := quantity.Length(0)
	for _, g := range alike(lots) {
		ways := stances(g[0].Parcel, width)
		counts, _ := rows(ways, count(g))
		var queue []Place
		for _, l := range g {
			for k := range l.units {
				queue = append(queue, Place{Release: l.Release, Unit: l.from + k})
			}
		}
		for i, w := range ways {
			for range counts[i] {
				for c := 0; c < w.across && len(queue) > 0; c++ {
					u := queue[0]
					queue = queue[1:]
					u.X, u.Y, u.Turned = x, w.side*quantity.Length(c), w.turned
					out = append(out, u)
				}
				x += w.depth
			}
		}
	}
	return out
}
