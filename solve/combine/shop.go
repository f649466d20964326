package combine

import (
	"math"
	"slices"
)

// shop is a problem made ready for the search.
type shop struct {
	*Problem            // with items and limits as Front leaves them
	whole     *Problem  // as it was given
	fixed     float64   // cost of the front, without its last change
	last      int       // stock of the front's last run, -1 without a front
	parts     []int32   // runs that may still hold each item
	begun     []bool    // the front holds the item
	apart     [][]int32 // items that must not stand beside each item; nil where there are none
	unit      float64   // length that counts as 1 in linear programmes
	byKind    [][]int   // stocks of each kind, narrow to wide
	kindOf    [][]int32
	limited   []bool         // stock draws on a scarce resource
	outbid    []bool         // a wider stock of its kind may be the cheaper one
	scarce    []bool         // resource could run out
	barred    map[int64]bool // item and stock that must not meet; nil where there are none
	widest    []int64
	levelTop  int // greatest strips on any level
	missing   float64
	dearest   float64
	kindOrder []int
}

func prepare(p *Problem) *shop {
	s := &shop{whole: p, unit: 1, last: -1}
	s.front(p)
	p = s.Problem
	kinds := 0
	for i := range p.Stocks {
		kinds = max(kinds, p.Stocks[i].Kind+1)
	}
	if len(p.Apart) > 0 {
		s.apart = make([][]int32, len(p.Items))
		for _, a := range p.Apart {
			s.apart[a[0]], s.apart[a[1]] = append(s.apart[a[0]], int32(a[1])), append(s.apart[a[1]], int32(a[0]))
		}
	}
	for i := range p.Items {
		s.unit = max(s.unit, float64(p.Items[i].Length), float64(p.Items[i].Length)*float64(p.Items[i].Want)/4096)
		for _, k := range p.Items[i].Kinds {
			kinds = max(kinds, k+1)
		}
		for _, st := range p.Items[i].Barred {
			if s.barred == nil {
				s.barred = map[int64]bool{}
			}
			s.barred[int64(i)*int64(len(p.Stocks))+int64(st)] = true
		}
	}
	s.byKind = make([][]int, kinds)
	s.widest = make([]int64, kinds)
	s.limited = make([]bool, len(p.Stocks))
	s.kindOf = make([][]int32, kinds)
	for i := range p.Stocks {
		st := &p.Stocks[i]
		s.byKind[st.Kind] = append(s.byKind[st.Kind], i)
		s.widest[st.Kind] = max(s.widest[st.Kind], st.Width)
		s.dearest = max(s.dearest, st.Price*float64(st.Width), st.Rate)
	}
	s.outbid = make([]bool, len(p.Stocks))
	for _, list := range s.byKind {
		slices.SortStableFunc(list, func(a, b int) int {
			return int(min(max(p.Stocks[a].Width-p.Stocks[b].Width, -1), 1))
		})
		for k, a := range list {
			s.outbid[a] = slices.ContainsFunc(list[k+1:], func(b int) bool { return bids(&p.Stocks[a], &p.Stocks[b]) })
		}
	}
	for i := range p.Items {
		for _, k := range p.Items[i].Kinds {
			s.kindOf[k] = append(s.kindOf[k], int32(i))
		}
	}
	s.scarcity()
	for _, n := range p.Line.LevelOuts {
		s.levelTop = max(s.levelTop, n)
	}
	s.missing = 1
	for i := range p.Items {
		it := &p.Items[i]
		s.missing += 4 * s.dearest * (float64(it.Most)*float64(it.Length) + float64(p.Line.RunLeast) + p.Line.RunLoss)
	}
	return s
}

// scarcity finds the resources that could run out: those that hold less than
// all items would draw if each were made one strip at a time, in many runs.
func (s *shop) scarcity() {
	s.scarce = make([]bool, len(s.Limits))
	draw := make([]float64, len(s.Limits))
	for k, list := range s.kindOf {
		most := map[int]float64{}
		for _, st := range s.byKind[k] {
			for _, d := range s.Stocks[st].Draws {
				most[d.Resource] = max(most[d.Resource], d.PerLength)
			}
		}
		for _, i := range list {
			it := &s.Items[i]
			length := float64(it.Most)*float64(it.Length) + manyRuns*float64((1+s.Line.Rejects)*it.Length+s.Line.RunLeast)
			for r, v := range most {
				draw[r] += v * length
			}
		}
	}
	for r := range draw {
		s.scarce[r] = draw[r] > s.Limits[r]
	}
	for i := range s.Stocks {
		for _, d := range s.Stocks[i].Draws {
			s.limited[i] = s.limited[i] || s.scarce[d.Resource]
		}
	}
}

// bids reports whether a run may cost less on the wider of two stocks. On equal
// terms it never does; a lower price, a higher credit or quicker time can.
func bids(narrow, wide *Stock) bool {
	return wide.Price < narrow.Price || wide.Credit > narrow.Credit || wide.Rate < narrow.Rate || wide.Floor < narrow.Floor
}

