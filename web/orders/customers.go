package orders

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/web/frame"
)

type customersPage struct {
	frame.Base
	Rows []customerRow
}

type customerRow struct {
	order.Customer
	Hours string
	Open  int // lines
}

// Customers lists who orders.
func (p Pages) Customers(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := customersPage{Base: p.Base(w, r, snap, "Orders", "Customers")}
	pg.Trail = []frame.Link{{Words: "Orders", To: "/orders"}}
	pg.Acts = []frame.Link{{Words: "New customer", To: "/orders/customers/new"}, {Words: "Import customers", To: "/plant/import?kind=customers"}}
	open := map[ident.Customer]int{}
	for _, l := range snap.Lines {
		if l.State != order.Closed {
			open[l.Customer]++
		}
	}
	for _, c := range snap.Customers {
		pg.Rows = append(pg.Rows, customerRow{c, order.WriteReceiving(c.Receives), open[c.Code]})
	}
	return p.Render(w, http.StatusOK, pages["customers.html"], pg)
}

type customerPage struct {
	frame.Base
	order.Customer
	New     bool
	Version int
	Fields  []frame.Field
	History []frame.Edit
}

// newCustomer is the address of a customer that is not yet in the book.
const newCustomer = "new"

// Customer shows one customer with its form.
func (p Pages) Customer(w http.ResponseWriter, r *http.Request) error {
	pg, err := p.customer(w, r)
	if err != nil {
		return err
	}
	pg.Fields = customerFields(pg.Customer, pg.F, pg.New)
	return p.Render(w, http.StatusOK, pages["customer.html"], pg)
}

func (p Pages) customer(w http.ResponseWriter, r *http.Request) (*customerPage, error) {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return nil, err
	}
	code := r.PathValue("customer")
	pg := &customerPage{Base: p.Base(w, r, snap, "Orders", "Customer "+code), New: code == newCustomer}
	pg.Trail = []frame.Link{{Words: "Orders", To: "/orders"}, {Words: "Customers", To: "/orders/customers"}}
	if pg.New {
		pg.Title = "New customer"
		return pg, nil
	}
	c, ok := snap.Customer(ident.Customer(code))
	if !ok {
		return nil, fmt.Errorf("customer %s: %w", code, fault.NotFound)
	}
	pg.Customer, pg.Version = c, snap.Version(desk.KindCustomer, code)
	edits, err := p.Desk.History(r.Context(), desk.KindCustomer, code)
	pg.History = frame.Edits(edits)
	return pg, err
}

func customerFields(c order.Customer, f frame.Figures, fresh bool) []frame.Field {
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	fields := []frame.Field{
		{Name: "name", Label: "Name", Value: c.Name},
		{Name: "road", Label: "Road, " + f.RoadUnit(), Value: f.Road(c.Road), Hint: "from the gate to their dock"},
		{Name: "under_pct", Label: "Under, %", Value: number(c.UnderPct)},
		{Name: "over_pct", Label: "Over, %", Value: number(c.OverPct)},
		{Name: "unit_max_height", Label: "Unit height at most, " + f.LengthUnit(), Value: blankZero(f.Exact(c.UnitMaxHeight)), Hint: "with its pallet"},
		{Name: "pallet", Label: "Pallet", Value: string(c.Pallet)},
		{Name: "overhang", Label: "Overhang agreed, " + f.LengthUnit(), Value: blankZero(f.Exact(c.Overhang)), Hint: "each side"},
		{Name: "receives", Label: "Takes deliveries", Value: order.WriteReceiving(c.Receives), Hint: "Mon-Fri 07:00-15:00; Sat 08:00-12:00; empty: at any hour", Wide: true},
		{Name: "closed", Label: "Closed on", Value: strings.Join(c.ClosedDays, ", "), Hint: "dates as 2031-12-25, parted by commas", Wide: true},
		{Name: "note", Label: "Note", Value: c.Note, Wide: true},
	}
	if fresh {
		fields = append([]frame.Field{{Name: "customer", Label: "Code", Needed: true}}, fields...)
	}
	return fields
}

func blankZero(s string) string {
	if s == "0" {
		return ""
	}
	return s
}

// SaveCustomer takes the form of a customer.
func (p Pages) SaveCustomer(w http.ResponseWriter, r *http.Request) error {
	pg, err := p.customer(w, r)
	if err != nil {
		return err
	}
	v := frame.Values{R: r}
	version := v.Count("version", 0, 0)
	c, err := customerTyped(&v, pg)
	if err == nil {
		err = p.Desk.SaveCustomer(r.Context(), c, version, frame.Who(r), v.Text("why"))
	}
	if err == nil {
		return frame.Done(w, r, "/orders/customers", "Customer "+string(c.Code)+" is saved.")
	}
	status := http.StatusUnprocessableEntity
	pg.Fields = customerFields(c, pg.F, pg.New)
	for n := range pg.Fields {
		pg.Fields[n].Value = r.FormValue(pg.Fields[n].Name)
	}
	vs, other := frame.Violations(err)
	switch {
	case other == nil:
		for n := range vs { // a field of the form has no unit in its name
			vs[n].Field = strings.TrimSuffix(strings.TrimSuffix(vs[n].Field, "_mm"), "_m")
			if name, _, part := strings.Cut(vs[n].Field, "."); part {
				vs[n].Field = name
			}
		}
		pg.Amiss = frame.Mark(pg.Fields, pg.F.InUnits(vs))
	case errors.Is(err, fault.Conflict):
		status = http.StatusConflict
		pg.Amiss = []frame.Amiss{{Words: err.Error()}}
	default:
		return err
	}
	return p.Render(w, status, pages["customer.html"], pg)
}

// customerTyped reads the form over what stands.
func customerTyped(v *frame.Values, pg *customerPage) (order.Customer, error) {
	c := pg.Customer
	if pg.New {
		c.Code = ident.Customer(v.Text("customer"))
	}
	var vs fault.Violations
	keep := func(field string, err error) {
		if err != nil {
			vs.Add(field, v.Text(field), err.Error(), "")
		}
	}
	var err error
	c.Name, c.Note, c.Pallet = v.Text("name"), v.Text("note"), ident.Pallet(v.Text("pallet"))
	c.UnderPct, c.OverPct = v.Number("under_pct", 0, 100), v.Number("over_pct", 0, 100)
	c.Road, err = pg.F.KeepRoad(v.Text("road"), c.Road)
	keep("road", err)
	c.UnitMaxHeight, err = pg.F.KeepLength(zeroBlank(v.Text("unit_max_height")), c.UnitMaxHeight)
	keep("unit_max_height", err)
	c.Overhang, err = pg.F.KeepLength(zeroBlank(v.Text("overhang")), c.Overhang)
	keep("overhang", err)
	hours, err := order.ParseReceiving(v.Text("receives"))
	if bad, other := frame.Violations(err); other == nil && err != nil {
		vs = append(vs, bad...)
	} else {
		c.Receives = hours
	}
	c.ClosedDays = strings.FieldsFunc(v.Text("closed"), func(r rune) bool { return r == ',' || r == ' ' || r == ';' || r == '\n' })
	if typed, other := frame.Violations(v.Err()); other == nil {
		vs = append(vs, typed...)
	}
	return c, vs.Err()
}

func zeroBlank(s string) string {
	if s == "" {
		return "0"
	}
	return s
}
