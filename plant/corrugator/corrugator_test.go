package corrugator_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/corrugator"
	"pgregory.net/rapid"
)

const mm = quantity.Millimetre

func mms(values ...float64) []quantity.Length {
	var out []quantity.Length
	for _, v := range values {
		out = append(out, quantity.FromMillimetres(v))
	}
	return out
}

// demoMachine has the invented figures of the demo plant.
func demoMachine() corrugator.Corrugator {
	return corrugator.Corrugator{
		Code: "CORR-1", Limits: corrugator.Limits{SectionSetup: 25},
		SpeedMax: map[ident.Flute]quantity.Speed{
			"B": 280 * quantity.MetrePerMinute, "C": 280 * quantity.MetrePerMinute, "BC": 180 * quantity.MetrePerMinute,
		},
		HeavyOver: 800 * quantity.Gram, HeavyFactor: 0.85, AverageFactor: 0.78, FullSpeedChop: 700 * mm, KnifeSpeedPerMM: 0.4,
		FluteChange:    corrugator.Change{Minutes: 6, Loss: 40 * quantity.Distance(quantity.Metre)},
		WallChange:     corrugator.Change{Minutes: 8, Loss: 60 * quantity.Distance(quantity.Metre)},
		AdhesiveChange: corrugator.Change{Minutes: 10, Loss: 30 * quantity.Distance(quantity.Metre)},
	}
}

func TestSpeed(t *testing.T) {
	b, bc := corrugator.Board{Flute: "B", Walls: 1, Grammage: 435 * quantity.Gram}, corrugator.Board{Flute: "BC", Walls: 2, Grammage: 1000 * quantity.Gram}
	tests := []struct {
		source string
		board  corrugator.Board
		metres float64
		chops  []quantity.Length
		want   float64 // m/min
		why    string
	}{
		{"planning handbook 4.3: 60 m and 25 s give 144", b, 60, mms(1085), 144, "set-up"},
		{"planning handbook 4.3: 120 m give 288, above the flute's 280", b, 120, mms(1085), 280, "flute B"},
		{"planning handbook 4.2: 500 mm chop gives 200", b, 3000, mms(1439, 500), 200, "knife at 500 mm"},
		{"hand: at the full-speed chop the knife does not limit", b, 3000, mms(700), 280, "flute B"},
		{"hand: double wall of 1000 g/m²: 180 × 0.85", bc, 3000, mms(2590, 2010), 153, "heavy"},
		{"hand: exactly 800 g/m² is not heavy", corrugator.Board{Flute: "BC", Grammage: 800 * quantity.Gram}, 3000, nil, 180, "flute BC"},
	}
	for _, tt := range tests {
		got := demoMachine().Speed(tt.board, quantity.FromMetres(tt.metres), tt.chops...)
		if math.Abs(got.Allowed.MetresPerMinute()-tt.want) > 1e-9 || !strings.Contains(got.Why, tt.why) {
			t.Errorf("%s: got %g by %q, want %g by %q", tt.source, got.Allowed.MetresPerMinute(), got.Why, tt.want, tt.why)
		}
		if math.Abs(float64(got.Average)/float64(got.Allowed)-0.78) > 1e-12 {
			t.Errorf("%s: average %g of allowed %g", tt.source, got.Average, got.Allowed)
		}
	}
}

func TestRunMinutes(t *testing.T) {
	s := demoMachine().Speed(corrugator.Board{Flute: "B"}, quantity.FromMetres(10127), mms(1439, 1085)...)
	if got := float64(s.RunMinutes(quantity.FromMetres(10127))); math.Abs(got-46) > 0.5 {
		t.Errorf("planning handbook 4.5: 10,127 m at 218 m/min take 46 min, got %.1f", got)
	}
	if (corrugator.Speed{}).RunMinutes(quantity.FromMetres(100)) != 0 {
		t.Error("no speed known: no minutes")
	}
}

func TestRefuse(t *testing.T) {
	c := demoMachine()
	if got := c.Refuse(corrugator.Board{Flute: "A"}); !strings.Contains(got, "flute A") || !strings.Contains(got, "[B BC C]") {
		t.Errorf("got %q", got)
	}
	if got := c.Refuse(corrugator.Board{Flute: "BC"}); got != "" {
		t.Errorf("got %q", got)
	}
}

func TestBetween(t *testing.T) {
	b, c, bc := corrugator.Board{Flute: "B", Walls: 1}, corrugator.Board{Flute: "C", Walls: 1}, corrugator.Board{Flute: "BC", Walls: 2}
	with := func(b corrugator.Board, recipe string) corrugator.Board { b.Adhesive = recipe; return b }
	tests := []struct {
		source  string
		a, b    corrugator.Board
		minutes quantity.Minutes
		metres  float64
	}{
		{"same board", b, b, 0, 0},
		{"planning handbook 4.4: flute", b, c, 6, 40},
		{"planning handbook 4.4: single to double wall", c, bc, 8, 60},
		{"planning handbook 4.4: adhesive", with(b, "standard"), with(b, "water-resistant"), 10, 30},
		{"hand: any recipe suits", with(b, "water-resistant"), b, 0, 0},
		{"hand: wall and adhesive", with(c, "standard"), with(bc, "water-resistant"), 18, 90},
	}
	for _, tt := range tests {
		got := demoMachine().Between(tt.a, tt.b)
		if got.Minutes != tt.minutes || got.Loss != quantity.FromMetres(tt.metres) || (got.What == "") != (tt.minutes == 0) {
			t.Errorf("%s: got %+v", tt.source, got)
		}
	}
}

