package board

import (
	"math"
	"testing"

	"github.com/flutewright/flutewright/base/quantity"
)

const (
	lbIn  = quantity.PoundForcePerInch
	lbf   = quantity.PoundForce
	inch  = quantity.Inch
	mm    = quantity.Millimetre
	mckee = "McKee, Gander & Wachuta, Paperboard Packaging 48(8), 1963, as restated by Popil, \"Predicting Box Compression Strength\"; the figure worked by hand"
)

// published is one row of a table of values in print.
type published struct {
	source, quantity string
	published, got   float64
	within           float64 // relative; by the digits in print
}

func compare(t *testing.T, check string, rows []published) {
	t.Helper()
	for _, r := range rows {
		deviation := r.got/r.published - 1
		t.Logf("%s | %s | %s | %.7g | %.7g | %+.4f %%", check, r.source, r.quantity, r.published, r.got, 100*deviation)
		if math.Abs(deviation) > r.within {
			t.Errorf("%s, %s: got %.8g, published %.8g", check, r.quantity, r.got, r.published)
		}
	}
}

func TestPublishedCompression(t *testing.T) {
	ect, h, z := 32*lbIn, quantity.FromInches(.16), 56*inch
	const inlb = 0.112984829027617 // N·m to the lbf·in
	full := CompressionMcKeeFull(42*lbIn, 120*inlb, 55*inlb, 64*inch)
	compare(t, "box compression", []published{
		{mckee + " (a public page gives about 562)", "short form, ECT 32 lb/in, caliper 0.16 in, 16 × 12 in, lbf", 562.27, float64(CompressionMcKee(ect, z, h) / lbf), 1e-5},
		{"McKee et al. 1963, formula from memory; the figure worked by hand", "unrounded exponents, the same box, lbf", 536.89, float64(CompressionMcKeeExponents(ect, z, h) / lbf), 1e-5},
		{mckee, "full form, ECT 42 lb/in, D 120 and 55 lbf·in, Z 64 in, lbf", 779.354, float64(full / lbf), 1e-6},
		{mckee, "full form, the same in SI, N", 3466.738, float64(full), 1e-6},
		{"McKee et al. 1963, 66.1 from memory", "2.028 · 66.1^0.254 against 5.874", 5.874, 2.028 * math.Pow(66.1, .254), 1.2e-3},
		{"Kellicutt & Landt 1951, from memory", "moisture 7 % to 12 %, factor", .7072, MoistureFactor(.07, .12), 1e-4},
	})
}

// The short form keeps its constant in any coherent units: doubling the unit of
// force doubles the figure, and lengths cancel.
func TestShortFormIsDimensionless(t *testing.T) {
	si := float64(CompressionMcKee(32*lbIn, 56*inch, quantity.FromInches(.16)))
	us := 5.87 * 32 * math.Sqrt(.16*56) * float64(lbf)
	if math.Abs(si/us-1) > 1e-9 {
		t.Errorf("SI %g N, US %g N", si, us)
	}
}

func TestPublishedMultipliers(t *testing.T) {
	const fba = "Fibre Box Association, Fibre Box Handbook, compression loss table (reprinted by a trade page)"
	keeps := func(c Conditions) float64 {
		m, err := Multipliers(c)
		if err != nil {
			t.Fatal(err)
		}
		return Product(m)
	}
	rows := []published{
		{fba + "; product by hand", "30 days, 80 % humidity, column", .408, keeps(Conditions{Days: 30, HumidityPct: 80, Arrangement: "column"}), 1e-12},
		{fba + "; product by hand", "safety factor of the same", 2.451, SafetyFactor(map[string]float64{"a": .6, "b": .68}), 1e-4},
		{"Fibre Box Handbook, 75th anniversary ed.", "interlocked", .50, keeps(Conditions{Arrangement: "interlocked"}), 1e-12},
		{fba + ", from memory, middle of 10–15 %", "column, misaligned", .875, keeps(Conditions{Arrangement: "misaligned"}), 1e-12},
		{fba + ", from memory, middle of 20–40 %", "overhang", .70, keeps(Conditions{Overhang: true}), 1e-12},
		{fba + ", from memory, middle of 10–25 %", "deck-board gap", .825, keeps(Conditions{DeckGap: true}), 1e-12},
		{fba + ", from memory, middle of 10–40 %", "handling", .75, keeps(Conditions{Handling: true}), 1e-12},
	}
	for _, p := range []struct{ at, keeps float64 }{{10, .63}, {30, .60}, {90, .55}, {180, .50}} {
		rows = append(rows, published{fba, quantity.Format{}.Number(p.at, 0) + " days under load", p.keeps, keeps(Conditions{Days: p.at}), 1e-12})
	}
	for _, p := range []struct{ at, keeps float64 }{{50, 1}, {60, .9}, {70, .8}, {80, .68}, {90, .48}, {100, .15}} {
		rows = append(rows, published{fba, quantity.Format{}.Number(p.at, 0) + " % relative humidity", p.keeps, keeps(Conditions{HumidityPct: p.at}), 1e-12})
	}
	compare(t, "retained strength", rows)
}

