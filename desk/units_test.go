package desk_test

import (
	"errors"
	"sync"
	"testing"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
)

// TestUnitNumbersAreGivenOnce: ranges never overlap, a second print is a copy
// with the same serials, and more units are other units.
func TestUnitNumbersAreGivenOnce(t *testing.T) {
	h := demoHouse(t)
	a, b := ident.NewRelease("J1001", "", ""), ident.NewRelease("J1002", "", "")
	first, err := h.NumberUnits(t.Context(), a, 24, "desk")
	if err != nil || first.Copy || first.First < 1 {
		t.Fatal(first, err)
	}
	other, err := h.NumberUnits(t.Context(), b, 10, "desk")
	if err != nil || other.First != first.First+24 {
		t.Fatal(other, err)
	}
	again, err := h.NumberUnits(t.Context(), a, 24, "desk")
	if err != nil || !again.Copy || again.First != first.First {
		t.Error(again, err)
	}
	more, err := h.NumberUnits(t.Context(), a, 25, "desk")
	if err != nil || more.Copy || more.First != other.First+10 {
		t.Error(more, err)
	}
	if _, err := h.NumberUnits(t.Context(), ident.NewRelease("none", "", ""), 1, "desk"); !errors.Is(err, fault.NotFound) {
		t.Error(err)
	}
	if _, err := h.NumberUnits(t.Context(), a, 0, "desk"); !errors.Is(err, fault.Invalid) {
		t.Error(err)
	}
}

// TestTwoDesksNumberAtOnce: whoever comes second takes the next range.
func TestTwoDesksNumberAtOnce(t *testing.T) {
	h := demoHouse(t)
	var mu sync.Mutex
	taken := map[int64]string{}
	var all sync.WaitGroup
	for _, l := range []string{"J1001", "J1002", "J1003", "J1004", "J1005", "J1006"} {
		all.Go(func() {
			n, err := h.NumberUnits(t.Context(), ident.NewRelease(l, "", ""), 7, "desk")
			if err != nil {
				t.Error(err)
				return
			}
			mu.Lock()
			defer mu.Unlock()
			for u := n.First; u < n.First+7; u++ {
				if taken[u] != "" {
					t.Errorf("%d is given to %s and %s", u, taken[u], l)
				}
				taken[u] = l
			}
		})
	}
	all.Wait()
	if len(taken) != 42 {
		t.Errorf("%d numbers given, 42 asked for", len(taken))
	}
}
