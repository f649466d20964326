package combine

import "slices"

// destroy marks runs to remove and returns the items to dive on.
func (x *search) destroy() []int32 {
	runs := x.cur.runs
	if !x.indexed {
		x.index()
	}
	x.gone = append(x.gone[:0], make([]bool, len(runs))...)
	for _, i := range x.set {
		x.inset[i] = false
	}
	x.set = x.set[:0]
	want := 2 + x.rnd.IntN(7)
	if x.rnd.IntN(8) == 0 {
		want += 6
	}
	taken := 0
	take := func(q int) {
		if x.fixed(q) {
			return
		}
		x.gone[q] = true
		taken++
		for _, l := range runs[q].lanes {
			x.join(l.item)
		}
	}
	if pick := x.seedMissing(); pick >= 0 {
		for range partnersTaken {
			if q := x.partnered(pick); q >= 0 {
				take(q)
			}
		}
	} else if len(x.free) > 0 {
		take(x.free[x.rnd.IntN(len(x.free))])
	}
	for tries := 0; taken < min(want, len(x.free)) && tries < 4*want; tries++ {
		if q := x.related(); q >= 0 {
			take(q)
		}
	}
	slices.Sort(x.set)
	return x.set
}

// join puts an item into the set.
func (x *search) join(i int32) {
	if !x.inset[i] {
		x.inset[i] = true
		x.set = append(x.set, i)
	}
}

// fixed reports whether a run stays as it is: held at a given length, or not this search's to change.
func (x *search) fixed(q int) bool {
	r := &x.cur.runs[q]
	return r.hold > 0 && x.s.Hold[r.hold-1].Length > 0 || r.owner != mine
}

// mostMissing is how many further items that no run makes join the first.
const mostMissing = 8

// seedMissing puts an item that no run makes into the set, every second time
// there is one. It returns the item, -1 where it did not.
func (x *search) seedMissing() int32 {
	if x.rnd.IntN(2) == 0 || x.halved {
		return -1
	}
	seen, pick := 0, int32(-1)
	for i := range x.s.Items {
		if x.cur.parts[i] == 0 && x.s.Items[i].Want > 0 {
			seen++
			if x.rnd.IntN(seen) == 0 {
				pick = int32(i)
			}
		}
	}
	if pick < 0 {
		return -1
	}
	x.join(pick)
	for i, more := pick+1, 0; i != pick && more < mostMissing; i++ { // others that are left: it may need just them
		if int(i) >= len(x.s.Items) {
			if i = 0; i == pick {
				break
			}
		}
		if x.cur.parts[i] == 0 && x.s.Items[i].Want > 0 && x.rnd.IntN(2) == 0 {
			x.join(i)
			more++
		}
	}
	return pick
}

// related picks a run not yet taken: mostly one that shares an item with the
// set, else any. It returns -1 where the one drawn may not be taken.
func (x *search) related() int {
	if x.rnd.IntN(12) >= 7 {
		if q := x.free[x.rnd.IntN(len(x.free))]; !x.gone[q] {
			return q
		}
		return -1
	}
	pick, seen := -1, 0
	for _, i := range x.set {
		for _, q := range x.holders[x.at[i]:x.at[i+1]] {
			if x.gone[q] || x.fixed(int(q)) {
				continue
			}
			seen++
			if x.rnd.IntN(seen) == 0 {
				pick = int(q)
			}
		}
	}
	return pick
}

// index lists the runs that may be removed, and those that hold each item.
func (x *search) index() {
	n := len(x.s.Items)
	x.free = x.free[:0]
	for q := range x.cur.runs {
		if !x.fixed(q) {
			x.free = append(x.free, q)
		}
	}
	x.at = append(x.at[:0], make([]int32, n+2)...)
	total := 0
	for q := range x.cur.runs {
		for _, l := range x.cur.runs[q].lanes {
			x.at[l.item+2]++
			total++
		}
	}
	for i := range n {
		x.at[i+2] += x.at[i+1]
	}
	x.holders = append(x.holders[:0], make([]int32, total)...)
	for q := range x.cur.runs {
		for _, l := range x.cur.runs[q].lanes {
			x.holders[x.at[l.item+1]] = int32(q)
			x.at[l.item+1]++
		}
	}
	x.indexed = true
}
