package exchange_test

import (
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/exchange"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
)

// By hand: a blanket order with its last call-off, an item kept in stock, and
// a customer's receiving hours, as columns.
func TestBlanketStockAndReceivingHours(t *testing.T) {
	known := desk.KnownOf(demo.Book(), time.Date(2031, 3, 3, 6, 0, 0, 0, time.UTC))
	const orders = `order,release,customer,item,due,quantity,kind,closes
B1,0,C01,FW-1001,2031-06-30,20000,blanket,
B1,1,C01,FW-1001,2031-03-05,5000,,no
B1,2,C01,FW-1001,2031-03-12,5000,call-off,yes
B1,3,C01,FW-1001,2031-03-12,5000,perhaps,
`
	f, err := exchange.Orders{}.ReadOrders("orders.csv", strings.NewReader(orders), known)
	if err != nil || len(f.Rows) != 3 || len(f.Waiting) != 1 || f.Waiting[0].Faults[0].Field != "kind" {
		t.Fatalf("%+v, %v", f, err)
	}
	if a, c := f.Rows[0].Line, f.Rows[2].Line; a.Kind != order.Blanket || c.Kind != order.Ordinary || !c.Closes || f.Rows[1].Line.Closes {
		t.Errorf("%+v, %+v", a, c)
	}
	const items = "item,stock_least,stock_most,stock_days\nFW-1001,\"1,000\",5000,4\nFW-1002,1000,500,\n"
	table, err := exchange.Tables{}.ReadTable(desk.TableItems, "items.csv", strings.NewReader(items), known)
	if err != nil || len(table.Items) != 1 || len(table.Waiting) != 1 || table.Waiting[0].Faults[0].Field != "stock_most" {
		t.Fatalf("%+v, %v", table, err)
	}
	if i := table.Items[0]; i.StockLeast != 1000 || i.StockMost != 5000 || i.StockDays != 4 || i.Grade == "" {
		t.Errorf("%+v", i)
	}
	const customers = "customer,name,receives,closed\nC01,Orchard,Mon-Fri 07:00-15:00,2031-05-01/2031-12-25\nC02,Mill,whenever,\n"
	table, err = exchange.Tables{}.ReadTable(desk.TableCustomers, "customers.csv", strings.NewReader(customers), known)
	if err != nil || len(table.Customers) != 1 || len(table.Waiting) != 1 || table.Waiting[0].Faults[0].Field != "receives" {
		t.Fatalf("%+v, %v", table, err)
	}
	if c := table.Customers[0]; len(c.Receives) != 1 || len(c.Receives[0].Days) != 5 || len(c.ClosedDays) != 2 {
		t.Errorf("%+v", c)
	}
}
