package rolls

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan/supply"
	"github.com/flutewright/flutewright/plant/roll"
	"github.com/flutewright/flutewright/web/frame"
)

type callPage struct {
	frame.Base
	Supplier string
	Truck    int
	Calls    []supply.Call
	Mass     quantity.Mass
	Fields   []frame.Field
}

// CallForm asks what to call off with one truck of the list.
func (p Pages) CallForm(w http.ResponseWriter, r *http.Request) error {
	return p.call(w, r, http.StatusOK, nil)
}

func (p Pages) call(w http.ResponseWriter, r *http.Request, status int, vs fault.Violations) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	st, err := p.Standing(r)
	if err != nil {
		return err
	}
	truck, err := strconv.Atoi(r.PathValue("truck"))
	if err != nil {
		return fault.NotFound
	}
	now := p.Desk.Clock()
	pg := callPage{Truck: truck}
	for _, c := range snap.CallOff(st.Plan, st.Head.ID, now).Calls {
		if c.Truck == truck && c.Supplier != "" {
			pg.Calls, pg.Supplier = append(pg.Calls, c), c.Supplier
			pg.Mass += c.Mass
		}
	}
	if len(pg.Calls) == 0 {
		return fmt.Errorf("truck %d is not on the list any more: %w", truck, fault.NotFound)
	}
	pg.Base = p.Base(w, r, snap, "Rolls", "Call off "+pg.Supplier)
	pg.Trail = []frame.Link{{Words: "Rolls", To: "/rolls#calls"}}
	first := pg.Calls[0]
	eta := frame.LocalTime(snap.ArrivesAt(first.Paper, first.Supplier, now), pg.F.Zone)
	pg.Fields = append(pg.Fields, frame.Field{Name: "eta", Label: "Expected", Kind: "datetime-local", Value: kept(r, "eta", eta), Needed: true, Hint: "by the stated lead time, when called now"})
	for _, c := range pg.Calls {
		pg.Fields = append(pg.Fields, frame.Field{
			Name: rowName(c), Label: fmt.Sprintf("%s at %s %s, rolls", c.Paper, pg.F.Length(c.Web), pg.F.LengthUnit()), Kind: "number", Least: "0", Step: "1",
			Value: kept(r, rowName(c), strconv.Itoa(c.Rolls)), Hint: "wanted at the stand by " + pg.F.Moment(c.NeededAt),
		})
	}
	pg.Fields = append(pg.Fields,
		frame.Field{Name: "number", Label: "Supplier's order number", Kind: "text", Value: kept(r, "number", "")},
		frame.Field{Name: "state", Label: "The supplier", Kind: "select", Value: kept(r, "state", string(roll.Called)), Options: states[:2]})
	pg.Amiss = frame.Mark(pg.Fields, vs)
	return p.Render(w, status, pages["call.html"], pg)
}

// states are how far a purchase is, in words.
var states = []frame.Option{
	{Value: string(roll.Called), Words: "has not confirmed yet"}, {Value: string(roll.Confirmed), Words: "has confirmed"},
	{Value: string(roll.Cancelled), Words: "does not deliver"},
}

func rowName(c supply.Call) string {
	return string(c.Paper) + "@" + strconv.FormatInt(int64(c.Web), 10)
}

// kept is what was typed, or a first value.
func kept(r *http.Request, name, first string) string {
	if r.Method == http.MethodPost {
		return r.FormValue(name)
	}
	return first
}

