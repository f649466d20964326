package runs

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/quantity"
)

func explained(t interface{ Fatal(...any) }, p Problem, a Answer, opt ExplainOptions) Explained {
	e, err := Explain(context.Background(), p, a, opt)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// lonely is one order of 700 mm on webs of 2,000 and 2,500 mm with at most 50 mm
// of trim a side. By hand: two outs leave 600 and three are too wide on 2,000;
// three leave 400 on 2,500. So it lies on neither alone. A web of three outs
// needs 2,100 mm and the least trim of 15 a side, 2,130; of two 1,430, of one 730. To lie on
// 2,500 its trim may be 200 a side; on 2,000 it would be 300. Beside three
// outs on 2,500 a partner is 300 to 370 wide, beside two on 2,000 500 to 570.
func lonely() Problem {
	p := Problem{Grades: []Grade{{Grade: "B", PricePerM2: pointer(quantity.Money(.2))}, {Grade: "B+", PricePerM2: pointer(quantity.Money(.3)), Webs: []quantity.Length{mm(2180)}}}}
	c := &p.Corrugator
	c.Webs, c.KnifeLevels = []quantity.Length{mm(2000), mm(2180), mm(2500)}, 2
	c.SideTrimMin, c.SideTrimMax, c.MinSlit = mm(15), pointer(mm(50)), mm(180)
	p.Grades[0].Webs = []quantity.Length{mm(2000), mm(2500)}
	p.Orders = []Order{{Order: "a", Grade: "B", Slit: mm(700), Chop: mm(1000), Sheets: 3000, OverPct: 5}}
	return p
}

// Hand, see lonely. 3,000 sheets of 700 × 1,000 mm in three outs are 1,000 m.
func TestExplainFreesByHand(t *testing.T) {
	p := lonely()
	a := solved(t, p, 20)
	if len(a.Unplanned) != 1 {
		t.Fatalf("%+v", a)
	}
	got := explained(t, p, a, ExplainOptions{}).Unplanned[0]
	want := []struct {
		limit, words string
		extra        float64
	}{
		{"webs_mm", "a new web of 2130 mm", .2 * 2.13 * 1000},
		{"webs_mm", "the web of 2180 mm", .2 * 2.18 * 1000},
		{"side_trim_max_mm", "200 mm of trim a side", .2 * 2.5 * 1000},
		{"may_upgrade_to", "on B+ instead of B", .3 * 2.18 * 1000},
		{"partner", "from 300 mm to 370 mm wide beside it on 2500 mm", -1},
	}
	for _, w := range want {
		k := slices.IndexFunc(got.Frees, func(f Free) bool { return f.Limit == w.limit && strings.Contains(f.Words, w.words) })
		if k < 0 {
			t.Errorf("%s, %q: not said in %+v", w.limit, w.words, got.Frees)
			continue
		}
		if x := float64(got.Frees[k].Extra); w.extra >= 0 && (x < w.extra*(1-1e-9) || x > w.extra*(1+1e-9)) {
			t.Errorf("%q: %.3f more, by hand %.3f", w.words, x, w.extra)
		}
	}
	for _, f := range got.Frees { // neither tolerance nor the machine's counts bring it onto a web
		if f.Limit == "over_pct" || f.Limit == "under_pct" || f.Limit == "scorers" {
			t.Errorf("%+v frees nothing", f)
		}
	}
	if !slices.IsSortedFunc(got.Frees, func(x, y Free) int { return int(min(max(float64(x.Extra-y.Extra), -1), 1)) }) {
		t.Errorf("not cheapest first: %+v", got.Frees)
	}
}

// Hand: 1,001 sheets and nothing over in two outs of whole cuts and a least run of 600 m (1,200
// sheets): 20 % more than wanted, so 20 of the per cents that are tried.
func TestExplainTolerance(t *testing.T) {
	p := small()
	p.Corrugator.Webs, p.Corrugator.MinRun = []quantity.Length{mm(2000)}, metres(600)
	p.Orders = []Order{{Order: "a", Grade: "B", Slit: mm(950), Chop: mm(1000), Sheets: 1000}}
	a := solved(t, p, 20)
	got := explained(t, p, a, ExplainOptions{}).Unplanned[0].Frees
	if !slices.ContainsFunc(got, func(f Free) bool { return f.Words == "agree 20 % over, 20 more than now" }) {
		t.Errorf("%+v", got)
	}
	if !slices.ContainsFunc(got, func(f Free) bool { return f.Words == "allow a run of 500 m, shorter than the least of 600 m" }) {
		t.Errorf("%+v", got)
	}
}

// Hand: 1,004 mm and 5 mm a side are 1,014, four more than the only web; a paper that is used up in
// it has a substitute at 0.60 instead of 0.50, 1,010 m² of it.
func TestExplainTriesSlitAndSubstitute(t *testing.T) {
	p := alone()
	p.Corrugator.Webs = []quantity.Length{mm(1010)}
	got := explained(t, p, solved(t, p, 20), ExplainOptions{}).Unplanned[0].Frees
	if k := slices.IndexFunc(got, func(f Free) bool { return f.Limit == "slit_mm" }); k < 0 || !strings.Contains(got[k].Words, "4 mm narrower, 1000 mm instead of 1004 mm") {
		t.Errorf("slit: %+v", got)
	}
	p.Orders[0].Slit, p.Grades[0].Plies = mm(1000), []Ply{{Paper: "K"}}
	p.Papers = []Stock{{Paper: "K", Metres: map[quantity.Length]quantity.Distance{mm(1010): 0}}}
	other := p.Grades[0]
	other.Plies, other.PricePerM2 = []Ply{{Paper: "T"}}, pointer(quantity.Money(.6))
	got = explained(t, p, solved(t, p, 20), ExplainOptions{StandIn: []StandIn{{Words: "T in place of K", Board: other}}}).Unplanned[0].Frees
	if k := slices.IndexFunc(got, func(f Free) bool { return f.Limit == "plies" }); k < 0 || diff(float64(got[k].Extra), 606) {
		t.Errorf("substitute: %+v, 606.00 by hand", got)
	}
}

// What is said to free an order truly does: its plan passes Check of the problem
// with that one limit loosened, makes the order, and loses no other.
func TestWhatFreesTrulyFrees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 4)
		a := solved(t, p, 10)
		if len(a.Unplanned) == 0 {
			return
		}
		u := a.Unplanned[0]
		k := slices.IndexFunc(p.Orders, func(o Order) bool { return o.Order == u.Order })
		all := p.ladders(p.Orders[k], ExplainOptions{})
		l := all[rapid.IntRange(0, len(all)-1).Draw(t, "ladder")]
		s := l.steps[rapid.IntRange(0, len(l.steps)-1).Draw(t, "step")]
		free, err := p.try(context.Background(), a, p.Vicinity(a, u.Order), k, s, ExplainOptions{Seed: 3, Rounds: 10})
		if err != nil {
			t.Fatal(err)
		}
		if free == nil {
			return
		}
		q := p
		q.Orders, q.Grades, q.Papers = slices.Clone(p.Orders), slices.Clone(p.Grades), slices.Clone(p.Papers)
		s.loosen(&q, &q.Orders[k])
		if err := Check(q, free.plan); err != nil {
			t.Fatalf("%+v: %v", free, err)
		}
		made := map[string]bool{}
		for _, m := range free.plan.Orders {
			made[m.Order] = m.Planned >= m.Least
		}
		for _, m := range a.Orders {
			if !made[m.Order] {
				t.Fatalf("%+v: loses %s", free, m.Order)
			}
		}
		if !made[u.Order] {
			t.Fatalf("%+v: does not make %s", free, u.Order)
		}
	})
}

