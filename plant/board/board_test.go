package board_test

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"testing"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
)

var (
	book      = demo.Book()
	catalogue = board.NewCatalogue(book.Plant.Papers, book.Plant.Flutes)
)

func grade(t *testing.T, code ident.Grade) board.Grade {
	t.Helper()
	for _, g := range book.Plant.Grades {
		if g.Code == code {
			return g
		}
	}
	t.Fatalf("no grade %s", code)
	return board.Grade{}
}

func item(t *testing.T, orderNo string) order.Item {
	t.Helper()
	for _, l := range book.Lines {
		for _, it := range book.Items {
			if l.Key.Order == orderNo && it.Code == l.Item {
				return it
			}
		}
	}
	t.Fatalf("no order %s", orderNo)
	return order.Item{}
}

func bct(t *testing.T, it order.Item, code ident.Grade, k float64) quantity.Force {
	g := grade(t, code)
	ect, _ := g.ECT(catalogue)
	return board.CompressionRefitted(k, ect, it.Inside.Perimeter(), g.Caliper(catalogue))
}

// The demo's reference was computed by another hand with the constant 5.876.
func TestDemoReferenceCompression(t *testing.T) {
	raw, err := os.ReadFile("../demo/testdata/reference.json")
	if err != nil {
		t.Fatal(err)
	}
	var file map[string]struct {
		BCT quantity.Force `json:"bct_n"`
	}
	if err := json.Unmarshal(raw, &file); err != nil {
		t.Fatal(err)
	}
	seen := 0
	for no, want := range file {
		if want.BCT == 0 {
			continue
		}
		seen++
		it := item(t, no)
		if got := bct(t, it, it.Grade, 5.876); math.Abs(float64(got/want.BCT)-1) > .002 {
			t.Errorf("%s on %s: %.0f N, reference %.0f N", no, it.Grade, got, want.BCT)
		}
	}
	if seen < 20 {
		t.Errorf("only %d references reached", seen)
	}
}

// Grammage, caliper and edge crush of the demo's grades by hand from its papers.
func TestDemoGrades(t *testing.T) {
	rows := []struct {
		code         ident.Grade
		paper, board float64 // g/m²
		caliper, ect float64 // mm, kN/m
		price        float64 // a square metre
	}{
		{"E-BR", 354.7, 364.7, 1.61, 3.8, .1802}, {"B-ST", 426.3, 435.3, 2.99, 4.87, .2124}, {"C-ST", 422.3, 430.3, 4.12, 4.74, .2107},
		{"C-HV", 556.2, 564.2, 4.27, 6.92, .3188}, {"EB-WH", 656.0, 675.0, 4.41, 7.6, .3848}, {"BC-ST", 693.6, 710.6, 6.91, 7.78, .3458}, {"BC-HV", 990, 1007, 7.2, 13.2, .6737},
	}
	near := func(what string, got, want, within float64) {
		t.Helper()
		if math.Abs(got-want) > within {
			t.Errorf("%s: %g, want %g", what, got, want)
		}
	}
	for _, r := range rows {
		g := grade(t, r.code)
		ect, _ := g.ECT(catalogue)
		near(string(r.code)+" paper", g.PaperGrammage(catalogue).Gsm(), r.paper, .051)
		near(string(r.code)+" board", g.BoardGrammage(catalogue).Gsm(), r.board, .051)
		near(string(r.code)+" caliper", g.Caliper(catalogue).Millimetres(), r.caliper, .0051)
		near(string(r.code)+" edge crush", ect.KilonewtonsPerMetre(), r.ect, .051)
		near(string(r.code)+" paper price", float64(g.PaperPrice(catalogue)), r.price, .00006)
	}
	near("waste credit of B-ST", float64(grade(t, "B-ST").WasteCredit(catalogue, 95)), .0413535, 1e-6)
}

func duty(it order.Item) board.Duty {
	s := it.Stacking
	return board.Duty{GrossMass: s.GrossMass, BoxesHigh: s.BoxesHigh, ContentsShare: s.ContentsCarryPct / 100,
		Conditions: board.Conditions{Days: s.StorageDays, HumidityPct: s.HumidityPct, Arrangement: s.Arrangement}}
}

func TestStackingVerdicts(t *testing.T) {
	rows := []struct {
		source, order string
		code          ident.Grade
		load, allowed float64 // N, to half a per cent
		verdict       board.Verdict
		high          int
	}{
		{"hand: jam case, B-ST", "J1001", "B-ST", 325, 903, board.Holds, 26},
		{"hand: fish box fails at 90 % humidity", "J1013", "C-ST", 1236, 741, board.Fails, 4},
		{"hand: C-HV does not mend it for sure", "J1013", "C-HV", 1236, 1100, board.Close, 6},
		{"hand: close at 80 % humidity", "J1024", "B-ST", 673, 651, board.Close, 11},
	}
	for _, r := range rows {
		it := item(t, r.order)
		d := duty(it)
		c, err := board.CheckStack(d, bct(t, it, r.code, board.McKeeConstant))
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(float64(c.Load)/r.load-1) > .005 || math.Abs(float64(c.Allowed)/r.allowed-1) > .005 {
			t.Errorf("%s: load %.0f N, may bear %.0f N; want %.0f and %.0f", r.source, c.Load, c.Allowed, r.load, r.allowed)
		}
		if c.Verdict != r.verdict || c.HighThatHolds(d) != r.high {
			t.Errorf("%s: %s, %d high; want %s, %d", r.source, c.Verdict, c.HighThatHolds(d), r.verdict, r.high)
		}
	}
}

