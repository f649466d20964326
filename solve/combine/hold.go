package combine

import "slices"

// legal reports whether these lanes may stand on a stock at all, whatever the length.
func (s *shop) legal(stock int32, lanes []lane) bool {
	if len(lanes) == 0 || len(lanes) > s.Line.Orders || stock < 0 || int(stock) >= len(s.Stocks) {
		return false
	}
	st := &s.Stocks[stock]
	used, outs, marks, class := int64(0), 0, 0, 0
	for k, l := range lanes {
		it := &s.Items[l.item]
		if l.outs < 1 || !slices.Contains(it.Kinds, st.Kind) || holds(lanes[:k], l.item) {
			return false
		}
		if class != 0 && it.Class != 0 && class != it.Class || s.apart != nil && s.parted(lanes[:k], l.item) {
			return false
		}
		if it.Class != 0 {
			class = it.Class
		}
		used += int64(l.outs) * it.Width
		outs += int(l.outs)
		marks += int(l.outs) * it.Marks
	}
	trim := st.Width - used
	return trim >= s.Line.TrimLeast && trim <= s.Line.TrimMost && outs <= s.Line.Outs && marks <= s.Line.Marks &&
		!s.bars(lanes, int(stock)) && s.stands(lanes)
}

// holdRuns gives every run of Hold a length and adds it to the plan and the
// need. Runs of from that have the same stock and lanes lend theirs. A run that
// no length fits is marked in unheld. It returns the runs of from that are not used.
func (x *search) holdRuns(from []run) []run {
	s := x.s
	for k := range s.Hold {
		if x.unheld[k] {
			continue
		}
		r := fromRun(&s.Hold[k])
		r.hold = int32(k + 1)
		wish := r.length
		if q := lender(from, &r); q >= 0 {
			if wish == 0 {
				wish = from[q].length
			}
			from = slices.Delete(from, q, q+1)
		}
		if x.unheld[k] = !s.legal(r.stock, r.lanes) || !x.lengthen(&r, wish); !x.unheld[k] {
			x.need.add(s, &r, 1)
			x.cur.add(s, r)
		}
	}
	return from
}

// lender is the place of a run with the lanes and stock of r, and with its length
// where it has one and some run has; -1 where none has its lanes.
func lender(from []run, r *run) int {
	alike := func(exact bool) func(run) bool {
		return func(o run) bool {
			return o.stock == r.stock && sameLanes(o.lanes, r.lanes) && (!exact || o.length == r.length)
		}
	}
	if q := slices.IndexFunc(from, alike(true)); q >= 0 {
		return q
	}
	return slices.IndexFunc(from, alike(false))
}

func sameLanes(a, b []lane) bool {
	if len(a) != len(b) {
		return false
	}
	for _, l := range a {
		if !slices.Contains(b, l) {
			return false
		}
	}
	return true
}

// lengthen gives a held run a length that leaves all its items finishable: the
// fixed one, else the one wished for, else one drawn from those that finish an
// item or take half of what is left. It reports whether there is one.
func (x *search) lengthen(r *run, wish int64) bool {
	s, n := x.s, x.need
	fixed := s.Hold[r.hold-1].Length
	p := pattern{r.stock, r.lanes, s.Line.RunLeast, 0}
	p.least, p.most = s.reach(n, r.lanes)
	p.most = min(p.most, s.capacity(n, int(r.stock)))
	x.dive.n = n
	fits := func(length int64) bool {
		return length >= p.least && length <= p.most && x.dive.keeps(&p, length)
	}
	if fixed > 0 {
		r.length = fixed
		return fits(fixed)
	}
	if wish > 0 && fits(wish) {
		r.length = wish
		return true
	}
	var try []int64
	for _, l := range r.lanes {
		for _, goal := range [3]int64{n.want[l.item], n.least[l.item], n.want[l.item] / 2} {
			at, _ := s.finish(n, l, goal)
			try = append(try, max(at, p.least))
		}
	}
	try = append(try, p.least)
	at := 0
	if x.round > 0 {
		at = x.rnd.IntN(len(try))
	}
	for k := range try {
		if length := try[(at+k)%len(try)]; fits(length) {
			r.length = length
			return true
		}
	}
	return false
}

// adopt puts runs into the plan as far as they are legal and their items stay finishable.
func (x *search) adopt(from []run) {
	s := x.s
	x.dive.n = x.need
	for _, r := range from {
		if !s.legal(r.stock, r.lanes) || r.length < s.Line.RunLeast || r.length > s.capacity(x.need, int(r.stock)) {
			continue
		}
		p := pattern{r.stock, r.lanes, s.Line.RunLeast, r.length}
		open, useful := true, false
		for _, l := range r.lanes {
			open = open && x.need.parts[l.item] > 0 && s.good(int(l.item), int(l.outs), r.length) > 0
			useful = useful || x.need.want[l.item] > 0
		}
		if open && useful && x.dive.keeps(&p, r.length) {
			x.need.add(s, &r, 1)
			x.cur.add(s, r)
		}
	}
}

// mend finishes what the plan has begun and makes what it leaves out, for the
// items given. Where that fails, the free runs of what it cannot finish go, and
// the rest is tried again.
func (x *search) mend(items []int32) {
	s := x.s
	for range 4 {
		var open []int32
		for _, i := range items {
			if x.need.want[i] > 0 && x.need.least[i] > 0 {
				open = append(open, i)
			}
		}
		if len(open) == 0 {
			return
		}
		done := true
		for part := range slices.Chunk(open, chunk) {
			runs, ok := x.dive.dive(x.need, part, 0)
			if ok {
				x.cur.add(s, runs...)
				continue
			}
			done = false
			x.recount()
		}
		if done {
			return
		}
		x.purge()
	}
}

// purge takes out the free runs of items that are begun and not finished, until there are none.
func (x *search) purge() {
	for any := true; any; {
		any = false
		gone := make([]bool, len(x.cur.runs))
		for q := range x.cur.runs {
			for _, l := range x.cur.runs[q].lanes {
				if x.cur.runs[q].hold == 0 && x.cur.made[l.item] < x.s.Items[l.item].Least {
					gone[q], any = true, true
				}
			}
		}
		x.cur.remove(x.s, gone)
	}
	x.recount()
}

// recount sets the need to what the current plan leaves.
func (x *search) recount() {
	x.need.after(x.s, x.cur)
}

// drop takes runs of Hold back whose items are begun and not finished. It
// reports whether there were any.
func (x *search) drop() bool {
	any := false
	for q := range x.cur.runs {
		r := &x.cur.runs[q]
		if r.hold == 0 {
			continue
		}
		for _, l := range r.lanes {
			if x.cur.made[l.item] < x.s.Items[l.item].Least {
				x.unheld[r.hold-1], any = true, true
			}
		}
	}
	return any
}
