package cells

import (
	"fmt"
	"slices"
	"strings"
)

// Nearest returns the known word that a slip of the pen is most likely to have
// meant: the one with the fewest letters to change, insert, drop or swap, at
// most a third of the word (edit distance of Damerau 1964, in the restricted
// form that swaps a pair only once).
func Nearest(given string, known []string) (string, bool) {
	best, at := len([]rune(given))/3+1, ""
	for _, k := range known {
		if d := distance(strings.ToLower(given), strings.ToLower(k), best); d < best || d == best && at == "" {
			best, at = d, k
		}
	}
	return at, at != ""
}

// distance counts edits from a to b; above limit it returns limit+1.
func distance(a, b string, limit int) int {
	x, y := []rune(a), []rune(b)
	if len(x)-len(y) > limit || len(y)-len(x) > limit || len(x) > 80 || len(y) > 80 {
		return limit + 1
	}
	before, last, now := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(x); i++ {
		now[0] = i
		for j := 1; j <= len(y); j++ {
			change := last[j-1]
			if x[i-1] != y[j-1] {
				change++
			}
			now[j] = min(change, last[j]+1, now[j-1]+1)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				now[j] = min(now[j], before[j-2]+1)
			}
		}
		before, last, now = last, now, before
	}
	return min(last[len(y)], limit+1)
}

// Known says what is known instead of an unknown code: the nearest, and all of
// them where they are few.
func Known(given, plural string, known []string) string {
	if len(known) == 0 {
		return "there are no " + plural + " yet"
	}
	said := fmt.Sprintf("%d %s are known", len(known), plural)
	if len(known) <= 12 {
		all := slices.Clone(known)
		slices.Sort(all)
		said = "known: " + strings.Join(all, ", ")
	}
	if near, ok := Nearest(given, known); ok {
		return "nearest: " + near + "; " + said
	}
	return said
}
