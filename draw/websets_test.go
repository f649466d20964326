package draw

import (
	"slices"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/quantity"
)

// TestWebSets: dearer stands higher, widths and money are in the plant's units,
// a set that leaves orders out says so and has no place on the axis, and no mark
// leaves the frame.
func TestWebSets(t *testing.T) {
	in := func(n ...float64) []quantity.Length {
		var out []quantity.Length
		for _, v := range n {
			out = append(out, quantity.Length(v*float64(quantity.Inch)))
		}
		return out
	}
	best := []WebSet{{Webs: in(87), Cost: 1100, Bound: 1090}, {Webs: in(71, 87), Cost: 1000, Bound: 1000}}
	d := WebSets(best, &WebSet{Webs: in(63, 79), Cost: 1500, Bound: 1400, Left: 2}, quantity.Format{US: true, InchParts: 16, Currency: "USD"})
	if len(d.Rects) != 2 || d.Rects[0].At.Y >= d.Rects[1].At.Y {
		t.Errorf("squares %+v", d.Rects)
	}
	var words []string
	for _, x := range d.Texts {
		words = append(words, x.Words)
		if x.At.X < 0 || x.At.X > d.Width || x.At.Y < 0 || x.At.Y > d.Height {
			t.Errorf("%q stands outside", x.Words)
		}
	}
	for _, want := range []string{"1 width", "2 widths", "today", "87", "71", "2 left out", "the others 1,500", "USD"} {
		if !slices.Contains(words, want) {
			t.Errorf("%q is not in %s", want, strings.Join(words, " | "))
		}
	}
}
