package runs

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
)

func detailed(t *testing.T, p Problem, opt ExplainOptions) []Detail {
	t.Helper()
	list, err := Details(context.Background(), p, solved(t, p, 50), opt)
	if err != nil {
		t.Fatal(err)
	}
	return list
}

func detailOf(list []Detail, order, field string) *Detail {
	if k := slices.IndexFunc(list, func(d Detail) bool { return d.Order == order && d.Field == field }); k >= 0 {
		return &list[k]
	}
	return nil
}

// alone is 1,000 sheets of 1,004 × 1,000 mm by themselves on webs of 1,010 and 1,100 mm with
// 5 mm of trim a side at 0.50 a m².
func alone() Problem {
	p := Problem{Orders: []Order{{Order: "A", Grade: "B", Slit: mm(1004), Chop: mm(1000), Sheets: 1000}}}
	p.Corrugator.Webs, p.Corrugator.SideTrimMin = []quantity.Length{mm(1010), mm(1100)}, mm(5)
	p.Grades = []Grade{{Grade: "B", PricePerM2: pointer(quantity.Money(.5))}}
	return p
}

// Hand. 1,014 mm are needed, so 1,100 is run, 1,100 m²; four mm less make 1,010 enough: 90 m²,
// 45.00 less. Where the slit may change by 3 mm only, nothing is found.
func TestFourMillimetres(t *testing.T) {
	d := detailOf(detailed(t, alone(), ExplainOptions{Rounds: 50}), "A", "slit_mm")
	if d == nil || d.Change != -4 || !d.Tried || math.Abs(float64(d.About)-45) > 1e-6 || math.Abs(float64(d.Saves)-45) > 0.01 || math.Abs(float64(d.Sure)-45) > 0.01 || math.Abs(float64(d.Area)-90) > 0.01 {
		t.Fatalf("%+v, 45.00 and 90 m2 by hand", d)
	}
	if want := "A slit 4 mm narrower lets 1 × A run on a narrower web, 1010 mm in place of 1100 mm"; d.Words != want {
		t.Errorf("%q, want %q", d.Words, want)
	}
	if d := detailOf(detailed(t, alone(), ExplainOptions{Rounds: 50, Slit: mm(3)}), "A", "slit_mm"); d != nil {
		t.Errorf("within 3 mm: %+v", d)
	}
}

// Hand. Sides may hold 5 to 10 mm of trim each. One out of 488 leaves 20 on 508, two leave 24 on
// 1,000, which is too much; of 490 they leave 20. So 500 m² are run instead of 508, 4.00 less.
func TestWiderFillsTheTrim(t *testing.T) {
	p := alone()
	p.Corrugator.Webs, p.Corrugator.SideTrimMax = []quantity.Length{mm(508), mm(1000)}, pointer(mm(10))
	p.Orders[0].Slit = mm(488)
	d := detailOf(detailed(t, p, ExplainOptions{Rounds: 50}), "A", "slit_mm")
	if d == nil || d.Change != 2 || math.Abs(float64(d.Sure)-4) > 0.01 || d.Words != "A slit 2 mm wider lets 2 × A run on 1000 mm in place of 508 mm" {
		t.Errorf("%+v, 4.00 by hand", d)
	}
}

// Two orders that lie beside each other: by hand 2 × A of 700 and 1 × B of 584 need 1,994 mm with 5 a
// side, so 2,000 is run, and on 1,990 they would lie if A were 2 mm narrower: 10 mm of web.
func TestPartnersOnANarrowerWeb(t *testing.T) {
	p := alone()
	p.Corrugator.Webs, p.Corrugator.SideTrimMax = []quantity.Length{mm(1990), mm(2000)}, pointer(mm(20))
	p.Corrugator.KnifeLevels = 2
	p.Orders = []Order{
		{Order: "A", Grade: "B", Slit: mm(700), Chop: mm(1000), Sheets: 4000},
		{Order: "B", Grade: "B", Slit: mm(584), Chop: mm(1000), Sheets: 2000},
	}
	list := detailed(t, p, ExplainOptions{Rounds: 50})
	d := detailOf(list, "A", "slit_mm")
	if d == nil || d.Change != -2 || math.Abs(float64(d.Sure)-.5*.01*2000) > 0.02 || !strings.Contains(d.Words, "2 × A run beside 1 × B on a narrower web, 1990 mm in place of 2000 mm") {
		t.Errorf("%+v in %+v, 10.00 by hand", d, list)
	}
}