func TestCheapest(t *testing.T) {
	it := item(t, "J1013")
	best, ok, err := board.Cheapest(book.Plant.Grades, catalogue, duty(it), it.Inside.Perimeter(), false)
	if err != nil || !ok {
		t.Fatalf("nothing carries the fish box: %v", err)
	}
	for _, g := range book.Plant.Grades {
		ect, _ := g.ECT(catalogue)
		c, err := board.CheckStack(duty(it), board.CompressionMcKee(ect, it.Inside.Perimeter(), g.Caliper(catalogue)))
		if err != nil {
			t.Fatal(err)
		}
		if c.Allowed >= c.Load && g.PaperPrice(catalogue) < best.Grade.PaperPrice(catalogue) {
			t.Errorf("%s carries it for less than %s", g.Code, best.Grade.Code)
		}
	}
	if best.Check.Allowed < best.Check.Load {
		t.Errorf("%s does not carry it", best.Grade.Code)
	}
	sure, ok, err := board.Cheapest(book.Plant.Grades, catalogue, duty(it), it.Inside.Perimeter(), true)
	if err != nil || ok && sure.Check.Verdict != board.Holds {
		t.Errorf("%s is not certain: %s, %v", sure.Grade.Code, sure.Check.Verdict, err)
	}
	if _, ok, err := board.Cheapest(nil, catalogue, duty(it), it.Inside.Perimeter(), false); ok || err != nil {
		t.Errorf("a grade out of none, %v", err)
	}
}

func TestMultiplierLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		day := rapid.Float64Range(0.1, 400).Draw(t, "day")
		damp := rapid.Float64Range(0.1, 100).Draw(t, "damp")
		keeps := func(days, humidity float64) float64 {
			m, err := board.Multipliers(board.Conditions{Days: days, HumidityPct: humidity})
			if err != nil {
				t.Fatal(err)
			}
			return board.Product(m)
		}
		at := keeps(day, damp)
		if at <= 0 || at > 1 {
			t.Fatalf("keeps %g", at)
		}
		if keeps(day*1.1, damp) > at || keeps(day, math.Min(100, damp*1.1)) > at {
			t.Fatalf("longer or damper keeps more than %g", at)
		}
	})
	between, err := board.Multipliers(board.Conditions{Days: 60, HumidityPct: 65})
	if err != nil || math.Abs(between["days"]-.575) > 1e-12 || math.Abs(between["humidity"]-.85) > 1e-12 {
		t.Errorf("60 days and 65 %%: %v, %v", between, err)
	}
	for _, c := range []board.Conditions{{Days: -1}, {HumidityPct: 101}, {Arrangement: "heap"}, {Days: math.NaN()}} {
		if _, err := board.Multipliers(c); !errors.Is(err, fault.Invalid) {
			t.Errorf("%+v: %v, want a refusal", c, err)
		}
	}
}

// A grade with a stated edge crush keeps it, and says so, whatever its papers are known for.
func TestStatedRules(t *testing.T) {
	c := board.NewCatalogue([]board.Paper{{Code: "35", Grammage: 35 * quantity.PoundPerMSF}, {Code: "26", Grammage: 26 * quantity.PoundPerMSF}},
		[]board.Flute{{Code: "C", TakeUp: 1.43, Height: quantity.FromInches(.142)}})
	g := board.Grade{Code: "C", Flute: "C", Plies: []board.Ply{{Paper: "35"}, {Paper: "26", Flute: "C"}, {Paper: "35"}}}
	if ect, stated := g.ECT(c); ect != 0 || stated {
		t.Errorf("edge crush %v from papers of unknown strength", ect)
	}
	g.StatedECT = 32 * quantity.PoundForcePerInch
	if ect, stated := g.ECT(c); ect != g.StatedECT || !stated {
		t.Errorf("stated edge crush lost: %v, %v", ect, stated)
	}
	us := quantity.Format{US: true}
	if got := us.Grammage(g.PaperGrammage(c)); got != "107.2" {
		t.Errorf("35-26-35 is %s lb/MSF, want 107.2", got)
	}
}

func TestValidation(t *testing.T) {
	paper := board.Paper{Code: "L", Grammage: 140 * quantity.Gram}
	flute := board.Flute{Code: "C", TakeUp: 1.43, Height: 3600 * quantity.Micrometre}
	c := board.NewCatalogue([]board.Paper{paper}, []board.Flute{flute})
	good := board.Grade{Code: "C-L", Flute: "C", Plies: []board.Ply{{Paper: "L"}, {Paper: "L", Flute: "C"}, {Paper: "L"}}}
	for _, g := range book.Plant.Grades {
		if _, err := board.NewGrade(g, catalogue); err != nil {
			t.Errorf("%s of the demo: %v", g.Code, err)
		}
	}
	broken := func(what string, err error, want int) {
		t.Helper()
		var v fault.Violations
		errors.As(err, &v)
		if len(v) != want {
			t.Errorf("%s: %v; want %d violations", what, err, want)
		}
	}
	_, err := board.NewPaper(paper)
	broken("good paper", err, 0)
	_, err = board.NewPaper(board.Paper{Grammage: 5, SCT: -1, MoisturePct: math.NaN(), Webs: []quantity.Length{0}})
	broken("bad paper", err, 5)
	_, err = board.NewFlute(flute)
	broken("good flute", err, 0)
	_, err = board.NewFlute(board.Flute{TakeUp: .9, Height: 1, KECT: 3})
	broken("bad flute", err, 4)
	_, err = board.NewGrade(good, c)
	broken("good grade", err, 0)
	bad := good
	bad.Code, bad.Plies = "", []board.Ply{{Paper: "L", Flute: "C"}, {Paper: "X"}}
	_, err = board.NewGrade(bad, c)
	broken("no name, two plies the wrong way round, an unknown paper", err, 4)
	bad.Plies = nil
	_, err = board.NewGrade(bad, c)
	broken("no name, no plies", err, 2)
}
