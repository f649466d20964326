package loads_test

import (
	"errors"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/loads"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/load"
)

func mm(v float64) quantity.Length { return quantity.FromMillimetres(v) }

// need is J1001 of the demo: 18,000 folded boxes of 703 × 443 mm in bundles of 25.
func need() loads.Need {
	return loads.Need{
		Release: ident.NewRelease("J1001", "", ""), Boxes: 18000, Flat: box.FoldedFlat{Length: mm(703), Width: mm(443)}, Folded: true,
		Caliper: mm(2.99), Mass: .2775, PerBundle: 25, Pallet: "P1210", UnitMaxHeight: mm(1800),
	}
}

func one(t *testing.T, n loads.Need) loads.Load {
	t.Helper()
	p := loads.Problem{Needs: []loads.Need{n}, Pallets: demo.Book().Plant.Pallets}
	list, err := loads.Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	if err := loads.Check(p, list); err != nil {
		t.Fatal(err)
	}
	return list[0]
}

// TestWorkedUnit: three bundles a layer (two along one side, one turned), a
// bundle of 25 × 2 × 2.99 × 1.02 = 152 mm; 30 bundles to a unit of 750 boxes, 24 units.
func TestWorkedUnit(t *testing.T) {
	l := one(t, need())
	if l.PerLayer != 3 || l.PerLayerBound != 3 || l.Layers != 10 || l.PerUnit != 750 || l.Units != 24 || l.LastUnit != 750 || l.OddBundle != 0 {
		t.Errorf("%+v", l)
	}
	if h := l.BundleHeight.Millimetres(); h < 152 || h > 153 {
		t.Errorf("a bundle is %.1f mm high, 25 × 2 × 2.99 × 1.02 are 152.5", h)
	}
}

func TestOddLastBundleAndUnit(t *testing.T) {
	n := need()
	n.Boxes = 1537 // 61 bundles and 12 boxes; two whole units and 37 boxes
	l := one(t, n)
	if l.Bundles != 61 || l.OddBundle != 12 || l.Units != 3 || l.LastUnit != 37 {
		t.Errorf("%d bundles and %d, %d units, the last of %d", l.Bundles, l.OddBundle, l.Units, l.LastUnit)
	}
}

func TestAgreedPatternWins(t *testing.T) {
	n := need()
	n.PerLayer, n.Layers = 2, 5
	if l := one(t, n); !l.Agreed || l.PerLayer != 2 || l.Layers != 5 || l.PerUnit != 250 {
		t.Errorf("%+v", l)
	}
	n.PerLayer = 4
	if l := one(t, n); l.Agreed || l.PerLayer != 3 || len(l.Warnings) == 0 {
		t.Errorf("four do not fit: %+v", l)
	}
}

// TestOversizeBundle: J1015 overhangs P1212 by 318 mm; a larger deck is named, or an overhang agreed.
func TestOversizeBundle(t *testing.T) {
	n := need()
	n.Flat, n.Pallet, n.PerBundle = box.FoldedFlat{Length: mm(1274), Width: mm(1518)}, "P1212", 5
	l := one(t, n)
	if l.Units != 0 || !strings.Contains(l.Refusal, "overhangs P1212 by 318 mm") || !strings.Contains(l.Refusal, "1274 × 1518") {
		t.Errorf("%d units, %q", l.Units, l.Refusal)
	}
	n.Overhang = mm(160)
	if l := one(t, n); l.Refusal != "" || l.Units == 0 || l.Overhang != mm(159) || len(l.Warnings) == 0 {
		t.Errorf("with 160 mm agreed: %+v", l)
	}
}

// TestOverhangOnlyWhereItGains: an agreed overhang is no reason to use it.
func TestOverhangOnlyWhereItGains(t *testing.T) {
	n := need()
	n.Overhang = mm(20)
	if l := one(t, n); l.Overhang != 0 || l.PerLayer != 3 {
		t.Errorf("%d a layer with %s of overhang; three lie within the deck", l.PerLayer, l.Overhang)
	}
	n.Flat = box.FoldedFlat{Length: mm(610), Width: mm(510)} // 2 × 2 are 1220 × 1020
	if l := one(t, n); l.Overhang != mm(10) || l.PerLayer != 4 {
		t.Errorf("%d a layer with %s of overhang; four stand 10 mm over each edge", l.PerLayer, l.Overhang)
	}
}