// A price is a difference quotient where basis and web stay (Chvátal, Linear Programming,
// 1983, ch. 5, from memory): one per cent less of the sheets costs less by the estimate,
// proven plan against proven plan, but for one cut of each of two runs.
func TestEstimateIsTheDifferenceQuotient(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Problem)
	}{
		{"alone", func(*Problem) {}},
		{"credit", func(p *Problem) { p.Grades[0].WasteCredit = .1 }},
		{"minutes", func(p *Problem) { p.Corrugator.Speed, p.Corrugator.MinuteCost = 100*quantity.MetrePerMinute, 4 }},
		{"two outs", func(p *Problem) { p.Orders[0].Slit = mm(500) }},
	} {
		p := alone()
		p.Orders[0].Sheets = 20_000
		c.change(&p)
		a := solved(t, p, 50)
		x, err := p.priced(context.Background(), a)
		if err != nil {
			t.Fatal(err)
		}
		list := p.estimates(context.Background(), a, x, ExplainOptions{Slit: mm(4)})
		k := slices.IndexFunc(list, func(e estimate) bool { return e.Field == "under_pct" })
		if k < 0 {
			t.Fatalf("%s: no estimate", c.name)
		}
		b := solved(t, p.loosened(&list[k]), 50)
		if a.Totals.Status != Optimal || b.Totals.Status != Optimal {
			t.Fatalf("%s: %s, %s", c.name, a.Totals.Status, b.Totals.Status)
		}
		quotient, about := float64(a.Totals.Cost-b.Totals.Cost), float64(list[k].About)
		if cut := float64(a.Totals.Cost) / 20_000; math.Abs(quotient-about) > 4*cut {
			t.Errorf("%s: about %.4f, by planning %.4f, a cut is %.4f", c.name, about, quotient, cut)
		}
	}
}

// Hand. A better board of the same price a m² in a web of 1,020 mm: 80 m² of 1,100 saved, 40.00.
func TestUpgradeIsPriced(t *testing.T) {
	p := alone()
	p.Corrugator.Webs = append(p.Corrugator.Webs, mm(1020))
	p.Grades[0].Webs = []quantity.Length{mm(1010), mm(1100)}
	p.Grades = append(p.Grades, Grade{Grade: "B+", PricePerM2: pointer(quantity.Money(.5)), Webs: []quantity.Length{mm(1020)}})
	d := detailOf(detailed(t, p, ExplainOptions{Rounds: 50}), "A", "may_upgrade_to")
	if d == nil || math.Abs(float64(d.About)-40) > 1e-6 || math.Abs(float64(d.Sure)-40) > 0.01 {
		t.Errorf("%+v, 40.00 by hand", d)
	}
}

// Hand. 1,004 mm fit 1,020, of which 100 m of the paper are left: with enough of it 80 m², 40.00.
func TestSubstituteIsPriced(t *testing.T) {
	p := alone()
	p.Corrugator.Webs = append(p.Corrugator.Webs, mm(1020))
	p.Grades[0].Plies = []Ply{{Paper: "K"}}
	p.Orders[0].MaxParts = 1
	p.Papers = []Stock{{Paper: "K", Metres: map[quantity.Length]quantity.Distance{mm(1020): metres(100)}}}
	d := detailOf(detailed(t, p, ExplainOptions{Rounds: 50}), "A", "papers")
	if d == nil || math.Abs(float64(d.Saves)-40) > 0.01 || !strings.Contains(d.Words, "in 1020 mm, which runs short there") {
		t.Errorf("%+v, 40.00 by hand", d)
	}
}

// twoDue is two orders of 1,000 m of their own, 100 m a minute, due so long after the first begins, 60.00 an hour late.
func twoDue(after ...time.Duration) Problem {
	p := alone()
	one := 1
	p.Corrugator.MaxOrdersPerRun = &one
	p.Corrugator.Speed = 100 * quantity.MetrePerMinute
	p.Begins = time.Date(2026, 3, 2, 6, 0, 0, 0, time.UTC)
	p.Orders = append(p.Orders, p.Orders[0])
	p.Orders[1].Order = "B"
	for k := range after {
		p.Orders[k].Due, p.Orders[k].LateCost = p.Begins.Add(after[k]), 60
	}
	return p
}

// Hand. A is due after 5 minutes and B after 15, so both are 5 minutes late in the sequence that costs least. With
// a day more for A, B goes first and neither is late: 10.00; A's own lateness where nothing moves is 5.00. With a day
// more for B, A is still late: 5.00. A day sooner they would have been due before the first run begins.
func TestADayMore(t *testing.T) {
	p := twoDue(5*time.Minute, 15*time.Minute)
	a := solved(t, p, 50)
	if math.Abs(float64(a.Totals.CostTerms["late"])-10) > 0.01 {
		t.Fatalf("late %v, 10.00 by hand", a.Totals.CostTerms["late"])
	}
	list := detailed(t, p, ExplainOptions{Rounds: 50})
	for order, want := range map[string]float64{"A": 10, "B": 5} {
		d := detailOf(list, order, "due_d")
		if d == nil || d.Change != 1 || !d.Tried || d.Sure != 0 || math.Abs(float64(d.Saves)-want) > .01 || math.Abs(float64(d.About)-5) > .01 {
			t.Errorf("%s: %+v, %.2f by hand, 5.00 where nothing moves", order, d, want)
		}
	}
}

// Hand. Both have a day to spare. A day sooner A is due after 5 minutes and cannot be there before 10: 5.00. B, due after
// 15, goes first and costs nothing, so nothing is told of it.
func TestADayLess(t *testing.T) {
	list := detailed(t, twoDue(24*time.Hour+5*time.Minute, 24*time.Hour+15*time.Minute), ExplainOptions{Rounds: 50})
	d := detailOf(list, "A", "due_d")
	if d == nil || d.Change != -1 || !d.Tried || math.Abs(float64(d.Saves)+5) > .01 {
		t.Errorf("%+v, 5.00 more by hand", d)
	}
	if d := detailOf(list, "B", "due_d"); d != nil {
		t.Errorf("B may go first: %+v", d)
	}
}
