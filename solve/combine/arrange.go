package combine

import "math"

// exactStocks is the number of stocks in use up to which their sequence is exact.
const exactStocks = 10

// arrange puts the stocks in use into the sequence whose changes cost least,
// after the front's last stock: exactly where they are few (Held & Karp, SIAM
// Journal 10 (1962) 196–210, from memory), else kinds in blocks by price and each
// block wide to narrow. Runs on one stock follow each other. It returns the
// sequence and what its changes cost.
func (s *shop) arrange(on []int32) ([]int, float64) {
	var used []int
	for _, kind := range s.order() {
		list := s.byKind[kind]
		for k := len(list) - 1; k >= 0; k-- {
			if on[list[k]] > 0 {
				used = append(used, list[k])
			}
		}
	}
	cost := s.changes(on)
	if len(used) > exactStocks || len(used) < 2 || cost == 0 {
		return used, cost
	}
	if list, best := s.shortest(used); best < cost*(1-1e-12) {
		return list, best
	}
	return used, cost
}

// shortest is the cheapest path over the stocks by dynamic programming on subsets.
func (s *shop) shortest(used []int) ([]int, float64) {
	n := len(used)
	best := make([]float64, n<<n)
	from := make([]int8, n<<n)
	for k := range best {
		best[k] = math.Inf(1)
	}
	at := func(set, last int) int { return set*n + last }
	for k, st := range used {
		best[at(1<<k, k)] = 0
		if s.last >= 0 {
			best[at(1<<k, k)] = s.change(&s.Stocks[s.last], &s.Stocks[st])
		}
	}
	for set := 1; set < 1<<n; set++ {
		for last := range n {
			v := best[at(set, last)]
			if math.IsInf(v, 1) {
				continue
			}
			for next := range n {
				if set&(1<<next) != 0 {
					continue
				}
				to := at(set|1<<next, next)
				if w := v + s.change(&s.Stocks[used[last]], &s.Stocks[used[next]]); w < best[to]-1e-12 {
					best[to], from[to] = w, int8(last)
				}
			}
		}
	}
	set := 1<<n - 1
	last := 0
	for k := range n {
		if best[at(set, k)] < best[at(set, last)] {
			last = k
		}
	}
	cost := best[at(set, last)]
	list := make([]int, n)
	for k := n - 1; k >= 0; k-- {
		list[k] = used[last]
		set, last = set&^(1<<last), int(from[at(set, last)])
	}
	return list, cost
}
