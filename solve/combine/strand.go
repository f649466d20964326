package combine

import (
	"math"
	"slices"
)

// strand is an item in the programme of the bound, with the rows it has there.
//
// A lane that makes g good pieces of an item earns, in an "enough" row,
//
//	min(g, least)/least
//
// of the 1 that is needed, and in each of its count rows what the row's counter says of g.
// Where pieces beyond the least are worth making, a "wanted" row counts them to Want.
type strand struct {
	item            int32
	least, want     float64
	counted, wanted bool
	fixed           float64 // money whatever is done
	short           float64 // reduced cost of a piece short, above 0 where wanted
	enough, met     int     // rows, -1 without
	counters        []counter
	profiles        []profile
}

// counter is a function of the pieces that a lane makes, rising in steps, with
// the law that lanes whose pieces sum to the least earn at least 1 in all: a
// dual feasible function turned to covering. It earns 1 from the least on.
type counter struct {
	row    int
	from   []int64          // pieces at which it rises, ascending
	earned []float64        // below the first, from the first on, …
	links  map[int32][]link // by partner: what lanes beside it earn less
	price  float64          // present dual of the row
}

// counts is the counter of a degree k,
//
//	w_k(g) = min(⌊k·g/least⌋ + 1, k + 1)/(k + 1).
//
// With r lanes that sum to least, Σ⌊k·gᵣ/least⌋ > k − r, so Σ(⌊k·gᵣ/least⌋ + 1) ≥
// k + 1 (after Fekete & Schepers, Mathematical Programming 91 (2001) 11–31).
// Degree 1 says: one run that finishes the item, or two that do not.
func counts(least, k int64) counter {
	c := counter{earned: []float64{1 / float64(k+1)}}
	for j := int64(1); j <= k; j++ {
		c.from = append(c.from, ceil(j*least, k))
		c.earned = append(c.earned, float64(j+1)/float64(k+1))
	}
	return c
}

// at is what g pieces earn.
func (c *counter) at(g int64) float64 {
	k := 0
	for k < len(c.from) && g >= c.from[k] {
		k++
	}
	return c.earned[k]
}

// degrees is the number of counters that an item begins with.
const degrees = 3

// profile is what a lane of some strips earns by the run's length: pieces of
// straight lines, the same for all duals but for their heights.
type profile struct {
	from  int64 // least length of a run with the lane
	top   int64 // greatest
	steps []step
	lines []line // one for each step, under the present duals
	worth float64
}

// step begins a stretch of lengths on which the count rows earn the same.
type step struct {
	at       int64
	pieces   int64   // the fewest on the stretch
	full     bool    // the item is finished
	met      bool    // what is wanted is made
	barred   bool    // neither finished nor can it be by another run
	rate     float64 // pieces by length
	offset   float64 // pieces at length 0
	overFrom float64 // pieces that cost as over are those above this; +Inf below want
}

// line is a straight line over the length.
type line struct{ at, slope float64 }

// profileOf lists the stretches of an item's lane of a strips.
func (s *shop) profileOf(n *need, t *strand, a int64) profile {
	it := &s.Items[t.item]
	c, k := it.Length, s.Line.Rejects
	p := profile{from: max(s.Line.RunLeast, (k+1)*c), top: (it.Most/a+k+1)*c - 1}
	last := max(0, n.most[t.item]-s.smallest(t.item)) // more than this without finishing bars the item for ever
	if n.parts[t.item] < 2 {
		last = 0
	}
	begin := []int64{p.from}
	add := func(g int64) {
		if x := (ceil(g, a) + k) * c; g > 0 && x > p.from && x <= p.top {
			begin = append(begin, x)
		}
	}
	add(it.Least)
	add(it.Want)
	if t.counted {
		add(last/a*a + 1) // the first cut too many
		for q := range t.counters {
			for _, g := range t.counters[q].from {
				add(g)
			}
		}
	}
	slices.Sort(begin)
	for _, x := range slices.Compact(begin) {
		g := a * (x/c - k)
		st := step{at: x, pieces: g, full: g >= it.Least, met: g >= it.Want, rate: float64(a) / float64(c), offset: -float64(a * k), overFrom: math.Inf(1)}
		st.barred = !st.full && g > last
		if st.met { // a run makes up to one cut less than its length says
			st.overFrom = float64(it.Want) + float64(a)
		}
		p.steps = append(p.steps, st)
	}
	p.lines = make([]line, len(p.steps))
	return p
}

// price sets the lines of a strand's profiles under duals by row.
func (t *strand) price(y []float64, over float64) {
	for c := range t.counters {
		t.counters[c].price = y[t.counters[c].row]
	}
	for q := range t.profiles {
		p := &t.profiles[q]
		for k := range p.steps {
			st, l := &p.steps[k], &p.lines[k]
			*l = line{}
			if t.counted {
				if d := y[t.enough]; st.full {
					l.at += d
				} else {
					l.at += d * st.offset / t.least
					l.slope += d * st.rate / t.least
				}
				for c := range t.counters {
					if d := t.counters[c].price; d > 0 {
						l.at += d * t.counters[c].at(st.pieces)
					}
				}
			}
			if t.wanted {
				if d := y[t.met]; st.met {
					l.at += d
				} else {
					l.at += d * st.offset / t.want
					l.slope += d * st.rate / t.want
				}
			}
			if st.met && over > 0 {
				l.at -= over * (st.offset - st.overFrom)
				l.slope -= over * st.rate
			}
		}
	}
}

// end is the greatest length of a stretch.
func (p *profile) end(k int) int64 {
	if k+1 < len(p.steps) {
		return p.steps[k+1].at - 1
	}
	return p.top
}

// reach sets worth: the most that the lane earns above a price for each unit of length.
func (p *profile) reach(price float64) {
	p.worth = math.Inf(-1)
	for k := range p.steps {
		if st := &p.steps[k]; !st.barred {
			l := p.lines[k]
			at := l.slope - price
			end := st.at
			if at > 0 {
				end = p.end(k)
			}
			p.worth = max(p.worth, l.at+at*float64(end))
		}
	}
}

// bare is the bound of sheets without any trim, loss or time: the least number
// of each item at the price of its cheapest kind.
func (s *shop) bare(items []int32) float64 {
	sum := 0.0
	for _, i := range items {
		it := &s.Items[i]
		least := math.Inf(1)
		for _, k := range it.Kinds {
			for _, st := range s.byKind[k] {
				least = min(least, s.Stocks[st].Price)
			}
		}
		if !math.IsInf(least, 1) {
			sum += least * float64(it.Width) * float64(it.Length) * float64(max(0, it.Least))
		}
	}
	return sum * (1 - 1e-9)
}
