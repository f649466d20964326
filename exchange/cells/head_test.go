package cells

import (
	"slices"
	"testing"
)

// A column whose unit ends in another's must keep its own, whatever the order
// in which units are looked through.
func TestColumnsInOtherUnits(t *testing.T) {
	for _, tt := range []struct{ name, other string }{
		{"sct_cd_kn_m", "sct_cd_lb_in"}, {"length_m", "length_ft"}, {"road_km", "road_mi"}, {"width_mm!", "width_in"},
		{"price_per_t", "price_per_short_ton"}, {"grammage_gsm", "grammage_lb_msf"},
	} {
		for range 30 {
			if got := Columns(tt.name)[0].Other; !slices.Equal(got, []string{tt.other}) {
				t.Fatalf("%s may come as %v, want %s", tt.name, got, tt.other)
			}
		}
	}
}
