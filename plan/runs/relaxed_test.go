package runs

import (
	"context"
	"math"
	"slices"
	"testing"

	"github.com/flutewright/flutewright/base/quantity"
)

// Hand, at 0.20 a m²: two outs of 950 on 2,000 mm make 5,000 sheets of 1 m in 2,500 m,
// 5,000 m², 1,000; with a credit of 0.05 for its 250 m² of trim 12.5 less. A slit of
// 2,100 fits no web and is left.
func TestRelax(t *testing.T) {
	for credit, want := range map[quantity.Money]float64{0: 1000, .05: 987.5} {
		p := small()
		p.Corrugator.Webs = []quantity.Length{mm(2000)}
		p.Grades = []Grade{{Grade: "B", PricePerM2: pointer(quantity.Money(.2)), WasteCredit: credit}}
		p.Orders = []Order{{Order: "wide", Grade: "B", Slit: mm(2100), Chop: mm(1000), Sheets: 10}, {Order: "a", Grade: "B", Slit: mm(950), Chop: mm(1000), Sheets: 5000}}
		r, err := Relax(context.Background(), p)
		if err != nil {
			t.Fatal(err)
		}
		near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-6*b }
		if !near(float64(r.Cost), want) || !near(float64(r.Bound), want) || !r.Done || !slices.Equal(r.Left, []string{"wide"}) {
			t.Errorf("credit %v: %+v, by hand %v", credit, r, want)
		}
		if !near(r.Web[mm(2000)].Metres(), 2500) || !near(float64(r.Good), 4750) {
			t.Errorf("%v m and %v m² of good sheets, by hand 2500 and 4750", r.Web[mm(2000)].Metres(), float64(r.Good))
		}
	}
}

// Hand: on 2,000 mm with at most 50 mm of trim a side a slit of 1,100 needs a partner of
// 800 to 900, for 700 leaves 200. A partner that is wanted a thousand times runs along all
// the 5,000 m, at 1 a m²; what it makes beyond that is waste.
func TestRelaxNeedsAPartner(t *testing.T) {
	p := small()
	p.Corrugator.Webs, p.Corrugator.SideTrimMax = []quantity.Length{mm(2000)}, pointer(mm(50))
	p.Grades = []Grade{{Grade: "B"}}
	p.Orders = []Order{{Order: "a", Grade: "B", Slit: mm(1100), Chop: mm(1000), Sheets: 5000}, {Order: "b", Grade: "B", Slit: mm(700), Chop: mm(1000), Sheets: 1000}}
	if r, err := Relax(context.Background(), p); err != nil || !slices.Equal(r.Left, []string{"a", "b"}) {
		t.Errorf("%v, left %v", err, r.Left)
	}
	p.Orders[1].Slit = mm(850)
	r, err := Relax(context.Background(), p)
	if err != nil || len(r.Left) != 0 || math.Abs(float64(r.Cost)-10_000) > 1e-3 || math.Abs(float64(r.Good)-(5500+850)) > 1e-3 {
		t.Errorf("%v, %+v", err, r)
	}
}
