package runs

import (
	"testing"

	"github.com/flutewright/flutewright/base/quantity"
)

// TestUSPlant is a 98-inch machine with one knife: 5,000 blanks of 58 1/16 ×
// 22 5/8 in at four outs on 93 in leave 2 1/2 in of trim, 2.7 %; 98 in would
// leave 7 1/2 in, 7.7 % (worked by hand).
func TestUSPlant(t *testing.T) {
	in := quantity.FromInches
	p := Problem{Grades: []Grade{{Grade: "C 35-26-35", PricePerM2: pointer(quantity.Money(.21)), Plies: []Ply{{"35", 0}, {"26", 1.43}, {"35", 0}}}}}
	c := &p.Corrugator
	for _, w := range []float64{72, 78, 84, 87, 93, 98} {
		c.Webs = append(c.Webs, in(w))
	}
	c.SideTrimMin, c.SideTrimMax, c.KnifeLevels = in(.5), pointer(in(4)), 1
	flap := in(6.125)
	p.Orders = []Order{{Order: "7", Grade: "C 35-26-35", Slit: in(22.625), Chop: in(58.0625), Scores: []quantity.Length{flap, in(22.625) - flap}, Sheets: 5000, OverPct: 3}}
	a := solved(t, p, 50)
	if err := Check(p, a); err != nil {
		t.Fatal(err)
	}
	if len(a.Runs) != 1 {
		t.Fatalf("%d runs", len(a.Runs))
	}
	r := a.Runs[0]
	if r.Web != in(93) || r.Lanes[0].Outs != 4 || r.Trim != in(2.5) || r.Lanes[0].Cuts != 1250 {
		t.Errorf("%v web, %d outs, trim %v, %d cuts", r.Web.Inches(), r.Lanes[0].Outs, r.Trim.Inches(), r.Lanes[0].Cuts)
	}
	if w := a.Totals.WastePct; w < 2.68 || w > 2.70 {
		t.Errorf("waste %.3f %%, 2.5 in of 93 in are 2.69", w)
	}
	p.Corrugator.Webs = []quantity.Length{in(98)}
	if b := solved(t, p, 50); b.Runs[0].Trim != in(7.5) {
		t.Errorf("98 in leaves %v in", b.Runs[0].Trim.Inches())
	}
}
