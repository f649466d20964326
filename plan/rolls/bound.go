package rolls

import (
	"math"
	"slices"

	"github.com/flutewright/flutewright/solve/flow"
)

// bound is what no naming of rolls betters on a shelf.
type bound struct {
	uncovered int64
	cost      float64
}

// bounds works out the least uncovered metres and, where all can be covered, the
// least cost: every stretch of a lane is begun by a mount unless a roll stands
// there, and takes at least as many rolls as the longest ones it might have.
func (t *task) bounds() bound {
	tr := flow.Transport{Way: make([][]int64, len(t.rolls))}
	want := int64(0)
	for _, d := range t.runs {
		all, rate := int64(0), 0.0
		for _, c := range d.cells {
			all += c.want
			rate = max(rate, c.rate)
		}
		want += all
		tr.Demand = append(tr.Demand, all)
		for r, p := range t.rolls {
			way := int64(0)
			if !p.from.After(d.at) && t.mountable(p) {
				way = int64(math.Ceil(d.length * rate))
			}
			tr.Way[r] = append(tr.Way[r], way)
		}
	}
	for _, p := range t.rolls {
		tr.Supply = append(tr.Supply, p.length)
	}
	total, _ := flow.Most(tr)
	b := bound{uncovered: want - total}
	if b.uncovered <= 0 {
		b.cost = t.leastCost()
	}
	return b
}

// mountable reports whether the roll is long enough for a stand, or is on one.
func (t *task) mountable(p piece) bool { return !p.rest || p.length >= t.buttMin || p.lane >= 0 }

func (t *task) leastCost() float64 {
	var lengths []int64
	standing := map[int]bool{}
	for _, p := range t.rolls {
		if t.mountable(p) {
			lengths = append(lengths, p.length)
		}
		if p.lane >= 0 {
			standing[p.lane] = true
		}
	}
	slices.Sort(lengths)
	slices.Reverse(lengths)
	mounts, splices := 0, 0
	for l := range t.lanes {
		for _, want := range t.stretches(l) {
			n := 0
			for sum := int64(0); sum < want && n < len(lengths); n++ {
				sum += lengths[n]
			}
			mounts += n
			splices += n - 1
		}
		if standing[l] {
			mounts--
		}
	}
	return float64(mounts)*t.handling + float64(splices)*float64(t.splice)/metre*t.perMetre
}

// stretches are the metres of paper that a lane draws without another paper between.
func (t *task) stretches(lane int) []int64 {
	var out []int64
	for _, d := range t.runs {
		for _, c := range d.cells {
			switch {
			case c.lane != lane:
			case len(out) > 0 && (c.hot || c.kept):
				out[len(out)-1] += c.want
			default:
				out = append(out, c.want)
			}
		}
	}
	return out
}
