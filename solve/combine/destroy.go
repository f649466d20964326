package combine

// destroy marks runs to remove and returns the items to dive on.
func (x *search) destroy() []int32 {
	runs := x.cur.runs
	x.gone = append(x.gone[:0], make([]bool, len(runs))...)
	clear(x.inset)
	want := 2 + x.rnd.IntN(7)
	if x.rnd.IntN(8) == 0 {
		want += 6
	}
	part := x.seedMissing()
	taken := 0
	take := func(q int) {
		if x.fixed(&runs[q]) {
			return
		}
		x.gone[q] = true
		taken++
		for _, l := range runs[q].lanes {
			x.inset[l.item] = true
		}
	}
	if len(runs) > 0 && part < 0 {
		q := x.rnd.IntN(len(runs))
		for range 2 {
			if o := x.rnd.IntN(len(runs)); x.loss(&runs[o]) > x.loss(&runs[q]) {
				q = o
			}
		}
		take(q)
		part = 0
	}
	for tries := 0; taken < min(want, len(runs)) && tries < 4*want; tries++ {
		if q := x.related(part); q >= 0 {
			take(q)
		}
	}
	var items []int32
	for i, in := range x.inset {
		if in {
			items = append(items, int32(i))
		}
	}
	return items
}

// fixed reports whether a run stays as it is: held at a given length.
func (x *search) fixed(r *run) bool { return r.hold > 0 && x.s.Hold[r.hold-1].Length > 0 }

// mostMissing is how many further items that no run makes join the first.
const mostMissing = 8

// seedMissing puts an item that no run makes into the set, every second time
// there is one, and returns its component; else -1.
func (x *search) seedMissing() int32 {
	if x.rnd.IntN(2) == 0 {
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
	x.inset[pick] = true
	for i, more := pick+1, 0; i != pick && more < mostMissing; i++ { // others that are left: it may need just them
		if int(i) >= len(x.s.Items) {
			if i = 0; i == pick {
				break
			}
		}
		if x.cur.parts[i] == 0 && x.s.Items[i].Want > 0 && x.rnd.IntN(2) == 0 {
			x.inset[i] = true
			more++
		}
	}
	return 0
}

// related picks a run not yet taken: mostly one that shares an item with the
// set, else one of the same component, now and then any.
func (x *search) related(part int32) int {
	runs := x.cur.runs
	mode := x.rnd.IntN(12)
	pick, seen := -1, 0
	for q := range runs {
		if x.gone[q] || x.fixed(&runs[q]) {
			continue
		}
		ok := mode == 11
		for _, l := range runs[q].lanes {
			ok = ok || mode < 7 && x.inset[l.item] || mode >= 7
		}
		if ok {
			seen++
			if x.rnd.IntN(seen) == 0 {
				pick = q
			}
		}
	}
	return pick
}

// loss is the money of a run that does not end in good pieces.
func (x *search) loss(r *run) float64 {
	s := x.s
	area := 0.0
	for _, l := range r.lanes {
		it := &s.Items[l.item]
		area += float64(s.good(int(l.item), int(l.outs), r.length)) * float64(it.Width) * float64(it.Length)
	}
	return s.cost(r) - area*s.Stocks[r.stock].Price
}
