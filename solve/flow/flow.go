// Package flow finds the most that can be sent from sources to sinks over
// limited ways.
//
// Theory: Ford & Fulkerson, "Maximal flow through a network", Canadian Journal
// of Mathematics 8 (1956), 399–404, with the shortest augmenting paths of Edmonds
// & Karp, "Theoretical improvements in algorithmic efficiency for network flow
// problems", Journal of the ACM 19(2) (1972), 248–264.
package flow

// Transport is a flow between two sides. Way[i][j] limits what source i may
// send to sink j; 0 closes the way. All figures are whole and not negative.
type Transport struct {
	Supply []int64
	Demand []int64
	Way    [][]int64 // indexed like Supply, then like Demand
}

// Most returns the greatest total that the sources can send, and what goes over
// each way, indexed like Way. It is whole, as all limits are. Complexity
// O(n · m²) in nodes and ways, far less where one side is short.
func Most(t Transport) (total int64, sent [][]int64) {
	s := newSearch(t)
	for s.path() {
		total += s.augment()
	}
	return total, s.sent
}

// search keeps what is left of every limit. Nodes: sources first, sinks behind.
type search struct {
	t      Transport
	supply []int64
	demand []int64
	sent   [][]int64
	from   []int // node before on the path found; -1 begins, -2 not reached
	end    int   // sink that the path ends in
}

func newSearch(t Transport) *search {
	s := &search{t: t, supply: append([]int64(nil), t.Supply...), demand: append([]int64(nil), t.Demand...)}
	s.sent = make([][]int64, len(t.Supply))
	for i := range s.sent {
		s.sent[i] = make([]int64, len(t.Demand))
	}
	s.from = make([]int, len(t.Supply)+len(t.Demand))
	return s
}

// path finds a shortest way on which something more can be sent, breadth first.
func (s *search) path() bool {
	n := len(s.t.Supply)
	var queue []int
	for k := range s.from {
		s.from[k] = -2
		if k < n && s.supply[k] > 0 {
			s.from[k] = -1
			queue = append(queue, k)
		}
	}
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		if at >= n {
			if s.demand[at-n] > 0 {
				s.end = at
				return true
			}
			for i := range n {
				if s.from[i] == -2 && s.sent[i][at-n] > 0 {
					s.from[i] = at
					queue = append(queue, i)
				}
			}
			continue
		}
		for j := range s.demand {
			if s.from[n+j] == -2 && s.sent[at][j] < s.t.Way[at][j] {
				s.from[n+j] = at
				queue = append(queue, n+j)
			}
		}
	}
	return false
}

// augment sends what the path found takes.
func (s *search) augment() int64 {
	n := len(s.t.Supply)
	most := s.demand[s.end-n]
	at := s.end
	for s.from[at] != -1 {
		before := s.from[at]
		if at >= n {
			most = min(most, s.t.Way[before][at-n]-s.sent[before][at-n])
		} else {
			most = min(most, s.sent[at][before-n])
		}
		at = before
	}
	most = min(most, s.supply[at])
	s.supply[at] -= most
	s.demand[s.end-n] -= most
	for at = s.end; s.from[at] != -1; at = s.from[at] {
		if before := s.from[at]; at >= n {
			s.sent[before][at-n] += most
		} else {
			s.sent[at][before-n] -= most
		}
	}
	return most
}
