package plan

import (
	"errors"
	"testing"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
)

// TestPastOrders: what is closed counts as what is open, what is on hold does
// not; paper in the house sets no limit, and what is made already is asked for.
func TestPastOrders(t *testing.T) {
	book := demo.Book()
	open, err := PastOrders(book, demo.Now)
	if err != nil {
		t.Fatal(err)
	}
	if len(open.Trim.Orders) == 0 || len(open.Trim.Papers) != 0 || open.Days < 1 {
		t.Fatalf("%d orders, %d papers, %v days", len(open.Trim.Orders), len(open.Trim.Papers), open.Days)
	}
	if err := open.Trim.Validate(); err != nil {
		t.Fatal(err)
	}
	for i := range book.Lines {
		book.Lines[i].State = order.Closed
	}
	closed, err := PastOrders(book, demo.Now)
	if err != nil || len(closed.Trim.Orders) < len(open.Trim.Orders) || closed.Closed != len(closed.Trim.Orders) || open.Closed >= closed.Closed {
		t.Errorf("%v, %d orders closed, %d open", err, len(closed.Trim.Orders), len(open.Trim.Orders))
	}
	if demo.Book().Lines[0].State == order.Closed {
		t.Error("the book has been changed")
	}
	for i := range book.Lines {
		book.Lines[i].State = order.OnHold
	}
	if _, err := PastOrders(book, demo.Now); !errors.Is(err, fault.Invalid) {
		t.Errorf("all on hold: %v", err)
	}
}