// The worked example of the planning handbook, 6.2: web 2,000, two outs of 443
// (151/141/151) and three of 360 (107/146/107), 1,966 used.
func TestSetUpWorkedExample(t *testing.T) {
	lanes := []corrugator.Lane{
		{Order: "J1001", Level: 1, Outs: 2, Slit: 443 * mm, Chop: 1439 * mm, Scores: mms(151, 292), Cuts: 7037},
		{Order: "J1024", Level: 2, Outs: 3, Slit: 360 * mm, Chop: 1085 * mm, Scores: mms(107, 253), Cuts: 9334},
	}
	got := corrugator.NewSetUp(2000*mm, quantity.FromMetres(10127.39), lanes)
	check := func(name string, got, want []quantity.Length) {
		t.Helper()
		if !slices.Equal(got, want) {
			t.Errorf("%s: got %v, want %v", name, got, want)
		}
	}
	check("slits", got.Slits, mms(-983, -540, -97, 263, 623, 983))
	check("scores", got.Scores, mms(-832, -691, -389, -248, 10, 156, 370, 516, 730, 876))
	check("slits from the operator side", got.FromOp, mms(17, 460, 903, 1263, 1623, 1983))
	check("scores from the operator side", got.ScoresOp, mms(168, 309, 611, 752, 1010, 1156, 1370, 1516, 1730, 1876))
	if got.EndsOrder != "J1024" || got.EndsCount != 9334 || got.EndsLevel != 2 {
		t.Errorf("hand: 9,334 × 1,085 = 10,127.39 m is the last cut; got %s at %d on level %d", got.EndsOrder, got.EndsCount, got.EndsLevel)
	}
}

func TestSetUpLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var lanes []corrugator.Lane
		outs, scores := 0, 0
		var used quantity.Length
		for i := range rapid.IntRange(1, 4).Draw(t, "lanes") {
			l := corrugator.Lane{Order: string(rune('A' + i)), Level: i + 1, Outs: rapid.IntRange(1, 7).Draw(t, "outs"), Slit: quantity.Length(rapid.IntRange(180, 900).Draw(t, "slit")) * mm, Scores: mms(60, 120)}
			lanes = append(lanes, l)
			outs, scores, used = outs+l.Outs, scores+l.Outs*2, used+l.Slit*quantity.Length(l.Outs)
		}
		web := used + quantity.Length(rapid.IntRange(30, 250).Draw(t, "trim"))*mm
		s := corrugator.NewSetUp(web, 0, lanes)
		all := slices.Concat(s.Slits, s.Scores)
		slices.Sort(all)
		switch {
		case len(s.Slits) != outs+1 || len(s.Scores) != scores:
			t.Fatalf("%d slits, %d scores for %d outs", len(s.Slits), len(s.Scores), outs)
		case s.Slits[0] != -s.Slits[outs]:
			t.Fatal("the used width is not centred")
		case len(slices.Compact(slices.Clone(all))) != len(all):
			t.Fatal("two tools stand in one place")
		case s.FromOp[0] != (web-used)/2:
			t.Fatalf("the first slit stands %v from the operator side, side trim is %v", s.FromOp[0], (web-used)/2)
		}
	})
}

func TestHeadMovesAgainstAllAssignments(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, lo, hi int) []quantity.Length {
			xs := rapid.SliceOfN(rapid.Int64Range(0, 60), lo, hi).Draw(t, name)
			slices.Sort(xs)
			var out []quantity.Length
			for _, x := range xs {
				out = append(out, quantity.Length(x))
			}
			return out
		}
		heads, targets := draw("heads", 0, 8), draw("targets", 0, 6)
		got, ok := corrugator.HeadMoves(heads, targets)
		longest, total, found := tryAll(heads, targets)
		if ok != found {
			t.Fatalf("assignable %v, want %v", ok, found)
		}
		var travelled quantity.Length
		for j, h := range got.Head {
			if j > 0 && h <= got.Head[j-1] {
				t.Fatalf("heads %v cross", got.Head)
			}
			travelled += max(heads[h]-targets[j], targets[j]-heads[h])
		}
		if got.Longest != longest || got.Total != total || travelled != total {
			t.Fatalf("got %+v, want longest %v, total %v", got, longest, total)
		}
	})
}

// tryAll tries every choice of heads, in order, for the targets.
func tryAll(heads, targets []quantity.Length) (longest, total quantity.Length, found bool) {
	var choose func(heads, targets []quantity.Length, l, sum quantity.Length)
	choose = func(heads, targets []quantity.Length, l, sum quantity.Length) {
		if len(targets) == 0 {
			if !found || l < longest || l == longest && sum < total {
				longest, total, found = l, sum, true
			}
			return
		}
		for i := range heads {
			d := max(heads[i]-targets[0], targets[0]-heads[i])
			choose(heads[i+1:], targets[1:], max(l, d), sum+d)
		}
	}
	choose(heads, targets, 0, 0)
	return longest, total, found
}
