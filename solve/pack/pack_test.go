package pack

import (
	"context"
	"testing"
)

// published are deck and box, and the optimum.
var published = []struct {
	x, y, l, w int64
	five       int // five blocks reach
	optimum    int
}{
	{22, 16, 5, 3, 23, 23}, {46, 34, 11, 6, 23, 23}, {86, 82, 15, 11, 42, 42}, {42, 31, 9, 4, 35, 35},
	{52, 33, 9, 4, 47, 47}, {87, 47, 7, 6, 97, 97}, {100, 64, 17, 10, 36, 36}, {32, 22, 5, 4, 34, 34},
	{40, 26, 7, 4, 36, 36}, {53, 26, 7, 4, 48, 48}, {81, 39, 9, 7, 49, 49}, {49, 28, 8, 3, 56, 57},
	{63, 44, 8, 5, 68, 69}, {67, 37, 11, 3, 74, 75}, {74, 49, 11, 4, 81, 82}, {106, 59, 13, 5, 95, 96},
	{74, 46, 7, 5, 96, 97}, {61, 38, 10, 3, 76, 77}, {13, 10, 3, 2, 21, 21}, {1200, 800, 176, 135, 38, 38},
	{300, 200, 21, 19, 149, 149}, {1600, 1230, 137, 95, 147, 147}, {1200, 800, 400, 300, 8, 8},
	{1200, 800, 300, 200, 16, 16}, {1219, 1016, 406, 305, 9, 9}, {1200, 800, 395, 295, 8, 8},
	{1140, 1140, 400, 300, 9, 9}, {1200, 800, 260, 190, 18, 18}, {1200, 800, 330, 240, 10, 10},
	{28, 17, 5, 3, 31, 31}, {25, 19, 4, 3, 39, 39},
}

func TestPublished(t *testing.T) {
	for _, c := range published {
		p := Problem{c.x, c.y, c.l, c.w}
		r, err := Solve(context.Background(), p, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if err := Check(p, r.Places); err != nil {
			t.Error(p, err)
		}
		t.Logf("pallet loading | published instance, Dowsland 1984 to Birgin et al. 2005 (from memory); optimum by exact search | %d × %d on %d × %d | %d | %d, bound %d | %d", c.l, c.w, c.x, c.y, c.optimum, r.Count, r.Bound, r.Count-c.optimum)
		if r.Count != c.optimum || r.Bound < c.optimum || r.Optimal && r.Count != c.optimum || len(r.Places) != r.Count {
			t.Error(p, r.Count, r.Bound, r.Optimal, "want", c.optimum)
		}
	}
}

// TestPublishedModules: module sizes of ISO 3394 (abstracts of the 2012 and 2013
// editions) cover the decks of ISO 3676 as their areas say.
func TestPublishedModules(t *testing.T) {
	for _, c := range []struct {
		deckX, deckY, x, y int64
		want               int
	}{
		{1200, 800, 600, 400, 4}, {1200, 1000, 600, 400, 5}, {1200, 1000, 600, 500, 4}, {1100, 1100, 550, 366, 6},
		{1200, 800, 400, 300, 8}, {1200, 800, 300, 200, 16}, {1200, 800, 200, 150, 32}, {1200, 800, 600, 200, 8},
	} {
		p := Problem{c.deckX, c.deckY, c.x, c.y}
		r, err := Solve(context.Background(), p, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if err := Check(p, r.Places); err != nil || r.Count != c.want || !r.Optimal {
			t.Errorf("%v: %d, optimal %v, %v", p, r.Count, r.Optimal, err)
		}
		t.Logf("pallet modules | ISO 3394:2012 modules on ISO 3676 decks; counts by area | %d × %d on %d × %d | %d | %d | %d", c.x, c.y, c.deckX, c.deckY, c.want, r.Count, r.Count-c.want)
	}
}
