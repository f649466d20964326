package event

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan/whatnow"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/web/frame"
)

// Ask records what happened and works out the answers.
func (p Pages) Ask(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	e, err := eventOf(r, snap, frame.FiguresOf(snap))
	var asked desk.WhatNow
	if err == nil {
		asked, err = p.Desk.WhatNow(r.Context(), e, r.FormValue("fact"), frame.Who(r))
	}
	if err != nil {
		vs, other := frame.Violations(err)
		if other != nil {
			return other
		}
		return p.form(w, r, http.StatusUnprocessableEntity, vs)
	}
	http.Redirect(w, r, fmt.Sprintf("/event/%d", asked.ID), http.StatusSeeOther)
	return nil
}

// eventOf reads the form.
func eventOf(r *http.Request, snap *desk.Snapshot, f frame.Figures) (whatnow.Event, error) {
	v := frame.Values{R: r, In: snap.Zone()}
	e := whatnow.Event{Kind: kindOf(r), Cause: v.Text("cause"), Machine: ident.Machine(v.Text("machine"))}
	var vs fault.Violations
	if e.Kind != whatnow.MachineDown && e.Kind != whatnow.PaperGone {
		var err error
		if e.Release, err = ident.ParseRelease(v.Text("order")); err != nil {
			vs.Add("order", v.Text("order"), "must be the number of an order", "")
		}
	}
	switch e.Kind {
	case whatnow.MachineDown:
		e.Until = v.Time("until")
	case whatnow.PaperGone:
		if e.Roll = ident.Roll(v.Text("roll")); e.Roll == "" {
			e.Paper = ident.Paper(v.Text("paper"))
			web, err := f.ParseLength(v.Text("web"))
			vs.Require(err == nil, "web", v.Text("web"), "must be a width in "+f.LengthUnit())
			e.Web = web
		}
	case whatnow.Rush:
		e.Line = rushLine(&v, &vs, snap, e.Release, f)
	case whatnow.Changed:
		l, _ := snap.Line(e.Release)
		l.Key = e.Release
		l.Quantity = v.Count("quantity", 1, l.Quantity)
		if v.Text("due") != "" {
			l.Due = v.Time("due")
		}
		e.Line = l
	case whatnow.Short:
		e.Good, e.Spare = v.Count("good", 0, 0), v.Count("spare", 0, 0)
	case whatnow.OnHold:
		e.Held = v.Count("held", 1, 0)
		e.SortPerHour, e.BadPct = v.Number("sort_per_h", 0, 1e6), v.Number("bad_pct", 0, 100)
		e.SortPerHourCost = quantity.Money(v.Number("sort_cost", 0, 1e6))
	}
	if err := v.Err(); err != nil {
		more, _ := frame.Violations(err)
		vs = append(vs, more...)
	}
	return e, vs.Err()
}

// rushLine is the line of the book that is rushed, or a new one of a known item.
func rushLine(v *frame.Values, vs *fault.Violations, snap *desk.Snapshot, k ident.Release, f frame.Figures) order.Line {
	if l, known := snap.Line(k); known {
		l.Quantity = v.Count("quantity", 1, l.Quantity)
		if v.Text("due") != "" {
			l.Due = v.Time("due")
		}
		return l
	}
	item, known := snap.Item(ident.Item(v.Text("item")))
	vs.Require(known, "item", v.Text("item"), "is not in the book: enter the item first")
	l := order.Line{Key: k, Item: item.Code, Customer: item.Customer, Quantity: v.Count("quantity", 1, 0), DueAt: order.Dock(v.Text("due_at")), State: order.Open, Priority: 1, Note: "rush"}
	vs.Require(l.Quantity > 0, "quantity", v.Text("quantity"), "must be a whole number of at least 1")
	l.Due = v.Time("due")
	if c, ok := snap.Customer(item.Customer); ok {
		l.OverPct, l.UnderPct = c.OverPct, c.UnderPct
	}
	if s := v.Text("price"); s != "" {
		price, err := f.ParseMoney(s)
		vs.Require(err == nil && price >= 0, "price", s, "must be an amount of "+f.MoneyUnit())
		l.PricePer1000 = price
	}
	return l
}

// numberOf reads a number in a request's path.
func numberOf(r *http.Request, name string) (int64, error) {
	n, err := strconv.ParseInt(strings.TrimSpace(r.PathValue(name)), 10, 64)
	if err != nil {
		return 0, fault.NotFound
	}
	return n, nil
}
