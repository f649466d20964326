package plans

import (
	"fmt"
	"net/http"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/web/frame"
)

type whyPage struct {
	frame.Base
	ID   ident.Plan
	Said bool
	Why  runs.Explained
	Days float64 // that the plan's runs take
}

// Week is what a saving of the plan comes to in a week of such plans.
func (p whyPage) Week(m quantity.Money) quantity.Money {
	return m * quantity.Money(7/max(p.Days, 1))
}

// Takes is how long that is, in words.
func (p whyPage) Takes() string {
	if p.Days < 1 {
		return "less than a day and count for one"
	}
	return p.F.Number(p.Days, 1) + " days"
}

// Came says what planning with a change came to.
func (p whyPage) Came(d runs.Detail) string {
	f := p.F
	switch {
	case !d.Tried:
		return "not tried"
	case d.Saves < 0.005:
		return "saves nothing here"
	}
	s := "saves " + f.Money(d.Saves) + " " + f.MoneyUnit()
	if d.Area > 0 {
		s += ", " + f.Area(d.Area) + " " + f.AreaUnit() + " of web"
	}
	return s
}

// Why tells what frees the orders that a plan leaves, why each run is on its
// web, and which other plans there are, where somebody has asked.
func (p Pages) Why(w http.ResponseWriter, r *http.Request) error {
	id, err := planOf(r)
	if err != nil {
		return err
	}
	if _, err := p.Desk.PlanHead(r.Context(), id); err != nil {
		return err
	}
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := whyPage{Base: p.Base(w, r, snap, "Plans", fmt.Sprintf("Why plan %d is as it is", id)), ID: id}
	pg.Trail = []frame.Link{{Words: "Plans", To: "/plans"}, {Words: fmt.Sprintf("Plan %d", id), To: frame.PlanPath(id)}}
	if pg.Why, pg.Said = p.Desk.Explained(id); pg.Said {
		made, h, err := p.Desk.Plan(r.Context(), id)
		if err != nil {
			return err
		}
		pg.Days = made.Summary.Ends.Sub(h.Started).Hours() / 24
	}
	return p.Render(w, http.StatusOK, pages["why.html"], pg)
}

// AskWhy works it out.
func (p Pages) AskWhy(w http.ResponseWriter, r *http.Request) error {
	id, err := planOf(r)
	if err != nil {
		return err
	}
	if _, err := p.Desk.Explain(r.Context(), id); err != nil {
		return err
	}
	http.Redirect(w, r, frame.PlanPath(id)+"/why", http.StatusSeeOther)
	return nil
}
