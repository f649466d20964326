// Package plans starts plans, follows them while they are made, lays two side
// by side and puts one in force.
package plans

import (
	"embed"
	"fmt"
	"net/http"
	"strconv"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "list.html", "plan.html", "compare.html", "why.html")

// Pages of plans.
type Pages struct{ *frame.Frame }

type listPage struct {
	frame.Base
	Fields []frame.Field
	Rows   []row
	Pages  frame.Pager
	Two    bool // two usable plans: they can be laid side by side
}

type row struct {
	desk.PlanHead
	Areas []string // in force for
}

const plansAPage = 50

// List answers: which plans are there, which rules, and how good is each?
func (p Pages) List(w http.ResponseWriter, r *http.Request) error {
	return p.list(w, r, http.StatusOK, nil)
}

func (p Pages) list(w http.ResponseWriter, r *http.Request, status int, vs fault.Violations) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	heads, err := p.Desk.Plans(r.Context())
	if err != nil {
		return err
	}
	forced, err := p.Desk.InForce(r.Context())
	if err != nil {
		return err
	}
	pg := listPage{Base: p.Base(w, r, snap, "Plans", "Plans")}
	pg.Fields = []frame.Field{
		{Name: "seconds", Label: "Seconds to search", Kind: "number", Least: "1", Step: "any", Value: or(r.PostFormValue("seconds"), "5"), Hint: "it can be ended at any time; the best so far is kept"},
		{Name: "note", Label: "Note", Value: r.PostFormValue("note"), Hint: "what this plan tries", Wide: true},
	}
	pg.Fields = append(pg.Fields, freezeFields(r, snap)...)
	pg.Amiss = frame.Mark(pg.Fields, vs)
	usable := 0
	rows := make([]row, len(heads))
	for i, h := range heads {
		rows[i] = row{PlanHead: h, Areas: areasOf(snap, forced, h.ID)}
		if h.State.Usable() {
			usable++
		}
	}
	pg.Two = usable > 1
	pg.Rows, pg.Pages = frame.Cut(r, rows, plansAPage)
	return p.Render(w, status, pages["list.html"], pg)
}

// freezeFields ask whose frozen front the plan may break; none where nothing is frozen.
func freezeFields(r *http.Request, snap *desk.Snapshot) []frame.Field {
	if len(snap.Plant.Freezes) == 0 {
		return nil
	}
	areas := []frame.Option{{Words: "none: what is frozen stays"}}
	for _, z := range snap.Plant.Freezes {
		words := z.Area
		if z.Owner != "" {
			words += ", " + z.Owner
		}
		areas = append(areas, frame.Option{Value: z.Area, Words: words})
	}
	return []frame.Field{
		{Name: "broken", Label: "Break the freeze of", Kind: "select", Options: areas, Value: r.PostFormValue("broken")},
		{Name: "by", Label: "Who agreed to that", Value: r.PostFormValue("by"), Hint: "a name, where a freeze is broken"},
	}
}

func or(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

func areasOf(snap *desk.Snapshot, forced map[string]ident.Plan, id ident.Plan) []string {
	var out []string
	for _, a := range snap.Areas() {
		if forced[a] == id {
			out = append(out, a)
		}
	}
	return out
}

// Start begins a plan of the book as it is now.
func (p Pages) Start(w http.ResponseWriter, r *http.Request) error {
	v := frame.Values{R: r}
	o := desk.PlanOptions{Seconds: v.Number("seconds", 0, 8*3600), Note: v.Text("note")}
	if area := v.Text("broken"); area != "" {
		o.Broken, o.By = []string{area}, v.Text("by")
	}
	err := v.Err()
	var id ident.Plan
	if err == nil {
		id, err = p.Desk.StartPlan(r.Context(), o, frame.Who(r))
	}
	if err != nil {
		vs, other := frame.Violations(err)
		if other != nil {
			return other
		}
		return p.list(w, r, http.StatusUnprocessableEntity, vs)
	}
	http.Redirect(w, r, frame.PlanPath(id), http.StatusSeeOther)
	return nil
}

// Cancel ends a running plan, which keeps the best so far.
func (p Pages) Cancel(w http.ResponseWriter, r *http.Request) error {
	id, err := planOf(r)
	if err != nil {
		return err
	}
	if err := p.Desk.CancelPlan(r.Context(), id); err != nil {
		return err
	}
	return frame.Done(w, r, frame.PlanPath(id), "Ended early: the best plan so far is being checked and kept.")
}

// Restart begins an interrupted plan again.
func (p Pages) Restart(w http.ResponseWriter, r *http.Request) error {
	id, err := planOf(r)
	if err != nil {
		return err
	}
	if err := p.Desk.RestartPlan(r.Context(), id, frame.Who(r)); err != nil {
		return err
	}
	http.Redirect(w, r, frame.PlanPath(id), http.StatusSeeOther)
	return nil
}

// Force puts a plan in force for the areas that were ticked.
func (p Pages) Force(w http.ResponseWriter, r *http.Request) error {
	id, err := planOf(r)
	if err != nil {
		return err
	}
	if err := r.ParseForm(); err != nil {
		return err
	}
	areas := r.PostForm["area"]
	if len(areas) == 0 {
		return frame.Done(w, r, frame.PlanPath(id), "No area was ticked: nothing has changed.")
	}
	for _, a := range areas {
		if err := p.Desk.PutInForce(r.Context(), id, a, frame.Who(r)); err != nil {
			return err
		}
	}
	return frame.Done(w, r, frame.PlanPath(id), fmt.Sprintf("Plan %d is in force for %s.", id, joined(areas)))
}

func joined(words []string) string {
	out := ""
	for i, w := range words {
		switch {
		case i == 0:
		case i == len(words)-1:
			out += " and "
		default:
			out += ", "
		}
		out += w
	}
	return out
}

func planOf(r *http.Request) (ident.Plan, error) {
	n, err := strconv.ParseInt(r.PathValue("id"), 10, 64)
	if err != nil {
		return 0, fault.NotFound
	}
	return ident.Plan(n), nil
}
