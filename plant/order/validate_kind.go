package order

import (
	"fmt"
	"strconv"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/fault"
)

// kind judges what the line is for, and the goods it took and gave.
func (l Line) kind(v *fault.Violations) {
	switch l.Kind {
	case Ordinary, ForStock:
	case Blanket:
		v.Require(!l.Closes, "closes", "yes", "a blanket order cannot close itself: state it at its last call-off")
	default:
		v.Add("kind", clip(string(l.Kind)), "must be blanket or stock, or left out", "")
	}
	for name, list := range map[string][]Allotment{"taken": l.Taken, "given": l.Given} {
		for n, a := range list {
			at := fmt.Sprintf("%s.%d.", name, n+1)
			whole(v, at+"boxes", a.Boxes, 1, MostBoxes)
			v.Require(a.Other != l.Key, at+"other", a.Other.String(), "a line cannot give goods to itself")
			v.Require(a.By != "", at+"by", "", "must name who decided")
		}
	}
}

// stock judges the stock that is kept of an item.
func (i Item) stock(v *fault.Violations) {
	whole(v, "stock_least", i.StockLeast, 0, MostBoxes)
	whole(v, "stock_most", i.StockMost, 0, MostBoxes)
	whole(v, "stock_days", i.StockDays, 0, 366)
	v.Require(i.StockMost == 0 || i.StockMost >= i.StockLeast, "stock_most", strconv.Itoa(i.StockMost),
		"must not be less than stock_least, "+Thousands(i.StockLeast))
	v.Require(i.StockLeast == 0 || i.Customer != "", "customer", "", "must name whose stock is kept")
}

// receiving judges the hours and closed days of a customer's dock.
func (c Customer) receiving(v *fault.Violations) {
	for n, r := range c.Receives {
		_, err := calendar.Compile(calendar.Calendar{WorkingDays: r.Days, Shifts: []calendar.Shift{{Name: "open", Start: r.From, End: r.Until}}})
		if err != nil {
			v.Add("receives."+strconv.Itoa(n+1), r.From+"–"+r.Until, "must name days as Mon and hours as 07:00", err.Error())
		}
	}
	for n, d := range c.ClosedDays {
		_, err := time.Parse(time.DateOnly, d)
		v.Require(err == nil, "closed."+strconv.Itoa(n+1), d, "must be a date as 2031-12-25")
	}
}