// manyRuns is more runs than a plan ever gives one item.
const manyRuns = 16

// mostOuts is how many strips of an item fit on a kind at all.
func (s *shop) mostOuts(item int32, kind int) int32 {
	it := &s.Items[item]
	n := min(int64(s.Line.Outs), int64(s.levelTop), (s.widest[kind]-s.Line.TrimLeast)/it.Width)
	if it.Marks > 0 {
		n = min(n, int64(s.Line.Marks/it.Marks))
	}
	return int32(max(n, 0))
}

// need is what is still to be made while runs are being chosen.
type need struct {
	least, want, most []int64
	parts             []int32   // runs that may still hold the item
	touched           []bool    // some run already makes it
	left              []float64 // of each resource
}

func (s *shop) newNeed() *need {
	n := len(s.Items)
	return &need{make([]int64, n), make([]int64, n), make([]int64, n), make([]int32, n), make([]bool, n), make([]float64, len(s.Limits))}
}

func (n *need) reset(s *shop) {
	for i := range s.Items {
		it := &s.Items[i]
		n.least[i], n.want[i], n.most[i], n.touched[i] = it.Least, it.Want, it.Most, false
		n.parts[i] = s.parts[i]
	}
	copy(n.left, s.Limits)
}

// all are the items, in sequence.
func (s *shop) all() []int32 {
	items := make([]int32, len(s.Items))
	for i := range items {
		items[i] = int32(i)
	}
	return items
}

// after sets what a plan leaves to be made.
func (n *need) after(s *shop, p *plan) {
	for i := range s.Items {
		it, made := &s.Items[i], p.made[i]
		n.least[i], n.want[i], n.most[i] = it.Least-made, it.Want-made, it.Most-made
		n.parts[i], n.touched[i] = s.parts[i]-p.parts[i], p.parts[i] > 0
	}
	if copy(n.left, s.Limits) == 0 {
		return
	}
	for k := range p.runs {
		for _, d := range s.Stocks[p.runs[k].stock].Draws {
			n.left[d.Resource] -= d.PerLength * float64(p.runs[k].length)
		}
	}
}

// add counts a run (sign 1) or takes it back (sign -1).
func (n *need) add(s *shop, r *run, sign int64) {
	for _, l := range r.lanes {
		g := sign * s.good(int(l.item), int(l.outs), r.length)
		n.least[l.item] -= g
		n.want[l.item] -= g
		n.most[l.item] -= g
		if n.parts[l.item] < math.MaxInt32/2 {
			n.parts[l.item] -= int32(sign)
		}
		n.touched[l.item] = true
	}
	for _, d := range s.Stocks[r.stock].Draws {
		n.left[d.Resource] -= float64(sign) * d.PerLength * float64(r.length)
	}
}

// reach is the range of lengths that a run with these lanes may have now;
// none if least > most. A lane makes at least one piece, stays under its item's
// greatest number, and finishes its item if this is the last run allowed.
func (s *shop) reach(n *need, lanes []lane) (least, most int64) {
	least, most = s.Line.RunLeast, math.MaxInt64
	k := s.Line.Rejects
	for _, l := range lanes {
		c, a := s.Items[l.item].Length, int64(l.outs)
		if n.parts[l.item] < 1 {
			return 1, 0
		}
		least = max(least, (k+1)*c)
		if n.parts[l.item] == 1 && n.least[l.item] > 0 {
			least = max(least, (ceil(n.least[l.item], a)+k)*c)
		}
		if n.most[l.item] < 0 {
			return 1, 0
		}
		most = min(most, (n.most[l.item]/a+k+1)*c-1)
	}
	return least, most
}

// finish is the range of lengths that completes a lane's item.
func (s *shop) finish(n *need, l lane, from int64) (least, most int64) {
	c, a, k := s.Items[l.item].Length, int64(l.outs), s.Line.Rejects
	return (ceil(max(from, 0), a) + k) * c, (n.most[l.item]/a+k+1)*c - 1
}

func ceil(a, b int64) int64 { return (a + b - 1) / b }

// capacity is the greatest length that the limited resources leave for a stock.
func (s *shop) capacity(n *need, stock int) int64 {
	most := int64(math.MaxInt64)
	for _, d := range s.Stocks[stock].Draws {
		if d.PerLength > 0 {
			most = min(most, int64(math.Floor(max(0, n.left[d.Resource])/d.PerLength)))
		}
	}
	return most
}

// bars reports whether some lane must not be cut from the stock.
func (s *shop) bars(lanes []lane, stock int) bool {
	if s.barred == nil {
		return false
	}
	for _, l := range lanes {
		if s.barred[int64(l.item)*int64(len(s.Stocks))+int64(stock)] {
			return true
		}
	}
	return false
}