// A vicinity planned anew under the same limits never makes the plan illegal, nor leaves an order.
func TestAgainIsLegal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 5)
		a := solved(t, p, 5)
		if len(a.Orders) == 0 {
			return
		}
		v := p.Vicinity(a, rapid.SampledFrom(a.Orders).Draw(t, "order").Order)
		b, part, err := p.Again(context.Background(), a, v, Options{Seed: 1, Rounds: 5})
		if err != nil {
			t.Fatal(err)
		}
		if err := Check(p, b); err != nil {
			t.Fatal(err)
		}
		if len(b.Unplanned) > len(a.Unplanned) {
			t.Fatalf("%+v and then %+v", a.Unplanned, b.Unplanned)
		}
		if part.Totals.Bound > part.Totals.Cost*(1+1e-9) {
			t.Fatalf("bound %v of %v", part.Totals.Bound, part.Totals.Cost)
		}
	})
}

// Every different plan passes Check, differs as is said, and is told at its true cost.
func TestDifferentPlans(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t, 8)
		a := solved(t, p, 5)
		list, err := DifferentPlans(context.Background(), p, a, ExplainOptions{Seed: 1, Rounds: 5})
		if err != nil {
			t.Fatal(err)
		}
		for i, d := range list {
			if err := Check(p, d.Answer); err != nil {
				t.Fatal(err)
			}
			if d.Extra != d.Answer.Totals.Cost-a.Totals.Cost || i > 0 && d.Extra < list[i-1].Extra {
				t.Fatalf("%v after %v", d.Extra, list)
			}
			same := slices.Equal(websRun(a.Runs), websRun(d.Answer.Runs))
			if same && d.Partners < 20 {
				t.Fatalf("the same webs and %v %% of other partners", d.Partners)
			}
		}
	})
}

// Hand. A plan that leaves an order which fits as it is: no limit is named, for none need give way, and
// 1,000 m of 1,100 mm at 0.50 are 550.00 more.
func TestExplainNamesNoLimitWhereNoneStops(t *testing.T) {
	p := alone()
	a := p.retotal(Answer{Runs: []Run{}, Orders: []Made{}, Unplanned: []Unplanned{{"A", "a web fits, but no partner"}}})
	e, err := Explain(context.Background(), p, a, ExplainOptions{Rounds: 20, Plans: -1})
	if err != nil || len(e.Unplanned) != 1 {
		t.Fatalf("%v %+v", err, e.Unplanned)
	}
	u := e.Unplanned[0]
	if u.Tried != 1 || len(u.Frees) != 1 || u.Frees[0].Limit != "none" || math.Abs(float64(u.Frees[0].Extra)-550) > .01 || !strings.HasPrefix(u.Reason, "no limit stops it") {
		t.Errorf("%+v, 550.00 by hand", u)
	}
}
