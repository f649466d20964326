package orders

import (
	"cmp"
	"net/http"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/stock"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/web/frame"
)

type listPage struct {
	frame.Base
	Sift      []frame.Field
	LateOnly  bool
	Rows      []row
	Pages     frame.Pager
	Boxes     int // of the rows sifted
	Late      int
	Customers []frame.Option
	HasPlan   bool
}

type row struct {
	order.Line
	Description string
	House       string // the customer's name
	Word        string // state
	ToMake      int
	Q           trace.Quantities
	End         *jobs.Finish
	Fault       string // why it is not planned
	FromStock   int    // made goods that come to it
}

// Late says whether the plan brings the line late, or not at all.
func (r row) Late() bool { return r.Fault != "" || r.End != nil && r.End.Late > 0 }

// Tight is the order of the list: what can't be made, then the least float.
func (r row) tight() quantity.Minutes {
	switch {
	case r.Fault != "":
		return -1e9
	case r.End != nil:
		return r.End.Float
	}
	return 1e9
}

// rowsAPage keeps a page under a tenth of a second on a slow tablet.
const rowsAPage = 100

// List answers: which lines are open, how far is each, and which will be late?
func (p Pages) List(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	st, err := p.StandingOrNone(r)
	if err != nil {
		return err
	}
	pg := listPage{Base: p.Base(w, r, snap, "Orders", "Orders"), HasPlan: st != nil}
	pg.Acts = []frame.Link{{Words: "Promise", To: "/promise"}, {Words: "Import orders", To: "/orders/import"}, {Words: "Made goods", To: "/orders/goods"}, {Words: "Customers", To: "/orders/customers"}}
	s := sift{
		text:     strings.ToLower(strings.TrimSpace(r.FormValue("q"))),
		customer: ident.Customer(r.FormValue("customer")), state: r.FormValue("state"), late: r.FormValue("late") != "", by: r.FormValue("by"),
	}
	pg.LateOnly = s.late
	pg.Sift = s.fields(snap)
	goods, err := p.Desk.Goods(r.Context())
	if err != nil {
		return err
	}
	rows := s.rows(snap, st, goods)
	for _, row := range rows {
		pg.Boxes += row.Quantity
		if row.Late() {
			pg.Late++
		}
	}
	pg.Rows, pg.Pages = frame.Cut(r, rows, rowsAPage)
	return p.Render(w, http.StatusOK, pages["list.html"], pg)
}

// sift is what the list is narrowed to.
type sift struct {
	text     string
	customer ident.Customer
	state    string
	late     bool
	by       string
}

func (s sift) fields(snap *desk.Snapshot) []frame.Field {
	customers := []frame.Option{{Value: "", Words: "all"}}
	for _, c := range snap.Customers {
		customers = append(customers, frame.Option{Value: string(c.Code), Words: c.Name})
	}
	slices.SortFunc(customers[1:], func(a, b frame.Option) int { return cmp.Compare(a.Words, b.Words) })
	states := []frame.Option{{Value: "", Words: "all open"}}
	states = append(states, frame.Choices(frame.States...)...)
	return []frame.Field{
		{Name: "q", Label: "Order, item or words", Kind: "search", Value: s.text},
		{Name: "customer", Label: "Customer", Kind: "select", Value: string(s.customer), Options: customers},
		{Name: "state", Label: "State", Kind: "select", Value: s.state, Options: states},
		{Name: "by", Label: "Sorted by", Kind: "select", Value: s.by, Options: []frame.Option{
			{Value: "", Words: "least float"}, {Value: "due", Words: "due"}, {Value: "order", Words: "order"}, {Value: "customer", Words: "customer"},
		}},
	}
}

func (s sift) rows(snap *desk.Snapshot, st *frame.Standing, goods stock.Standing) []row {
	var rows []row
	for _, l := range snap.Lines {
		if s.customer != "" && l.Customer != s.customer {
			continue
		}
		row := rowOf(snap, st, goods, l)
		if (s.state == "" && row.Word == "closed") || (s.state != "" && row.Word != s.state) || (s.late && !row.Late()) {
			continue
		}
		if s.text == "" || row.says(s.text) {
			rows = append(rows, row)
		}
	}
	slices.SortStableFunc(rows, func(a, b row) int {
		switch s.by {
		case "due":
			return a.Due.Compare(b.Due)
		case "order":
			return ident.Compare(a.Key, b.Key)
		case "customer":
			return cmp.Or(cmp.Compare(a.House, b.House), a.Due.Compare(b.Due))
		}
		return cmp.Or(cmp.Compare(a.tight(), b.tight()), a.Due.Compare(b.Due))
	})
	return rows
}

func (r row) says(text string) bool {
	for _, s := range []string{r.Key.String(), string(r.Item), r.Description, r.House, r.ShipTo, r.Note} {
		if strings.Contains(strings.ToLower(s), text) {
			return true
		}
	}
	return false
}

func rowOf(snap *desk.Snapshot, st *frame.Standing, goods stock.Standing, l order.Line) row {
	r := row{Line: l, Q: snap.Done[l.Key]}
	if i, ok := snap.Item(l.Item); ok {
		r.Description = i.Description
	}
	if c, ok := snap.Customer(l.Customer); ok {
		r.House = c.Name
	}
	r.ToMake, r.FromStock = goods.Lines[l.Key].Short, goods.Lines[l.Key].FromStock
	planned := false
	if st != nil {
		r.End = st.Ends[l.Key]
		planned = r.End != nil
		if d := st.Demands[l.Key]; d != nil {
			r.Fault = d.Fault
			if d.Within > 0 && d.Within >= r.ToMake { // ended short, within what the customer takes
				r.ToMake = 0
			}
		}
	}
	r.Word = frame.State(l, r.Q, planned)
	return r
}
