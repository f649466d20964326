package stock

import (
	"cmp"
	"slices"
	"strconv"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
)

// tolerance is by how many per cent a stock order may be made over or under: no
// customer counts its boxes, and a run need not be cut short for it (common
// practice, no published source).
const tolerance = 10

// orderPrefix begins the order number of a stock order: STOCK-FW-1001.
const orderPrefix = "STOCK-"

// OrderOf is the order number of an item's stock orders.
func OrderOf(item ident.Item) string {
	s := orderPrefix + string(item)
	if len(s) > order.MostCodeLen {
		s = s[:order.MostCodeLen]
	}
	return s
}

// raise returns the stock order that fills an item up to its most. Each one is
// a further release of the item's stock order; the boxes it leaves room for
// are those that stay free and those that open stock orders bring.
func raise(i order.Item, it Item, now time.Time, lines []order.Line) order.Line {
	name, next := OrderOf(i.Code), 1
	for _, l := range lines {
		if n, err := strconv.Atoi(l.Key.Release); l.Key.Order == name && err == nil {
			next = max(next, n+1)
		}
	}
	days := cmp.Or(i.StockDays, order.DefaultStockDays)
	return order.Line{
		Key: ident.NewRelease(name, "1", strconv.Itoa(next)), Customer: i.Customer, Item: i.Code, Kind: order.ForStock,
		Quantity: it.Most - it.Left() - it.Coming, OverPct: tolerance, UnderPct: tolerance,
		Due: now.AddDate(0, 0, days).Truncate(time.Minute), DueAt: order.AtGate, State: order.Open,
		Note: "raised because the stock is below " + order.Thousands(i.StockLeast),
	}
}

// Filled returns the book with the stock orders that are wanted at a moment
// beside its lines; the book itself is left as it is.
func Filled(b plant.Book, now time.Time) plant.Book {
	if raised := Of(b, now).Raised; len(raised) > 0 {
		b.Lines = append(slices.Clone(b.Lines), raised...)
	}
	return b
}
