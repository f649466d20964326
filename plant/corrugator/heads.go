package corrugator

import (
	"math"

	"github.com/flutewright/flutewright/base/quantity"
)

// Moves says which head goes to which position of the next set-up.
type Moves struct {
	Head    []int           // indexed like the targets: the head that serves each
	Longest quantity.Length // decides the time of the set-up
	Total   quantity.Length
}

// HeadMoves assigns heads to targets without one passing another; both rise.
// The longest travel is least, and among such assignments their sum. False
// when there are fewer heads than targets. O(heads × targets), twice.
func HeadMoves(heads, targets []quantity.Length) (Moves, bool) {
	if len(heads) < len(targets) {
		return Moves{}, false
	}
	longest, _ := orderedMatch(heads, targets, math.MaxInt64, func(a, b int64) int64 { return max(a, b) })
	total, head := orderedMatch(heads, targets, longest, func(a, b int64) int64 { return a + b })
	return Moves{Head: head, Longest: quantity.Length(longest), Total: quantity.Length(total)}, true
}

// orderedMatch minimises the travels joined by join over all assignments that
// keep the order and use no travel beyond limit.
func orderedMatch(heads, targets []quantity.Length, limit int64, join func(a, b int64) int64) (int64, []int) {
	const none = math.MaxInt64
	h, n := len(heads), len(targets)
	best := make([][]int64, n+1) // best[j][i]: first j targets by the first i heads
	for j := range best {
		best[j] = make([]int64, h+1)
		for i := range best[j] {
			switch {
			case j == 0:
				continue
			case i < j:
				best[j][i] = none
				continue
			}
			best[j][i] = best[j][i-1]
			travel := int64(max(heads[i-1]-targets[j-1], targets[j-1]-heads[i-1]))
			if before := best[j-1][i-1]; before != none && travel <= limit {
				best[j][i] = min(best[j][i], join(before, travel))
			}
		}
	}
	head := make([]int, n)
	for i, j := h, n; j > 0; i-- {
		if i == j || best[j][i] != best[j][i-1] {
			head[j-1] = i - 1
			j--
		}
	}
	return best[n][h], head
}
