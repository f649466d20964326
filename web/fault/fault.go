// Package fault answers what carries a fault, and what may still go.
package fault

import (
	"embed"
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "ask.html", "order.html", "roll.html")

// Pages of faults.
type Pages struct{ *frame.Frame }

type askPage struct {
	frame.Base
	Fields []frame.Field
	Roll   []frame.Field
}

type orderPage struct {
	frame.Base
	desk.Faulty
	Fields []frame.Field
	Once   string
	Reason string
}

type rollPage struct {
	frame.Base
	desk.RollFault
	Begun int
}

func fields(r *http.Request) []frame.Field {
	return []frame.Field{
		{Name: "key", Label: "Order", Value: r.FormValue("key"), Needed: true, Hint: "J1001, or ORDER/LINE/RELEASE"},
		{Name: "boxes", Label: "Boxes that carry it", Kind: "number", Least: "1", Step: "1", Value: r.FormValue("boxes"), Hint: "empty: all"},
		{Name: "from", Label: "From unit", Kind: "number", Least: "1", Step: "1", Value: r.FormValue("from"), Hint: "empty: those made last"},
	}
}

// Show answers for an order or a roll; without either it asks.
func (p Pages) Show(w http.ResponseWriter, r *http.Request) error {
	return p.show(w, r, http.StatusOK, nil)
}

func (p Pages) show(w http.ResponseWriter, r *http.Request, status int, why error) error {
	switch {
	case r.FormValue("roll") != "":
		return p.roll(w, r)
	case r.FormValue("key") == "":
		return p.ask(w, r, status, nil)
	}
	q, err := part(r)
	if err != nil {
		return p.again(w, r, err)
	}
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	f, err := p.Desk.Fault(r.Context(), q)
	if err != nil {
		return p.again(w, r, err)
	}
	pg := orderPage{Base: p.Base(w, r, snap, "Loads", "What carries the fault of "+q.Release.String()), Faulty: f, Fields: fields(r), Once: frame.Once(), Reason: r.FormValue("reason")}
	pg.Trail = []frame.Link{{Words: "Loads", To: "/loads"}, {Words: "Faults", To: "/fault"}}
	if why != nil {
		vs, err := frame.Violations(why)
		if err != nil {
			return err
		}
		pg.Once = r.FormValue("fact")
		pg.Amiss = frame.Mark([]frame.Field{{Name: "reason", Label: "What is wrong"}}, vs)
	}
	return p.Render(w, status, pages["order.html"], pg)
}

// again shows the form with what is wrong in it.
func (p Pages) again(w http.ResponseWriter, r *http.Request, err error) error {
	vs, err := frame.Violations(err)
	if err != nil {
		return err
	}
	return p.ask(w, r, http.StatusUnprocessableEntity, vs)
}

func (p Pages) ask(w http.ResponseWriter, r *http.Request, status int, vs fault.Violations) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := askPage{Base: p.Base(w, r, snap, "Loads", "What carries a fault?"), Fields: fields(r)}
	pg.Trail = []frame.Link{{Words: "Loads", To: "/loads"}}
	pg.Roll = []frame.Field{{Name: "roll", Label: "Roll", Needed: true, Hint: "as on its label"}}
	pg.Amiss = frame.Mark(pg.Fields, vs)
	return p.Render(w, status, pages["ask.html"], pg)
}

// part reads which boxes carry the fault.
func part(r *http.Request) (desk.FaultyPart, error) {
	v := frame.Values{R: r}
	key, err := ident.ParseRelease(v.Text("key"))
	if err != nil {
		return desk.FaultyPart{}, frame.Wrong("key", v.Text("key"), "must be an order such as J1001")
	}
	return desk.FaultyPart{Release: key, Boxes: v.Count("boxes", 1, 0), From: v.Count("from", 1, 0)}, v.Err()
}

// Hold puts what carries the fault on hold.
func (p Pages) Hold(w http.ResponseWriter, r *http.Request) error {
	q, err := part(r)
	if err != nil {
		return p.again(w, r, err)
	}
	n, err := p.Desk.HoldFault(r.Context(), q, ident.Fact(r.FormValue("fact")), r.FormValue("reason"), frame.Who(r))
	if _, other := frame.Violations(err); err != nil && other == nil {
		return p.show(w, r, http.StatusUnprocessableEntity, err)
	}
	if err != nil {
		return err
	}
	to := url.Values{"key": {q.Release.String()}, "boxes": {strconv.Itoa(q.Boxes)}}
	if q.Boxes == 0 {
		to.Del("boxes")
	}
	if q.From > 0 {
		to.Set("from", strconv.Itoa(q.From))
	}
	return frame.Done(w, r, "/fault?"+to.Encode(), fmt.Sprintf("%s of %s on hold; the dock refuses them from now on.", frame.Plural(n, "unit"), q.Release))
}

func (p Pages) roll(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	id := ident.Roll(r.FormValue("roll"))
	f, err := p.Desk.FaultOfRoll(r.Context(), id)
	if err != nil {
		return err
	}
	pg := rollPage{Base: p.Base(w, r, snap, "Rolls", "What was made of roll "+string(id)), RollFault: f}
	pg.Trail = []frame.Link{{Words: "Rolls", To: "/rolls"}, {Words: "Faults", To: "/fault"}}
	for _, o := range f.Orders {
		if o.Begun {
			pg.Begun++
		}
	}
	return p.Render(w, http.StatusOK, pages["roll.html"], pg)
}
