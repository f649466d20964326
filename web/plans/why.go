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
}

// Takes is how long the plan's runs take, in words.
func (p whyPage) Takes() string {
	if p.Why.Days <= 1 {
		return "a day or less and count for one"
	}
	return p.F.Number(p.Why.Days, 1) + " days"
}

// Changes are the small changes but those of due times.
func (p whyPage) Changes() (out []runs.Detail) {
	for _, d := range p.Why.Details {
		if d.Field != "due_d" {
			out = append(out, d)
		}
	}
	return out
}

// DueDays are the days of due time.
func (p whyPage) DueDays() (out []runs.Detail) {
	for _, d := range p.Why.Details {
		if d.Field == "due_d" {
			out = append(out, d)
		}
	}
	return out
}

// PerThousand heads the saving by the area of sheets.
func (p whyPage) PerThousand() string {
	if p.F.US {
		return "An MSF"
	}
	return "A thousand m²"
}

// Thousand is the money for a thousand square metres in that unit.
func (p whyPage) Thousand(m quantity.Money) quantity.Money {
	if p.F.US {
		return m * quantity.Money(quantity.MSF/1000)
	}
	return m
}

// ThousandRun is the money of a thousand metres, or feet, at so much a metre.
func (p whyPage) ThousandRun(m quantity.Money) quantity.Money {
	if p.F.US {
		return 1000 * m * quantity.Money((12 * quantity.Inch).Metres())
	}
	return 1000 * m
}

// Turn says which way money goes.
func (p whyPage) Turn(m quantity.Money) string {
	switch {
	case m >= 0.005:
		return "saves " + p.F.Money(m)
	case m <= -0.005:
		return "costs " + p.F.Money(-m)
	}
	return "nothing"
}

// Gain is what a change saves, 0 where planning with it came out dearer by the last of a search.
func (p whyPage) Gain(m quantity.Money) quantity.Money { return max(0, m) }

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
	pg.Why, pg.Said = p.Desk.Explained(id)
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
