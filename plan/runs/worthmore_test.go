package runs

import (
	"context"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"pgregory.net/rapid"
)

// scarce is alone with 100 m of the paper K in a web of 1,020 mm.
func scarce() Problem {
	p := alone()
	p.Corrugator.Webs = append(p.Corrugator.Webs, mm(1020))
	p.Grades[0].Plies = []Ply{{Paper: "K"}}
	p.Papers = []Stock{{Paper: "K", Metres: map[quantity.Length]quantity.Distance{mm(1020): metres(100)}}}
	return p
}

// Hand. A metre of K in 1,020 mm spares a metre of 1,100: 0.08 m², 0.04. A sheet more is cut from 1,100, 0.55.
// With 2,000 m of it nothing is short.
func TestAMetreOfScarcePaper(t *testing.T) {
	p := scarce()
	y, short, err := PaperPrices(context.Background(), p, nil)
	if err != nil || len(short) != 1 || math.Abs(float64(short[0].Worth)-.04) > 1e-9 || short[0].Web != mm(1020) || math.Abs(float64(y["A"])-.55) > 1e-9 {
		t.Errorf("%v, %v, %v; 0.04 a metre and 0.55 a sheet by hand", y, short, err)
	}
	p.Papers[0].Metres[mm(1020)] = metres(2000)
	if y, short, err = PaperPrices(context.Background(), p, nil); err != nil || len(short) > 0 || math.Abs(float64(y["A"])-.51) > 1e-9 {
		t.Errorf("enough of it: %v, %v, %v; 0.51 by hand", y, short, err)
	}
}

// Hand. Two orders of 1,004 mm share 1,000 m of K in 1,020 mm, each could have it. If A were 4 mm less it would run
// on 1,010 mm, of which there is enough, and leave B what it had: two runs of 1,000 m at 1,010 and 1,020 instead of
// 1,020 and 1,100, 90 m², 45.00. Blind to what a metre of K is worth, only 10 m² of A's own would be seen, 5.00.
func TestScarcePaperIsInTheEstimate(t *testing.T) {
	p := scarce()
	one := 1
	p.Corrugator.MaxOrdersPerRun = &one
	p.Papers[0].Metres[mm(1020)] = metres(1000)
	p.Orders = append(p.Orders, p.Orders[0])
	p.Orders[1].Order = "B"
	for i := range p.Orders {
		p.Orders[i].MaxParts = 1
	}
	list := detailed(t, p, ExplainOptions{Rounds: 50})
	found := 0
	for _, order := range []string{"A", "B"} {
		d := detailOf(list, order, "slit_mm")
		if d == nil || d.Change != -4 || math.Abs(float64(d.About)-45) > 1e-6 || math.Abs(float64(d.Sure)-45) > .01 {
			t.Errorf("%s: %+v, 45.00 by hand", order, d)
			continue
		}
		found++
	}
	if found == 0 {
		t.Errorf("in %+v", list)
	}
}

// Hand. With Q in the place of K the board is stocked in 1,020 mm at the same price: 80 m² less, 40.00 in a plan of
// a day, 280.00 a week, 39.84 for a thousand of the 1,004 m² of sheets. At 0.60 it costs 612.00 instead of 550.00.
func TestPermittedSubstitute(t *testing.T) {
	p := alone()
	p.Corrugator.Webs = append(p.Corrugator.Webs, mm(1020))
	p.Grades[0].Plies, p.Grades[0].Webs = []Ply{{Paper: "K"}}, []quantity.Length{mm(1100)}
	with := p.Grades[0]
	with.Plies, with.Webs = []Ply{{Paper: "Q"}}, []quantity.Length{mm(1020), mm(1100)}
	words := "Q in place of K in ply 1 of B, for every run of it"
	list := detailed(t, p, ExplainOptions{Rounds: 50, StandIn: []StandIn{{words, with}}})
	d := detailOf(list, "", "substitutes")
	if d == nil || math.Abs(float64(d.About)-40) > 1e-6 || math.Abs(float64(d.Sure)-40) > .01 || math.Abs(float64(d.Week)-280) > .1 || math.Abs(float64(d.Sheet)-39.84) > .02 {
		t.Fatalf("%+v, 40.00 by hand", d)
	}
	if want := words + ": 1 order may gain, most of all where 1 × A runs on a narrower web, 1020 mm in place of 1100 mm"; d.Words != want {
		t.Errorf("%q, want %q", d.Words, want)
	}
	with.PricePerM2 = pointer(quantity.Money(.6))
	if d := detailOf(detailed(t, p, ExplainOptions{Rounds: 50, StandIn: []StandIn{{words, with}}}), "", "substitutes"); d != nil {
		t.Errorf("a dearer board saves: %+v", d)
	}
}

