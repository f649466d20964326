package runs

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// TestOneDetail: hand. 1,000 sheets of 1,004 × 1,000 mm alone on webs of 1,010 and
// 1,100 mm with 5 mm of trim a side: 1,014 mm are needed, so 1,100 is run, 1,100 m²
// at 0.50. Four mm less make 1,010 enough: 1,010 m², 45.00 less.
func TestOneDetail(t *testing.T) {
	price := quantity.Money(0.5)
	p := Problem{Orders: []Order{{Order: "A", Grade: "B", Slit: 1004 * quantity.Millimetre, Chop: 1000 * quantity.Millimetre, Sheets: 1000}}}
	p.Corrugator.Webs = []quantity.Length{1010 * quantity.Millimetre, 1100 * quantity.Millimetre}
	p.Corrugator.SideTrimMin = 5 * quantity.Millimetre
	p.Grades = []Grade{{Grade: ident.Grade("B"), PricePerM2: &price}}
	a, err := Solve(context.Background(), p, Options{Rounds: 50})
	if err != nil {
		t.Fatal(err)
	}
	list, err := Details(context.Background(), p, a, ExplainOptions{Rounds: 50})
	if err != nil {
		t.Fatal(err)
	}
	if len(list) == 0 {
		t.Fatalf("nothing found beside %+v", a.Totals)
	}
	d := list[0]
	if d.Change != -4 || math.Abs(float64(d.Saves)-45) > 0.01 || math.Abs(float64(d.Sure)-45) > 0.01 || !strings.Contains(d.Words, "1010 mm in place of 1100 mm") {
		t.Errorf("%+v, 45.00 by hand", d)
	}
	for _, d := range list {
		if d.Sure <= 0 || d.Saves < d.Sure-1e-9 {
			t.Errorf("%+v is not sure", d)
		}
	}
}
