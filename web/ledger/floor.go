package ledger

import (
	"cmp"
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
	pg := floorPage{Base: p.Base(w, r, snap, "Plant", "On the floor"), What: cmp.Or(r.FormValue("what"), "stack"), Once: frame.Once()}
	pg.Fields = []frame.Field{
		{Name: "order", Label: "Order", Value: r.FormValue("order"), Hint: "J1001, or ORDER/LINE/RELEASE; needed for what is counted"},
		{Name: "name", Label: "Stack or unit number", Value: r.FormValue("name"), Hint: "counted again, it counts once; needed to move, hold or release"},
		{Name: "good", Label: "Good sheets or boxes", Kind: "number", Least: "0", Value: r.FormValue("good"), Hint: "of what is counted"},
		{Name: "place", Label: "Place", Value: r.FormValue("place")},
		{Name: "at", Label: "When", Kind: "datetime-local", Value: frame.LocalTime(p.Desk.Now(), snap.Zone()), Needed: true},
		{Name: "reason", Label: "Note", Value: r.FormValue("reason"), Wide: true},
	}
	if at := r.FormValue("at"); at != "" {
		pg.Fields[4].Value = at
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
		switch f.Kind {
		case trace.StackFound, trace.UnitFound, trace.StackMoved, trace.Held, trace.Released:
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
	found(&f, v.Text("what"), v.Text("name"))
	if order := v.Text("order"); order != "" || f.Kind == trace.StackFound || f.Kind == trace.UnitFound {
		f.Release, err = ident.ParseRelease(order)
	}
	if err == nil {
		err = v.Err()
	} else {
		err = frame.Wrong("order", v.Text("order"), "must be ORDER or ORDER/LINE/RELEASE")
	}
	if err == nil && f.Stack == "" && f.Unit == "" {
		err = frame.Wrong("name", "", "must be given: the number of what is moved, held or released")
	}
	var warnings []string
	if err == nil {
		warnings, err = p.record(r, []trace.Fact{f})
	}
	if err != nil {
		return p.floor(w, r, http.StatusUnprocessableEntity, err)
	}
	words := fmt.Sprintf("Kept: %s, %s", cmp.Or(string(f.Stack), string(f.Unit)), f.Kind)
	if f.Good > 0 {
		words = fmt.Sprintf("Kept: %s, %s, %d good", f.Release, f.Kind, f.Good)
	}
	return frame.Done(w, r, "/floor", frame.Kept(words+".", warnings))
}

// found says what a form tells of: a stack or unit counted, a stack moved, or
// either put on hold or let go again. A counted one without a number gets one.
func found(f *trace.Fact, what, name string) {
	counted := func() string { return cmp.Or(name, string(f.ID)[:min(8, len(f.ID))]) }
	switch what {
	case "unit":
		f.Kind, f.Unit = trace.UnitFound, ident.Unit(counted())
	case "moved":
		f.Kind, f.Stack, f.Good = trace.StackMoved, ident.Stack(name), 0
	case "held", "held-unit":
		f.Kind, f.Good = trace.Held, 0
	case "released", "released-unit":
		f.Kind, f.Good = trace.Released, 0
	default:
		f.Kind, f.Stack = trace.StackFound, ident.Stack(counted())
	}
	switch what {
	case "held", "released":
		f.Stack = ident.Stack(name)
	case "held-unit", "released-unit":
		f.Unit = ident.Unit(name)
	}
}
