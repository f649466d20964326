package orders

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/web/frame"
)

func fieldsOf(l order.Line, f frame.Figures) []frame.Field {
	number := func(v float64) string {
		if v == 0 {
			return ""
		}
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return []frame.Field{
		{Name: "quantity", Label: "Boxes ordered", Kind: "number", Least: "1", Value: strconv.Itoa(l.Quantity), Needed: true},
		{Name: "under_pct", Label: "Under, %", Kind: "number", Least: "0", Step: "any", Value: number(l.UnderPct)},
		{Name: "over_pct", Label: "Over, %", Kind: "number", Least: "0", Step: "any", Value: number(l.OverPct)},
		{Name: "due", Label: "Due", Kind: "datetime-local", Value: frame.LocalTime(l.Due, f.Zone), Needed: true, Hint: "in the plant's time"},
		{Name: "due_at", Label: "Due at", Kind: "select", Value: string(l.DueAt), Options: []frame.Option{
			{Value: string(order.AtGate), Words: "the plant's gate"}, {Value: string(order.AtDock), Words: "the customer's dock"},
		}},
		{Name: "priority", Label: "Priority", Kind: "number", Least: "0", Value: strconv.Itoa(l.Priority), Hint: "1 goes first"},
		{Name: "price_per_1000", Label: "Price a thousand, " + f.MoneyUnit(), Kind: "number", Least: "0", Step: "any", Value: number(float64(l.PricePer1000))},
		{Name: "kind", Label: "Kind", Kind: "select", Value: string(l.Kind), Options: []frame.Option{
			{Value: "", Words: "order or call-off"}, {Value: string(order.Blanket), Words: "blanket order"}, {Value: string(order.ForStock), Words: "for stock"},
		}},
		{Name: "closes", Label: "Last call-off", Kind: "select", Value: yes(l.Closes), Options: []frame.Option{{Value: "", Words: "no"}, {Value: "yes", Words: "yes, it closes the order"}}},
		{Name: "ship_to", Label: "Ship to", Value: l.ShipTo},
		{Name: "note", Label: "Note", Value: l.Note, Wide: true},
		{Name: "why", Label: "Why", Value: "", Hint: "kept with the change", Wide: true},
	}
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return ""
}

// Save takes the edit form of a line. A wrong value comes back with the form,
// and so does an edit that came second, with both values.
func (p Pages) Save(w http.ResponseWriter, r *http.Request) error {
	key, err := frame.ReleaseOf(r)
	if err != nil {
		return err
	}
	now, standing, err := p.Desk.Line(r.Context(), key)
	if err != nil {
		return err
	}
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	f := frame.FiguresOf(snap)
	v := frame.Values{R: r, In: f.Zone}
	version := v.Count("version", 1, 0)
	mine := now
	mine.Quantity = v.Count("quantity", 1, 0)
	mine.UnderPct, mine.OverPct = v.Number("under_pct", 0, 100), v.Number("over_pct", 0, 100)
	if due := v.Time("due"); frame.LocalTime(due, f.Zone) != frame.LocalTime(now.Due, f.Zone) {
		mine.Due = due // the field has no seconds: an unchanged due time stays as it is
	}
	mine.DueAt = order.Dock(v.Text("due_at"))
	mine.Priority = v.Count("priority", 0, 0)
	mine.PricePer1000 = quantity.Money(v.Number("price_per_1000", 0, 1e9))
	if _, there := r.Form["kind"]; there { // a program may send fewer fields
		mine.Kind, mine.Closes = order.LineKind(v.Text("kind")), v.Text("closes") != ""
	}
	mine.ShipTo, mine.Note = v.Text("ship_to"), v.Text("note")
	err = v.Err()
	if err == nil {
		err = p.Desk.SaveLine(r.Context(), mine, version, frame.Who(r), v.Text("why"))
	}
	if err == nil {
		return frame.Done(w, r, frame.OrderPath(key), "Order "+key.String()+" is saved. The plan is as it was: plan again to follow the change.")
	}
	return p.again(w, r, mine, now, standing, err)
}

// again shows the form with what was typed and what is wrong with it.
func (p Pages) again(w http.ResponseWriter, r *http.Request, mine, now order.Line, standing int, why error) error {
	status := http.StatusUnprocessableEntity
	pg, err := p.order(w, r, now, standing)
	if err != nil {
		return err
	}
	pg.Fields = fieldsOf(mine, pg.F)
	for i := range pg.Fields { // as typed, readable or not
		pg.Fields[i].Value = r.FormValue(pg.Fields[i].Name)
	}
	var stale *desk.Stale
	switch vs, other := frame.Violations(why); {
	case other == nil:
		pg.Amiss = frame.Mark(pg.Fields, vs)
	case errors.As(why, &stale):
		status = http.StatusConflict
		pg.Theirs = &now
		pg.bothValues(now, stale)
	case errors.Is(why, fault.Conflict), errors.Is(why, fault.Refused):
		status = http.StatusConflict
		pg.Amiss = []frame.Amiss{{Words: why.Error()}}
	default:
		return why
	}
	return p.Render(w, status, pages["order.html"], pg)
}

// bothValues says beside each field that differs what stands there now.
func (pg *orderPage) bothValues(now order.Line, stale *desk.Stale) {
	pg.Amiss = []frame.Amiss{{Words: fmt.Sprintf("%s saved this order at %s while you had it open. Yours is not saved yet: both values stand below.",
		stale.By, pg.F.Time(stale.At))}}
	theirs := fieldsOf(now, pg.F)
	for i := range pg.Fields {
		f := &pg.Fields[i]
		if f.Name != "why" && f.Value != theirs[i].Value {
			standing := theirs[i].Value
			if standing == "" {
				standing = "nothing"
			}
			f.Fault = "stands at " + standing + " now; yours is " + f.Value
			pg.Amiss = append(pg.Amiss, frame.Amiss{Words: f.Label + ": " + f.Fault, At: f.Name})
		}
	}
}
