package rolls

import (
	"context"
	"math/rand/v2"
	"slices"
)

// oldest takes the rolls as they lie; of the last few the shortest that does
// what the run still wants, or the longest: they must do for every stand.
func oldest(f *follower, d *draw, c *cell, now float64, warm bool) int {
	var few []int
	free := 0
	for r := range f.rolls {
		if f.usable(d, c.lane, r, warm, now) {
			if free++; free > fewRolls {
				return few[0]
			}
			few = append(few, r)
		}
	}
	return f.fitting(few, f.stretchOf(d, c))
}

// fewRolls is the number of rolls from which on they are taken by age alone.
const fewRolls = 4

// closest takes the shortest roll that does the stretch, else the longest.
func closest(f *follower, d *draw, c *cell, now float64, warm bool) int {
	var free []int
	for r := range f.rolls {
		if f.usable(d, c.lane, r, warm, now) {
			free = append(free, r)
		}
	}
	return f.fitting(free, f.stretchOf(d, c))
}

// longest takes the longest roll first.
func longest(f *follower, d *draw, c *cell, now float64, warm bool) int {
	best := -1
	for r := range f.rolls {
		if f.usable(d, c.lane, r, warm, now) && (best < 0 || f.left[r] > f.left[best]) {
			best = r
		}
	}
	return best
}

// stretchOf is what the lane wants from here to where its paper ends.
func (f *follower) stretchOf(d *draw, c *cell) int64 {
	want := c.want
	i := d.place
	for k := range d.cells {
		if &d.cells[k] == c {
			want -= f.begun[k].pos
		}
	}
	for j := i + 1; j < len(f.runs); j++ {
		k := slices.IndexFunc(f.runs[j].cells, func(o cell) bool { return o.lane == c.lane })
		if k < 0 || !f.runs[j].cells[k].hot {
			break
		}
		want += f.runs[j].cells[k].want
	}
	return want
}

// fitting is the shortest of the rolls that does what is wanted, else the longest; -1 of none.
func (f *follower) fitting(list []int, want int64) int {
	best := -1
	for _, r := range list {
		if best < 0 {
			best = r
			continue
		}
		a, b := f.left[r], f.left[best]
		switch {
		case a >= want && (b < want || a < b), a < want && b < want && a > b:
			best = r
		}
	}
	return best
}

// sortOut finds the rolls of a shelf, and returns the least that they can cost.
func (t *task) sortOut(ctx context.Context, rounds int, seed uint64) float64 {
	t.least = t.bounds()
	f := t.newFollower()
	for i, next := range []chooser{oldest, closest, longest} {
		if got := f.follow(nil, next); i == 0 || got.better(&t.best) {
			t.best = got.copied()
		}
	}
	t.lists = t.listsOf(&t.best)
	rng := rand.New(rand.NewPCG(seed, uint64(t.web)))
	for range rounds {
		if t.best.uncovered-t.least.uncovered <= tolerance && t.best.cost <= t.least.cost+1e-9 || ctx.Err() != nil {
			break
		}
		t.change(f, rng)
	}
	return t.least.cost
}

// change tries the best lists with a change or two.
func (t *task) change(f *follower, rng *rand.Rand) {
	lists := make([][]item, len(t.lists))
	for l := range lists {
		lists[l] = slices.Clone(t.lists[l])
	}
	if t.best.uncovered-t.least.uncovered > tolerance && rng.IntN(2) == 0 {
		t.lend(lists, rng)
	} else {
		for range 1 + rng.IntN(2) {
			t.shuffle(lists, rng)
		}
	}
	if got := f.follow(lists, closest); got.better(&t.best) {
		t.best, t.lists = got.copied(), lists
		t.lists = t.listsOf(&t.best)
	}
}

// lend puts a part of a roll with metres left in front of a lane's rolls, or
// between them: as much as is uncovered, or all that would be left.
func (t *task) lend(lists [][]item, rng *rand.Rand) {
	var spare []int
	for r, left := range t.best.left {
		if left > t.splice+tolerance && t.rolls[r].lane < 0 {
			spare = append(spare, r)
		}
	}
	if len(spare) == 0 {
		return
	}
	r := spare[rng.IntN(len(spare))]
	part := t.best.left[r]
	if rng.IntN(3) > 0 {
		part = min(part, t.best.uncovered+int64(rng.IntN(3))*t.splice)
	}
	l := rng.IntN(len(lists))
	at := rng.IntN(len(lists[l]) + 1)
	lists[l] = slices.Insert(lists[l], at, item{r, part})
}

// shuffle moves one item of the lists, exchanges two, sets a roll in that lies
// idle, or turns a limit into none.
func (t *task) shuffle(lists [][]item, rng *rand.Rand) {
	l, m := rng.IntN(len(lists)), rng.IntN(len(lists))
	switch rng.IntN(5) {
	case 0, 1:
		if len(lists[l]) > 0 && len(lists[m]) > 0 {
			i, j := rng.IntN(len(lists[l])), rng.IntN(len(lists[m]))
			lists[l][i], lists[m][j] = lists[m][j], lists[l][i]
		}
	case 2:
		if len(lists[l]) > 0 {
			i := rng.IntN(len(lists[l]))
			it := lists[l][i]
			lists[l] = slices.Delete(lists[l], i, i+1)
			lists[m] = slices.Insert(lists[m], rng.IntN(len(lists[m])+1), it)
		}
	case 3:
		r := rng.IntN(len(t.rolls) + 1)
		if r < len(t.rolls) {
			lists[l] = slices.Insert(lists[l], rng.IntN(len(lists[l])+1), item{roll: r})
		}
	case 4:
		if len(lists[l]) > 0 {
			i := rng.IntN(len(lists[l]))
			if lists[l][i].cap > 0 {
				lists[l][i].cap = 0
			} else {
				lists[l] = slices.Delete(lists[l], i, i+1)
			}
		}
	}
}

// listsOf reads back from the uses which rolls each lane took, and how much of
// each that stood on another lane as well.
func (t *task) listsOf(f *followed) [][]item {
	lists := make([][]item, len(t.lanes))
	apart := map[int]int{} // uses apart of a roll
	for _, u := range f.uses {
		l := t.runs[u.run].cells[u.cell].lane
		if n := len(lists[l]); n > 0 && lists[l][n-1].roll == u.roll {
			lists[l][n-1].cap += u.metres
			continue
		}
		lists[l] = append(lists[l], item{u.roll, u.metres})
		apart[u.roll]++
	}
	for l := range lists {
		for i, it := range lists[l] {
			if apart[it.roll] == 1 {
				lists[l][i].cap = 0
			}
		}
	}
	return lists
}

func (f *followed) copied() followed {
	c := *f
	c.uses, c.left, c.stand = slices.Clone(f.uses), slices.Clone(f.left), slices.Clone(f.stand)
	c.wasted, c.touched = slices.Clone(f.wasted), slices.Clone(f.touched)
	return c
}