func TestASmallerDeckNamesTheLarger(t *testing.T) {
	n := need()
	n.Flat, n.Pallet = box.FoldedFlat{Length: mm(1008), Width: mm(814)}, "P1208"
	if l := one(t, n); !strings.HasSuffix(l.Refusal, "or use P1210") {
		t.Errorf("%q", l.Refusal)
	}
	n.Pallet = ""
	if l := one(t, n); l.Pallet != "P1210" || l.Refusal != "" {
		t.Errorf("the smallest deck that takes it is P1210, not %s", l.Pallet)
	}
}

func TestRefusesNeedsThatCannotBe(t *testing.T) {
	n := need()
	n.Boxes, n.Flat.Width = 0, 0
	_, err := loads.Solve(loads.Problem{Needs: []loads.Need{n}, Pallets: demo.Book().Plant.Pallets})
	if !errors.Is(err, fault.Invalid) || len(fault.Lines(err)) != 2 {
		t.Errorf("%v", err)
	}
	if _, err := loads.Solve(loads.Problem{Needs: []loads.Need{need()}}); !errors.Is(err, fault.Invalid) {
		t.Errorf("no pallets: %v", err)
	}
}

// TestLaws: whatever the sizes, a load is legal or refused in words.
func TestLaws(t *testing.T) {
	decks := demo.Book().Plant.Pallets
	rapid.Check(t, func(t *rapid.T) {
		n := loads.Need{
			Release: ident.NewRelease("A", "", ""), Boxes: rapid.IntRange(1, 30000).Draw(t, "boxes"),
			Flat:   box.FoldedFlat{Length: mm(float64(rapid.IntRange(150, 1400).Draw(t, "length"))), Width: mm(float64(rapid.IntRange(150, 1400).Draw(t, "width")))},
			Folded: rapid.Bool().Draw(t, "folded"), Caliper: mm(rapid.Float64Range(1.5, 8).Draw(t, "caliper")), Mass: quantity.Mass(rapid.Float64Range(.05, 4).Draw(t, "mass")),
			PerBundle: rapid.SampledFrom([]int{0, 5, 25, 50}).Draw(t, "bundle"), Overhang: mm(float64(rapid.SampledFrom([]int{0, 20}).Draw(t, "overhang"))),
			Pallet: rapid.SampledFrom([]ident.Pallet{"", "P1208", "P1210"}).Draw(t, "deck"), UnitMaxHeight: mm(float64(rapid.IntRange(300, 2400).Draw(t, "height"))),
		}
		p := loads.Problem{Needs: []loads.Need{n}, Pallets: decks, Limits: load.Limits{}}
		list, err := loads.Solve(p)
		if err != nil {
			t.Fatal(err)
		}
		if err := loads.Check(p, list); err != nil {
			t.Fatal(err)
		}
		if l := list[0]; l.Units == 0 && l.Refusal == "" {
			t.Fatal("neither units nor a refusal")
		}
	})
}

func TestCheckSeesWhatIsBroken(t *testing.T) {
	p := loads.Problem{Needs: []loads.Need{need()}, Pallets: demo.Book().Plant.Pallets}
	for name, spoil := range map[string]func(*loads.Load){
		"a unit less":      func(l *loads.Load) { l.Units-- },
		"a bundle more":    func(l *loads.Load) { l.Bundles++ },
		"a place moved":    func(l *loads.Load) { l.Layer[0] = l.Layer[1] },
		"over the edge":    func(l *loads.Load) { l.Layer[0].X -= mm(400) },
		"too high":         func(l *loads.Load) { l.UnitHeight = mm(1801) },
		"too heavy":        func(l *loads.Load) { l.UnitMass = 2000 },
		"a layer too many": func(l *loads.Load) { l.Layers++ },
	} {
		list, err := loads.Solve(p)
		if err != nil {
			t.Fatal(err)
		}
		spoil(&list[0])
		if loads.Check(p, list) == nil {
			t.Errorf("%s: not seen", name)
		}
	}
}
