// Package promise is the page that answers a customer on the phone: can it be
// there by then, what does it wait for, and what does a day sooner cost?
package promise

import (
	"cmp"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"strconv"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/draw"
	"github.com/flutewright/flutewright/plan"
	engine "github.com/flutewright/flutewright/plan/promise"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "promise.html")

// Pages of promises.
type Pages struct{ *frame.Frame }

type promisePage struct {
	frame.Base
	Fields   []frame.Field
	Asked    bool
	NoPlan   bool
	Release  ident.Release // of the book; zero: nobody has ordered it yet
	Answer   *plan.Promised
	Plan     desk.PlanHead
	Sections []section
}

// section is one run that makes the release, drawn.
type section struct {
	engine.Placed
	Picture template.HTML
}

// Ask answers: can it be there by then?
func (p Pages) Ask(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := promisePage{Base: p.Base(w, r, snap, "Orders", "Promise")}
	pg.Trail = []frame.Link{{Words: "Orders", To: "/orders"}}
	ask, err := p.asked(r, snap, &pg)
	status := http.StatusOK
	if err == nil && pg.Asked {
		pg.Answer, pg.Plan, err = p.Desk.Promise(r.Context(), ask)
	}
	switch {
	case errors.Is(err, fault.NotFound):
		pg.NoPlan, pg.Asked = true, false
	case err != nil:
		vs, other := frame.Violations(err)
		if other != nil {
			return other
		}
		pg.Amiss, pg.Asked, status = frame.Mark(pg.Fields, pg.F.InUnits(vs)), false, http.StatusUnprocessableEntity
	case pg.Asked && pg.Answer.Refusal == "":
		if err := p.draw(&pg); err != nil {
			return err
		}
	}
	return p.Render(w, status, pages["promise.html"], pg)
}

// asked reads the question; a page without one shows the form alone.
func (p Pages) asked(r *http.Request, snap *desk.Snapshot, pg *promisePage) (plan.Ask, error) {
	var ask plan.Ask
	v := frame.Values{R: r, In: snap.Zone()}
	if key := v.Text("order"); key != "" {
		release, err := ident.ParseRelease(key)
		if err != nil {
			return ask, fault.NotFound
		}
		l, _, err := p.Desk.Line(r.Context(), release)
		if err != nil {
			return ask, err
		}
		pg.Title, pg.Release, pg.Asked = "Can "+release.String()+" be sooner?", release, true
		pg.Fields = fields(snap, l.Item, l.Customer, strconv.Itoa(l.Quantity), frame.LocalTime(l.Due, snap.Zone()), string(l.DueAt))
		ask.Release = release
		return ask, nil
	}
	pg.Asked = r.URL.Query().Has("item")
	due := v.Text("due")
	if !pg.Asked {
		due = frame.LocalTime(p.Desk.Now().Add(72*time.Hour).Truncate(time.Hour), snap.Zone())
	}
	pg.Fields = append(fields(snap, ident.Item(v.Text("item")), ident.Customer(v.Text("customer")), v.Text("quantity"), due, v.Text("due_at")), p.without(snap, v)...)
	if !pg.Asked {
		return ask, nil
	}
	ask = plan.Ask{Item: ident.Item(v.Text("item")), Customer: ident.Customer(v.Text("customer")), DueAt: order.Dock(v.Text("due_at"))}
	ask.Without = plan.Absence{Machine: ident.Machine(v.Text("without")), Day: v.Text("without_on")}
	if ask.Without.Machine == "" {
		ask.Without = plan.Absence{} // a day alone asks for nothing
	}
	ask.Quantity, ask.Due = v.Count("quantity", 1, 0), v.Time("due")
	return ask, v.Err()
}

func fields(snap *desk.Snapshot, item ident.Item, customer ident.Customer, count, due, at string) []frame.Field {
	houses := []frame.Option{{Value: "", Words: "the item's own customer"}}
	for _, c := range snap.Customers {
		houses = append(houses, frame.Option{Value: string(c.Code), Words: string(c.Code) + " " + c.Name})
	}
	return []frame.Field{
		{Name: "item", Label: "Item", Kind: "text", Value: string(item), Needed: true},
		{Name: "quantity", Label: "How many", Kind: "number", Value: count, Least: "1", Needed: true},
		{Name: "due", Label: "By when", Kind: "datetime-local", Value: due, Needed: true},
		{Name: "due_at", Label: "Where", Kind: "select", Value: cmp.Or(at, string(order.AtDock)), Options: []frame.Option{{Value: "dock", Words: "at the customer's dock"}, {Value: "gate", Words: "at our gate"}}},
		{Name: "customer", Label: "Customer", Kind: "select", Value: string(customer), Options: houses},
	}
}

// without asks which crew might be taken off.
func (p Pages) without(snap *desk.Snapshot, v frame.Values) []frame.Field {
	stations := []frame.Option{{Value: "", Words: "with all crews as they are"}, {Value: string(snap.Plant.Corrugator.Code), Words: "without the corrugator's crew"}}
	for _, m := range snap.Plant.Machines {
		stations = append(stations, frame.Option{Value: string(m.Code), Words: "without " + string(m.Code) + "'s crew"})
	}
	day := cmp.Or(v.Text("without_on"), p.Desk.Now().AddDate(0, 0, 1).In(snap.Zone()).Format(time.DateOnly))
	return []frame.Field{
		{Name: "without", Label: "What if", Kind: "select", Value: v.Text("without"), Options: stations},
		{Name: "without_on", Label: "On the shifts that begin on", Kind: "date", Value: day},
	}
}

// draw pictures the runs that would make the release.
func (p Pages) draw(pg *promisePage) error {
	scores := map[string][]quantity.Length{}
	for _, o := range pg.Answer.Problem.Trim.Orders {
		scores[o.Order] = o.Scores
	}
	for _, placed := range pg.Answer.Runs {
		s := section{Placed: placed}
		var err error
		if s.Picture, err = frame.Picture(draw.WebSection(sectionOf(placed.Run, scores, pg.F), pg.F.Format)); err != nil {
			return err
		}
		pg.Sections = append(pg.Sections, s)
	}
	return nil
}

func sectionOf(run runs.Run, scores map[string][]quantity.Length, f frame.Figures) draw.Section {
	s := draw.Section{
		Title: fmt.Sprintf("%s at %s %s", run.Grade, f.Length(run.Web), f.LengthUnit()),
		Web:   run.Web, TrimOperator: run.Trim / 2, TrimDrive: run.Trim - run.Trim/2,
	}
	for _, l := range run.Lanes {
		s.Lanes = append(s.Lanes, draw.SectionLane{Label: l.Order, Level: l.Level, Outs: l.Outs, Slit: l.Slit, Scores: scores[l.Order]})
	}
	return s
}
