package sheet

import (
	"bytes"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/supply"
	"github.com/flutewright/flutewright/plant/demo"
)

// TestCallOffIsOnePage prints none, a few and far more rows than fit, in A4 and Letter.
func TestCallOffIsOnePage(t *testing.T) {
	row := func(truck int) supply.Call {
		return supply.Call{Paper: "TL140", Web: 2350 * quantity.Millimetre, Rolls: 6, Metres: quantity.FromMetres(35_400), Mass: 11_646, Short: 1,
			NeededAt: demo.Now.Add(30 * time.Hour), Supplier: "Tarnholm Liner", Truck: truck, FullPct: 97, By: demo.Now.Add(5 * time.Hour)}
	}
	for _, page := range []string{"A4", "Letter"} {
		for _, n := range []int{0, 2, 15, 60} {
			book := demo.Book()
			book.Plant.Display.Page = page
			var calls []supply.Call
			for i := range n {
				calls = append(calls, row(i/2))
			}
			var b bytes.Buffer
			if err := CallOffSheet(&b, book, calls, demo.Now); err != nil {
				t.Fatal(err)
			}
			if pages := bytes.Count(b.Bytes(), []byte("/Type /Page\n")); pages != 1 {
				t.Errorf("%s, %d rows: %d pages, want 1", page, n, pages)
			}
		}
	}
}

// Hand: trucks of one number at two suppliers are two trucks; two masses of 11,646 kg
// are 23,292 kg; the earlier hour to call rules.
func TestCallOffByTruck(t *testing.T) {
	a := supply.Call{Supplier: "Mill A", Truck: 1, Mass: 11_646, FullPct: 97, By: demo.Now.Add(6 * time.Hour)}
	b, c := a, a
	b.By = demo.Now.Add(5 * time.Hour)
	c.Supplier = "Mill B"
	got := trucksOf([]supply.Call{a, c, b})
	if len(got) != 2 || len(got[0]) != 2 || len(got[1]) != 1 {
		t.Fatalf("%+v", got)
	}
	w := newWords(demo.Book().Plant.Display, time.UTC, demo.Now)
	if head := callHead(w, got[0]); head != "Mill A, truck 1: 23,292 kg, 97 % full, call by Mon 11:00" {
		t.Errorf("%s", head)
	}
}
