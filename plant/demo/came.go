package demo

import (
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
)

// Entered is when the demo's book was entered, the Friday evening before Now.
var Entered = Now.Add(-60 * time.Hour)

// Arrival is an order that came in after the book was entered.
type Arrival struct {
	At   time.Time
	Line order.Line
}

// Weekend parts Book into what stood in it on Friday evening and the orders that came in since: the rush order of Monday 05:40.
func Weekend() (plant.Book, []Arrival) {
	b := Book()
	rush := ident.NewRelease("J1039", "", "")
	i := slices.IndexFunc(b.Lines, func(l order.Line) bool { return l.Key == rush })
	if i < 0 {
		panic("demo: the book has lost its rush order " + rush.String())
	}
	came := []Arrival{{Now.Add(-20 * time.Minute), b.Lines[i]}}
	b.Lines = slices.Delete(b.Lines, i, i+1)
	return b, came
}
