package runs

import (
	"context"
	"math"
	"testing"

	"github.com/flutewright/flutewright/base/quantity"
)

// Hand: two outs of 950 mm on 2,000 mm at 0.20 a m²: a sheet of 1,000 mm takes half a metre of
// web, 1 m², 0.20. With a credit of 0.05 for the 0.05 m² of trim beside it, 0.1975.
func TestMarginals(t *testing.T) {
	for credit, want := range map[quantity.Money]float64{0: .2, .05: .1975} {
		p := small()
		p.Corrugator.Webs = []quantity.Length{mm(2000)}
		p.Grades = []Grade{{Grade: "B", PricePerM2: pointer(quantity.Money(.2)), WasteCredit: credit}}
		p.Orders = []Order{{Order: "a", Grade: "B", Slit: mm(950), Chop: mm(1000), Sheets: 5000}}
		y, _, err := PaperPrices(context.Background(), p, nil)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(float64(y["a"])-want) > 1e-6 {
			t.Errorf("credit %v: %v, by hand %v", credit, y["a"], want)
		}
	}
}