// Hand. What is frozen is on the board already: a substitute at 0.40 instead of 0.50 saves on the other
// order only, 110.00 of 1,100 m².
func TestSubstituteIsNoneForFrozenRuns(t *testing.T) {
	p := alone()
	one := 1
	p.Corrugator.MaxOrdersPerRun = &one
	p.Corrugator.Webs = []quantity.Length{mm(1100)}
	p.Orders = append(p.Orders, p.Orders[0])
	p.Orders[1].Order = "B"
	p.Frozen = []Run{{Grade: "B", Web: mm(1100), Length: metres(1000), Lanes: []Lane{{Order: "A", Level: 1, Outs: 1}}}}
	with := p.Grades[0]
	with.PricePerM2 = pointer(quantity.Money(.4))
	d := detailOf(detailed(t, p, ExplainOptions{Rounds: 50, StandIn: []StandIn{{"Q", with}}}), "", "substitutes")
	if d == nil || math.Abs(float64(d.Saves)-110) > .01 || math.Abs(float64(d.Sure)-110) > .01 {
		t.Errorf("%+v, 110.00 by hand", d)
	}
}

// Hand. A may not wait for the paper of 1,020 mm; a day later it could: 80 m², 40.00.
func TestADayLaterOpensAWeb(t *testing.T) {
	p := alone()
	p.Corrugator.Webs = append(p.Corrugator.Webs, mm(1020))
	p.Orders[0].BarredWebs = []quantity.Length{mm(1020)}
	later := map[string][]quantity.Length{"A": {mm(1020)}}
	d := detailOf(detailed(t, p, ExplainOptions{Rounds: 50, Later: later}), "A", "due_d")
	if d == nil || d.Change != 1 || math.Abs(float64(d.About)-40) > 1e-6 || math.Abs(float64(d.Sure)-40) > .01 || !strings.Contains(d.Words, "1020 mm in place of 1100 mm") {
		t.Errorf("%+v, 40.00 by hand", d)
	}
}

// The span is that of the runs: 2,880,000 sheets of 1 m at 100 m a minute are 20 days, so a week is 7/20 of it.
func TestAWeek(t *testing.T) {
	p := alone()
	p.Corrugator.Speed, p.Orders[0].Sheets = 100*quantity.MetrePerMinute, 2_880_000
	a := solved(t, p, 20)
	if days := p.Span(a); math.Abs(days-20) > 1e-6 {
		t.Fatalf("%v days, 20 by hand", days)
	}
	list := []Detail{{Order: "A", About: 200}, {Order: "A", About: 900, Tried: true, Saves: 100}}
	p.Spread(list, p.Span(a))
	if math.Abs(float64(list[0].Week)-70) > 1e-6 || math.Abs(float64(list[1].Week)-35) > 1e-6 {
		t.Errorf("%v and %v a week, 70 and 35 by hand", list[0].Week, list[1].Week)
	}
}

// What is told as sure is never above the difference of two plans that are proven to be the cheapest, one without
// the change and one with it.
func TestSureIsNeverAboveTheOptima(t *testing.T) {
	proven := 0
	rapid.Check(t, func(rt *rapid.T) {
		p := drawn(rt, 3)
		p.Begins, p.Frozen, p.Pinned = time.Time{}, nil, nil
		for i := range p.Orders {
			p.Orders[i].LateCost = 0
		}
		a := solved(t, p, 20)
		x, err := p.priced(context.Background(), a)
		if err != nil {
			rt.Fatal(err)
		}
		list := p.estimates(context.Background(), a, x, ExplainOptions{Slit: mm(4)})
		if len(list) == 0 || a.Totals.Status != Optimal || len(a.Unplanned) > 0 {
			return
		}
		e := list[rapid.IntRange(0, len(list)-1).Draw(rt, "change")]
		y := trial{p: p, a: a, opt: ExplainOptions{Rounds: 5}, without: map[string]Answer{}}
		if err := y.try(context.Background(), &e); err != nil {
			rt.Fatal(err)
		}
		b := solved(t, p.loosened(&e), 20)
		if b.Totals.Status != Optimal || len(b.Unplanned) > 0 {
			return
		}
		proven++
		if by := a.Totals.Cost - b.Totals.Cost; float64(e.Sure) > float64(by)+1e-6*math.Abs(float64(a.Totals.Cost)) {
			rt.Fatalf("%s of %s: %v is sure, the optima differ by %v", e.Field, e.Order, e.Sure, by)
		}
	})
	if proven == 0 {
		t.Error("no pair of plans was proven")
	}
}
