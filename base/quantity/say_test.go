package quantity_test

import (
	"testing"

	"github.com/flutewright/flutewright/base/quantity"
)

// By hand: 760 mm are 29 15/16 in to the nearest sixteenth, 318 mm 12 1/2,
// 1 kg 2.20 lb, 100 m 328 ft.
func TestSay(t *testing.T) {
	us := quantity.Format{US: true, InchParts: 16}
	tests := []struct{ source, said, want string }{
		{"one", "feed 1,020 > 760 mm: needs a larger machine", "feed 40 3/16 > 29 15/16 in: needs a larger machine"},
		{"outs are a count", "no web takes 1 x 1518 mm with at most 125 mm trim per side", "no web takes 1 x 59 3/4 in with at most 4 15/16 in trim per side"},
		{"area and mass", "120.5 m² weigh 40 kg", "1.30 MSF weigh 88.2 lb"},
		{"metres", "8,966 m of TL140 at 2350 mm", "29,416 ft of TL140 at 92 1/2 in"},
		{"codes stay", "deck P1212 is 1200 × 1000 mm", "deck P1212 is 47 1/4 × 39 3/8 in"},
		{"counts stay", "12 sheets of 5 m each, 30 min", "12 sheets of 16 ft each, 30 min"},
		{"speed", "limited to 180 m/min by its chop", "limited to 591 ft/min by its chop"},
		{"grammage", "heavy board over 800 g/m² limits it", "heavy board over 163.9 lb/MSF limits it"},
		{"a guess in both units stays", "did you mean 205 g/m² (42 lb)?", "did you mean 205 g/m² (42 lb)?"},
		{"percent and time", "3 % in 14:00", "3 % in 14:00"},
	}
	for _, tt := range tests {
		if got := us.Say(tt.said); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.source, got, tt.want)
		}
		if got := (quantity.Format{}).Say(tt.said); got != tt.said {
			t.Errorf("%s: a metric plant reads %q", tt.source, got)
		}
	}
}
