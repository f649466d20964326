package webs

import (
	"slices"

	"github.com/flutewright/flutewright/base/quantity"
)

// greedySets is how many sets the greedy search prices at most.
func greedySets(n, most int) int {
	sets := 0
	for k := 1; k <= most; k++ {
		sets += n - k + 1   // adding
		sets += k * (n - k) // one pass of swaps
		sets += k           // dropping
	}
	return sets
}

// greedy adds the width that helps most, tries each swap once, and at the end
// drops widths one at a time: a drop may find a better small set.
func (s *search) greedy() error {
	var set Set
	best := make([]Set, s.p.Most+1)
	for k := 1; k <= s.p.Most; k++ {
		next, err := s.bestOf(s.added(set.Webs))
		if err != nil || next.Webs == nil {
			return err
		}
		swapped, err := s.bestOf(s.swapped(next.Webs))
		if err != nil {
			return err
		}
		if set = next; swapped.Webs != nil && compare(swapped, next) < 0 {
			set = swapped
		}
		best[k] = set
	}
	for k := s.p.Most; k > 1; k-- {
		less, err := s.bestOf(dropped(best[k].Webs))
		if err != nil || less.Webs == nil {
			return err
		}
		if compare(less, best[k-1]) < 0 {
			best[k-1] = less
		}
	}
	return nil
}

// bestOf prices sets and returns the best; one without webs where none could be priced any more.
func (s *search) bestOf(list [][]quantity.Length) (Set, error) {
	var best Set
	for _, webs := range list {
		set, ok, err := s.price(webs)
		if err != nil || !ok {
			return best, err
		}
		if best.Webs == nil || compare(set, best) < 0 {
			best = set
		}
	}
	return best, nil
}

func (s *search) added(webs []quantity.Length) [][]quantity.Length {
	var out [][]quantity.Length
	for _, c := range s.p.Candidates {
		if !slices.Contains(webs, c) {
			out = append(out, slices.Sorted(slices.Values(append(slices.Clone(webs), c))))
		}
	}
	return out
}

func (s *search) swapped(webs []quantity.Length) [][]quantity.Length {
	var out [][]quantity.Length
	for _, less := range dropped(webs) {
		for _, more := range s.added(less) {
			if !slices.Equal(more, webs) {
				out = append(out, more)
			}
		}
	}
	return out
}

func dropped(webs []quantity.Length) [][]quantity.Length {
	var out [][]quantity.Length
	for i := range webs {
		out = append(out, slices.Delete(slices.Clone(webs), i, i+1))
	}
	return out
}
