package order_test

import (
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/order"
)

// By hand, on the calendar of March 2031: the 8th is a Saturday; the clocks of
// New York go forward on Sunday the 9th at 02:00.
func TestReceiving(t *testing.T) {
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	weekdays := []string{"Mon", "Tue", "Wed", "Thu", "Fri"}
	c := order.Customer{Code: "C1", ClosedDays: []string{"2031-03-06"}, Receives: []order.Receiving{{Days: weekdays, From: "07:00", Until: "15:00"}}}
	night := order.Customer{Code: "C2", Receives: []order.Receiving{{Days: []string{"Sat"}, From: "22:00", Until: "06:00"}}}
	if err := c.Validate(); err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		source        string
		customer      order.Customer
		at            string
		before, after string
		why           string
	}{
		{"within hours", c, "2031-03-05 10:00", "2031-03-05 10:00", "2031-03-05 10:00", ""},
		{"end of the day", c, "2031-03-05 23:59", "2031-03-05 15:00", "2031-03-07 07:00", "the customer takes deliveries Mon, Tue, Wed, Thu, Fri 07:00–15:00"},
		{"closed day", c, "2031-03-06 10:00", "2031-03-05 15:00", "2031-03-07 07:00", "the customer is closed on that day"},
		{"Saturday", c, "2031-03-08 10:00", "2031-03-07 15:00", "2031-03-10 07:00", "the customer takes no deliveries on a Saturday"},
		{"too early", c, "2031-03-05 05:00", "2031-03-04 15:00", "2031-03-05 07:00", "the customer takes deliveries Mon, Tue, Wed, Thu, Fri 07:00–15:00"},
		{"no hours stated", order.Customer{Code: "C3"}, "2031-03-08 03:00", "2031-03-08 03:00", "2031-03-08 03:00", ""},
		{"after midnight of that night", night, "2031-03-09 04:30", "2031-03-09 04:30", "2031-03-09 04:30", ""},
		{"a night over the clock change", night, "2031-03-08 23:00", "2031-03-08 23:00", "2031-03-08 23:00", ""},
	}
	for _, tt := range tests {
		at := in(t, tt.at, zone)
		got, why := tt.customer.Receivable(at, zone)
		if want := in(t, tt.before, zone); !got.Equal(want) || why != tt.why {
			t.Errorf("%s: receivable %v (%s), want %v (%s)", tt.source, got, why, want, tt.why)
		}
		if got, _ := tt.customer.Received(at, zone); !got.Equal(in(t, tt.after, zone)) {
			t.Errorf("%s: received %v, want %s", tt.source, got, tt.after)
		}
	}
}

func in(t *testing.T, s string, zone *time.Location) time.Time {
	t.Helper()
	at, err := time.ParseInLocation("2006-01-02 15:04", s, zone)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

func TestKindsOfLines(t *testing.T) {
	tests := []struct {
		source string
		change func(*order.Line)
		want   string
	}{
		{"blanket", func(l *order.Line) { l.Kind = order.Blanket }, ""},
		{"stock", func(l *order.Line) { l.Kind = order.ForStock }, ""},
		{"unknown", func(l *order.Line) { l.Kind = "maybe" }, "kind"},
		{"a blanket that closes itself", func(l *order.Line) { l.Kind, l.Closes = order.Blanket, true }, "closes"},
		{"goods given without a name", func(l *order.Line) {
			l.Given = []order.Allotment{{Other: ident.NewRelease("J2", "", ""), Boxes: 0}}
		}, "given.1.boxes given.1.by"},
	}
	for _, tt := range tests {
		l := line("J1001")
		tt.change(&l)
		if got := fields(l.Validate()); got != tt.want {
			t.Errorf("%s: faults in %q, want %q", tt.source, got, tt.want)
		}
	}
	i := item()
	i.StockLeast, i.StockMost = 500, 400
	if got := fields(i.Validate()); got != "stock_most customer" {
		t.Errorf("stock: faults in %q", got)
	}
	l := line("J1")
	l.Quantity, l.UnderPct, l.OverPct = 5000, 10, 10 // binary floats: 5000 × 1.1 is 5500.000000000001
	if l.Least() != 4500 || l.Most() != 5500 {
		t.Errorf("least %d, most %d", l.Least(), l.Most())
	}
}

func TestHoursAsPeopleWriteThem(t *testing.T) {
	tests := []struct{ source, written, again, fault string }{
		{"a range", "Mon–Fri 07:00–15:00", "Mon-Fri 07:00-15:00", ""},
		{"two parts", "mon-thu 07:00-15:00; Sat, Sun 08:00-12:00", "Mon-Thu 07:00-15:00; Sat Sun 08:00-12:00", ""},
		{"none", " ", "", ""},
		{"no hours", "Mon-Fri", "", "receives"},
		{"no days", "07:00-15:00", "", "receives"},
		{"backwards", "Fri-Mon 07:00-15:00", "", "receives"},
	}
	for _, tt := range tests {
		got, err := order.ParseReceiving(tt.written)
		if fields(err) != tt.fault || order.WriteReceiving(got) != tt.again {
			t.Errorf("%s: %q, %v", tt.source, order.WriteReceiving(got), err)
		}
	}
	bad := order.Customer{Code: "C1", Receives: []order.Receiving{{Days: []string{"Mon"}, From: "7", Until: "15:00"}}}
	if fields(bad.Validate()) != "receives.1" {
		t.Errorf("%v", bad.Validate())
	}
}