func TestPublishedBoard(t *testing.T) {
	lb := func(l1, m, l2, takeUp float64) float64 {
		c := NewCatalogue([]Paper{
			{Code: "1", Grammage: quantity.Grammage(l1) * quantity.PoundPerMSF},
			{Code: "m", Grammage: quantity.Grammage(m) * quantity.PoundPerMSF},
			{Code: "2", Grammage: quantity.Grammage(l2) * quantity.PoundPerMSF},
		}, []Flute{{Code: "C", TakeUp: takeUp}})
		g := Grade{Plies: []Ply{{Paper: "1"}, {Paper: "m", Flute: "C"}, {Paper: "2"}}}
		return float64(g.PaperGrammage(c) / quantity.PoundPerMSF)
	}
	const qa = "AICC technical question on take-up, 6 March 2018; sum by hand"
	compare(t, "board grammage", []published{
		{qa, "42-26-42, take-up 1.43, lb/MSF", 121.18, lb(42, 26, 42, 1.43), 1e-6},
		{"AICC technical questions", "42-26-42, take-up 1.3, lb/MSF", 117.8, lb(42, 26, 42, 1.3), 1e-6},
		{qa, "35-23-35, take-up 1.43, lb/MSF", 102.89, lb(35, 23, 35, 1.43), 1e-6},
		{qa, "33-23-33, take-up 1.43, lb/MSF", 98.89, lb(33, 23, 33, 1.43), 1e-6},
		{qa, "35-26-35, take-up 1.43, lb/MSF", 107.18, lb(35, 26, 35, 1.43), 1e-6},
		{"NIST SP 811 (2008); the same 42-26-42", "in g/m²", 591.65, lb(42, 26, 42, 1.43) * quantity.PoundPerMSF.Gsm(), 1e-5},
	})
	sum := NewCatalogue(
		[]Paper{{Code: "l", SCT: 20 * lbIn}, {Code: "m", SCT: 12 * lbIn}},
		[]Flute{{Code: "C", TakeUp: 1.42, KECT: .7}})
	ect, stated := Grade{Plies: []Ply{{Paper: "l"}, {Paper: "m", Flute: "C"}, {Paper: "l"}}}.ECT(sum)
	if stated {
		t.Error("a summed edge crush is called stated")
	}
	compare(t, "edge crush", []published{
		{"Popil slides, slide 3: C = 0.7, take-up 1.42; sum by hand", "SCT 20, 12, 20 lb/in, lb/in", 39.928, float64(ect / lbIn), 1e-6},
	})
	compare(t, "caliper", []published{
		{"AICC, Ask Ralph, 10 February 2014", "liners 0.010 in, C flute 0.142 in, in", .159, CaliperAICC(quantity.FromInches(.142), 0, quantity.FromInches(.010), quantity.FromInches(.010)).Inches(), 1e-6},
	})
}

// The arc of a pure sine over its chord, by the exact integral, for nominal
// profiles and for the middle of the classes of DIN 55468.
func TestPublishedTakeUp(t *testing.T) {
	const din = "DIN 55468 (GDV transport information service), middle of the class; exact integral by another hand"
	f := quantity.FromMillimetres
	rows := []struct {
		source, name          string
		pitch, height, takeUp float64
	}{
		{"nominal profile; exact integral by another hand", "A 8.6 × 4.7 mm", 8.6, 4.7, 1.5345}, {"nominal profile; exact integral by another hand", "C 7.95 × 3.61 mm", 7.95, 3.61, 1.3963},
		{"nominal profile; exact integral by another hand", "B 6.5 × 2.46 mm", 6.5, 2.46, 1.2918}, {"nominal profile; exact integral by another hand", "E 3.5 × 1.15 mm", 3.5, 1.15, 1.2284},
		{din, "A 8.75 × 4.45 mm", 8.75, 4.45, 1.4766}, {din, "C 7.4 × 3.6 mm", 7.4, 3.6, 1.4436},
		{din, "B 6.0 × 2.6 mm", 6, 2.6, 1.3668}, {din, "E 3.25 × 1.4 mm", 3.25, 1.4, 1.3631},
	}
	var out []published
	for _, r := range rows {
		out = append(out, published{r.source, r.name, r.takeUp, SineTakeUp(f(r.pitch), f(r.height)), 5e-5})
	}
	compare(t, "sine take-up", out)
}
