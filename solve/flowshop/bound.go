package flowshop

import (
	"cmp"
	"context"
	"slices"
)

// pairs is the bound of two machines with time lags between them: jobs in the
// order of Johnson's rule, by the lags (Johnson, Naval Research Logistics
// Quarterly 1 (1954) 61–68; Mitten, Management Science 5 (1959) 293–298;
// Lageweg, Lenstra and Rinnooy Kan, Operations Research 26 (1978) 53–67; from
// memory), with the least head before the first and the least tail behind the
// second.
func (s *shop) pairs() int {
	all := make([]int, len(s.times))
	for j := range all {
		all[j] = j
	}
	return newBounder(s).bound(all, make([]int, s.machines), make([]int, s.machines), 0)
}

type bounder struct {
	*shop
	order [][]int // by pair: jobs in the order of the rule
	lags  [][]int // by pair and job: time between the two machines
	sums  [][]int // by job: time before machine i
	pair  [][2]int
}

func newBounder(s *shop) *bounder {
	b := &bounder{shop: s}
	for _, row := range s.times {
		sum := make([]int, s.machines+1)
		for i, t := range row {
			sum[i+1] = sum[i] + t
		}
		b.sums = append(b.sums, sum)
	}
	for u := range s.machines {
		for v := u + 1; v < s.machines; v++ {
			lags, order := make([]int, len(s.times)), make([]int, len(s.times))
			for j := range s.times {
				lags[j], order[j] = b.sums[j][v]-b.sums[j][u+1], j
			}
			first := func(j int) int { return s.times[j][u] + lags[j] }
			last := func(j int) int { return s.times[j][v] + lags[j] }
			slices.SortStableFunc(order, func(x, y int) int {
				ex, ey := first(x) <= last(x), first(y) <= last(y)
				switch {
				case ex != ey && ex:
					return -1
				case ex != ey:
					return 1
				case ex:
					return cmp.Compare(first(x), first(y))
				}
				return cmp.Compare(last(y), last(x))
			})
			b.order, b.lags, b.pair = append(b.order, order), append(b.lags, lags), append(b.pair, [2]int{u, v})
		}
	}
	return b
}

// bound is below the makespan of every sequence that ends machine i's part for
// the jobs already in front at heads[i] and needs tails[i] behind it; free are
// the jobs between. It stops as soon as it reaches stop (0: never).
func (b *bounder) bound(free, heads, tails []int, stop int) int {
	in := make([]bool, len(b.times))
	for _, j := range free {
		in[j] = true
	}
	head, tail := make([]int, b.machines), make([]int, b.machines)
	best := 0
	for i := range b.machines {
		work, least, after := 0, -1, -1
		for _, j := range free {
			work += b.times[j][i]
			h := 0
			for k := range i + 1 { // when j could begin on i, were it next
				h = max(h, heads[k]+b.sums[j][i]-b.sums[j][k])
			}
			t := 0
			for k := i; k < b.machines; k++ {
				t = max(t, tails[k]+b.sums[j][k+1]-b.sums[j][i+1])
			}
			if least < 0 || h < least {
				least = h
			}
			if after < 0 || t < after {
				after = t
			}
		}
		head[i], tail[i] = max(heads[i], least), max(tails[i], after)
		best = max(best, head[i]+work+tail[i])
	}
	for k, p := range b.pair {
		if stop > 0 && best >= stop {
			return best
		}
		a, end := head[p[0]], head[p[1]]
		for _, j := range b.order[k] {
			if in[j] {
				a += b.times[j][p[0]]
				end = max(end, a+b.lags[k][j]) + b.times[j][p[1]]
			}
		}
		best = max(best, end+tail[p[1]])
	}
	return best
}

// branch settles the problem by fixing jobs from both ends, depth first, the
// child with the least bound first; it says whether it has looked at all. The
// best sequence stands in s.
func (s *shop) branch(ctx context.Context, nodes int) bool {
	b := newBounder(s)
	left := nodes
	var walk func(front, back, free, heads, tails []int) bool
	walk = func(front, back, free, heads, tails []int) bool {
		if left--; left < 0 || left%256 == 0 && ctx.Err() != nil {
			return false
		}
		if len(free) == 1 {
			seq := slices.Concat(front, free, reversed(back))
			s.keep(seq, s.span(seq))
			return true
		}
		ahead := b.children(free, heads, tails, true, s.bestSpan)
		behind := b.children(free, heads, tails, false, s.bestSpan)
		list, front0 := ahead, true
		if promise(behind, s.bestSpan) > promise(ahead, s.bestSpan) {
			list, front0 = behind, false
		}
		whole := true
		for _, c := range list {
			if c.bound >= s.bestSpan {
				continue
			}
			rest := without(free, c.job)
			if front0 {
				whole = walk(append(slices.Clone(front), c.job), back, rest, c.times, tails) && whole
			} else {
				whole = walk(front, append(slices.Clone(back), c.job), rest, heads, c.times) && whole
			}
			if left < 0 {
				return false
			}
		}
		return whole
	}
	all := make([]int, len(s.times))
	for j := range all {
		all[j] = j
	}
	return walk(nil, nil, all, make([]int, s.machines), make([]int, s.machines))
}

type child struct {
	job, bound int
	times      []int // heads or tails with the job
}

func (b *bounder) children(free, heads, tails []int, ahead bool, stop int) []child {
	var out []child
	for _, j := range free {
		c := child{job: j, times: make([]int, b.machines)}
		if ahead {
			at := 0
			for i, t := range b.times[j] {
				at = max(at, heads[i]) + t
				c.times[i] = at
			}
			c.bound = b.bound(without(free, j), c.times, tails, stop)
		} else {
			at := 0
			for i := b.machines - 1; i >= 0; i-- {
				at = max(at, tails[i]) + b.times[j][i]
				c.times[i] = at
			}
			c.bound = b.bound(without(free, j), heads, c.times, stop)
		}
		out = append(out, c)
	}
	slices.SortStableFunc(out, func(x, y child) int { return cmp.Compare(x.bound, y.bound) })
	return out
}

// promise is how much a side's bounds cut: those that reach the best span, then their sum.
func promise(list []child, span int) int {
	cut, sum := 0, 0
	for _, c := range list {
		if sum += min(c.bound, span); c.bound >= span {
			cut++
		}
	}
	return cut*1_000_000_000 + sum
}

func without(list []int, j int) []int {
	out := make([]int, 0, len(list))
	for _, x := range list {
		if x != j {
			out = append(out, x)
		}
	}
	return out
}

func reversed(list []int) []int {
	out := slices.Clone(list)
	slices.Reverse(out)
	return out
}
