package ledger

import (
	"fmt"
	"net/http"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/web/frame"
)

type floorPage struct {
	frame.Base
	Fields []frame.Field
	What   string
	Once   string
	Facts  []trace.Fact
}

// Floor asks for what stands on the floor, one by one or as a table.
func (p Pages) Floor(w http.ResponseWriter, r *http.Request) error {
	return p.floor(w, r, http.StatusOK, nil)
}

func (p Pages) floor(w http.ResponseWriter, r *http.Request, status int, why error) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := floorPage{Base: p.Base(w, r, snap, "Plant", "On the floor"), What: r.FormValue("what"), Once: frame.Once()}
	pg.Fields = []frame.Field{
		{Name: "order", Label: "Order", Value: r.FormValue("order"), Needed: true, Hint: "J1001, or ORDER/LINE/RELEASE"},
		{Name: "name", Label: "Stack or unit number", Value: r.FormValue("name"), Hint: "counted again, it counts once"},
		{Name: "good", Label: "Good sheets or boxes", Kind: "number", Least: "0", Value: r.FormValue("good"), Needed: true},
		{Name: "place", Label: "Place", Value: r.FormValue("place")},
		{Name: "at", Label: "When", Kind: "datetime-local", Value: frame.LocalTime(p.Desk.Now(), snap.Zone()), Needed: true},
		{Name: "reason", Label: "Note", Value: r.FormValue("reason"), Wide: true},
	}
	if why != nil {
		vs, err := frame.Violations(why)
		if err != nil {
			return err
		}
		pg.Once = r.FormValue("fact")
		pg.Amiss = frame.Mark(pg.Fields, vs)
	}
	facts, err := p.Desk.Facts(r.Context(), desk.FactQuery{Limit: 200})
	if err != nil {
		return err
	}
	for _, f := range facts {
		if f.Kind == trace.StackFound || f.Kind == trace.UnitFound {
			pg.Facts = append(pg.Facts, f)
		}
	}
	return p.Render(w, status, pages["floor.html"], pg)
}

// Found takes one stack or unit that stands on the floor.
func (p Pages) Found(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	v := frame.Values{R: r, In: snap.Zone()}
	f, err := base(&v)
	if err != nil {
		return err
	}
	f.Kind, f.Place, f.Good = trace.StackFound, v.Text("place"), v.Count("good", 0, 0)
	name := v.Text("name")
	if name == "" {
		name = string(f.ID)[:min(8, len(f.ID))]
	}
	if v.Text("what") == "unit" {
		f.Kind, f.Unit = trace.UnitFound, ident.Unit(name)
	} else {
		f.Stack = ident.Stack(name)
	}
	f.Release, err = ident.ParseRelease(v.Text("order"))
	if err == nil {
		err = v.Err()
	} else {
		err = frame.Wrong("order", v.Text("order"), "must be ORDER or ORDER/LINE/RELEASE")
	}
	var warnings []string
	if err == nil {
		warnings, err = p.record(r, []trace.Fact{f})
	}
	if err != nil {
		return p.floor(w, r, http.StatusUnprocessableEntity, err)
	}
	return frame.Done(w, r, "/floor", said(fmt.Sprintf("Kept: %s, %s, %d good.", f.Release, f.Kind, f.Good), warnings))
}