// Call enters the truck as called off.
func (p Pages) Call(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	v := frame.Values{R: r, In: frame.FiguresOf(snap).Zone}
	c := desk.CallOff{Supplier: v.Text("supplier"), Number: v.Text("number"), ETA: v.Time("eta"), State: roll.Purchase(v.Text("state"))}
	if err := r.ParseForm(); err != nil {
		return err
	}
	for name := range r.PostForm {
		paper, width, isRow := strings.Cut(name, "@")
		web, err := strconv.ParseInt(width, 10, 64)
		if isRow && err == nil {
			c.Rows = append(c.Rows, desk.CallRow{Paper: ident.Paper(paper), Web: quantity.Length(web), Rolls: v.Count(name, 0, 0)})
		}
	}
	var ids []string
	if err = v.Err(); err == nil {
		ids, err = p.Desk.CallOff(r.Context(), c, frame.Who(r))
	}
	if err != nil {
		vs, other := frame.Violations(err)
		if other != nil {
			return other
		}
		return p.call(w, r, http.StatusUnprocessableEntity, vs)
	}
	return frame.Done(w, r, "/rolls#trucks", fmt.Sprintf("Called off %s: %s.", c.Supplier, strings.Join(ids, ", ")))
}

type expectedPage struct {
	frame.Base
	Delivery roll.Inbound
	Version  int
	Fields   []frame.Field
}

// ExpectedForm shows what is known of a delivery, to be changed.
func (p Pages) ExpectedForm(w http.ResponseWriter, r *http.Request) error {
	return p.expected(w, r, http.StatusOK, nil)
}

func (p Pages) expected(w http.ResponseWriter, r *http.Request, status int, vs fault.Violations) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	in, known := snap.InboundOf(r.PathValue("inbound"))
	if !known {
		return fmt.Errorf("delivery %s: %w", r.PathValue("inbound"), fault.NotFound)
	}
	pg := expectedPage{Base: p.Base(w, r, snap, "Rolls", "Delivery "+in.ID), Delivery: in, Version: snap.Version(desk.KindInbound, in.ID)}
	pg.Trail = []frame.Link{{Words: "Rolls", To: "/rolls#trucks"}}
	pg.Acts = []frame.Link{{Words: "Receive its rolls", To: "/rolls/receive/" + in.ID}}
	state := in.State
	if state == "" {
		state = roll.Confirmed
	}
	pg.Fields = []frame.Field{
		{Name: "eta", Label: "Expected", Kind: "datetime-local", Value: kept(r, "eta", frame.LocalTime(in.ETA, pg.F.Zone)), Needed: true},
		{Name: "rolls", Label: "Rolls", Kind: "number", Least: "1", Step: "1", Value: kept(r, "rolls", strconv.Itoa(in.Rolls)), Needed: true},
		{Name: "supplier", Label: "Supplier", Kind: "text", Value: kept(r, "supplier", in.Supplier)},
		{Name: "number", Label: "Supplier's order number", Kind: "text", Value: kept(r, "number", in.Number)},
		{Name: "state", Label: "The supplier", Kind: "select", Value: kept(r, "state", string(state)), Options: states},
	}
	pg.Amiss = frame.Mark(pg.Fields, vs)
	return p.Render(w, status, pages["expected.html"], pg)
}

// Expected saves what was changed of a delivery.
func (p Pages) Expected(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	in, known := snap.InboundOf(r.PathValue("inbound"))
	if !known {
		return fmt.Errorf("delivery %s: %w", r.PathValue("inbound"), fault.NotFound)
	}
	v := frame.Values{R: r, In: frame.FiguresOf(snap).Zone}
	in.ETA, in.Rolls, in.Supplier, in.Number, in.State = v.Time("eta"), v.Count("rolls", 1, 0), v.Text("supplier"), v.Text("number"), roll.Purchase(v.Text("state"))
	version := v.Count("version", 0, 0)
	if err = v.Err(); err == nil {
		err = p.Desk.SaveInbound(r.Context(), in, version, frame.Who(r), "")
	}
	if err != nil {
		vs, other := frame.Violations(err)
		if other != nil {
			return other
		}
		return p.expected(w, r, http.StatusUnprocessableEntity, vs)
	}
	return frame.Done(w, r, "/rolls#trucks", "Delivery "+in.ID+" saved.")
}
