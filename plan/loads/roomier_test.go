package loads_test

import (
	"testing"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/loads"
	"github.com/flutewright/flutewright/plant/load"
)

// Hand: two bundles of 28 3/8 × 22 5/8 in side by side are 45 1/4 or 56 3/4 in;
// 48 × 40 in takes 2; 50 × 46 too, as 28 3/8 + 22 5/8 are 51; 60 × 48 takes two rows of two.
func TestRoomier(t *testing.T) {
	in := func(v float64) quantity.Length { return quantity.FromInches(v) }
	decks := []load.Pallet{{Code: "BIG", Length: in(72), Width: in(60)}, {Code: "60", Length: in(60), Width: in(48)}, {Code: "50", Length: in(50), Width: in(46)}, {Code: "48", Length: in(48), Width: in(40)}}
	for _, c := range []struct {
		source   string
		perLayer int
		deck     string
		bundles  int
	}{
		{"hand: two lie on 48 × 40", 2, "60", 4},
		{"hand: no layer", 0, "", 0},
		{"hand: six bundles are 26.7 ft² of 30", 6, "", 0},
	} {
		l := loads.Load{PerLayer: c.perLayer, BundleLength: in(28.375), BundleWidth: in(22.625)}
		got, n, err := loads.Roomier(decks, l)
		if err != nil || string(got.Code) != c.deck || n != c.bundles {
			t.Errorf("%s: %s takes %d, %v; want %s, %d", c.source, got.Code, n, err, c.deck, c.bundles)
		}
	}
}
