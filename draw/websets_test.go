package draw

import (
	"slices"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/quantity"
)

// TestWebSets: dearer stands higher, trim on keeping, widths and money are in the
// plant's units, a set that leaves orders out says so and has no bar, and no mark
// leaves the frame.
func TestWebSets(t *testing.T) {
	in := func(n ...float64) []quantity.Length {
		var out []quantity.Length
		for _, v := range n {
			out = append(out, quantity.Length(v*float64(quantity.Inch)))
		}
		return out
	}
	d := WebSets([]WebSet{
		{Name: "1 width", Webs: in(87), Trim: 900, Keep: 600},
		{Name: "2 widths", Webs: in(71, 87), Trim: 0, Keep: 1200},
		{Name: "today", Webs: in(63, 79), Trim: 5000, Keep: 1200, Left: 2},
	}, " a year", quantity.Format{US: true, InchParts: 16, Currency: "USD"})
	var bars []Rect
	for _, r := range d.Rects {
		if r.At.Y > quantity.Millimetre*4*5-1 { // below the legend
			bars = append(bars, r)
		}
	}
	if len(bars) != 3 || bars[0].Role != Board || bars[1].Role != Waste || bars[2].Role != Board || bars[1].At.Y >= bars[0].At.Y || bars[2].At.Y >= bars[0].At.Y {
		t.Errorf("bars %+v", bars)
	}
	var words []string
	for _, x := range d.Texts {
		words = append(words, x.Words)
		if x.At.X < 0 || x.At.X > d.Width || x.At.Y < 0 || x.At.Y > d.Height {
			t.Errorf("%q stands outside", x.Words)
		}
	}
	for _, want := range []string{"1 width", "2 widths", "today", "87", "71", "2 more", "left out", "1,500", "1,200", "USD a year"} {
		if !slices.Contains(words, want) {
			t.Errorf("%q is not in %s", want, strings.Join(words, " | "))
		}
	}
}
