package plans

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/web/frame"
)

type planPage struct {
	frame.Base
	desk.PlanHead
	Live   map[string]string // the words that change while it runs, by element
	Areas  []area
	Terms  []term
	Plan   *plan.Plan
	Others []desk.PlanHead // usable ones to lay beside it
	Hand   []choice        // decided by hand, each of which can be undone
	Priced *priced         // against the plan it came from
}

type area struct {
	Name string
	Here bool // this plan rules it
	By   int64
}

// term is a part of the board's cost, in money and in what is paid for.
type term struct {
	Words  string
	Cost   quantity.Money
	Amount string
}

// amount writes what a term pays for in the plant's units.
func amount(f frame.Figures, a runs.Amount) string {
	switch a.Unit {
	case "m":
		return f.Run(quantity.FromMetres(a.Amount)) + " " + f.RunUnit()
	case "m2":
		area := f.Area(quantity.Area(a.Amount)) + " " + f.AreaUnit()
		if a.Sheets > 0 {
			area += ", " + f.Number(float64(a.Sheets), 0) + " sheets"
		}
		return area
	case "":
		return ""
	}
	return f.Number(a.Amount, 0) + " " + a.Unit
}

// Show follows a running plan, and tells what a finished one costs, wastes and leaves late.
func (p Pages) Show(w http.ResponseWriter, r *http.Request) error {
	id, err := planOf(r)
	if err != nil {
		return err
	}
	h, err := p.Desk.PlanHead(r.Context(), id)
	if err != nil {
		return err
	}
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := planPage{Base: p.Base(w, r, snap, "Plans", fmt.Sprintf("Plan %d", id)), PlanHead: h}
	pg.Trail = []frame.Link{{Words: "Plans", To: "/plans"}}
	if h.State == desk.PlanRunning {
		pg.Refresh = 2
		pg.Live = live(pg.F, h)
	}
	pg.Hand = chosen(h.Options.Choices, pg.F)
	if !h.State.Usable() {
		return p.Render(w, http.StatusOK, pages["plan.html"], pg)
	}
	if pg.Plan, _, err = p.Desk.Plan(r.Context(), id); err != nil {
		return err
	}
	for _, t := range slices.Sorted(maps.Keys(pg.Plan.Totals.CostTerms)) {
		pg.Terms = append(pg.Terms, term{strings.ReplaceAll(t, "_", " "), pg.Plan.Totals.CostTerms[t], amount(pg.F, pg.Plan.Totals.CostUnits[t])})
	}
	forced, err := p.Desk.InForce(r.Context())
	if err != nil {
		return err
	}
	for _, a := range snap.Areas() {
		pg.Areas = append(pg.Areas, area{a, forced[a] == id, int64(forced[a])})
	}
	heads, err := p.Desk.Plans(r.Context())
	if err != nil {
		return err
	}
	for _, o := range heads {
		if o.State.Usable() && o.ID != id {
			pg.Others = append(pg.Others, o)
		}
		if o.State.Usable() && o.ID == h.Options.From {
			pg.Priced = price(h, o)
		}
	}
	pg.Acts = []frame.Link{{Words: "Runs", To: frame.OfPlan("/runs", id)}, {Words: "Rolls", To: frame.OfPlan("/rolls", id)}, {Words: "Jobs", To: frame.OfPlan("/jobs", id)},
		{Words: "Loads", To: frame.OfPlan("/loads", id)}, {Words: "plan.json", To: fmt.Sprintf("/api/plans/%d/body", id)}}
	return p.Render(w, http.StatusOK, pages["plan.html"], pg)
}

// stages in words, in the order of the way.
var stages = map[string]string{
	"": "beginning", "sheets": "counting the sheets wanted", "runs": "combining orders across the web", "rolls": "setting rolls against runs",
	"jobs": "giving jobs to machines", "loads": "standing boxes on pallets", "checked": "checking every limit",
}

// live words a running plan for the page and for its events.
func live(f frame.Figures, h desk.PlanHead) map[string]string {
	p := h.Progress
	out := map[string]string{"live-stage": stages[p.Stage], "live-seconds": f.Number(p.Seconds, 1), "live-cost": "–", "live-bound": "–", "live-gap": "–"}
	if out["live-stage"] == "" {
		out["live-stage"] = p.Stage
	}
	if p.Cost > 0 {
		out["live-cost"] = f.WholeMoney(p.Cost)
	}
	if p.Bound > 0 {
		out["live-bound"] = f.WholeMoney(p.Bound)
		if p.Cost > 0 {
			out["live-gap"] = f.Pct(100*float64(p.Cost/p.Bound-1), 2)
		}
	}
	return out
}

// Events sends a running plan's words as they change, then "end". A browser
// that connects after the end gets "end" at once.
func (p Pages) Events(w http.ResponseWriter, r *http.Request) error {
	id, err := planOf(r)
	if err != nil {
		return err
	}
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	f := frame.FiguresOf(snap)
	heads, err := p.Desk.WatchPlan(r.Context(), id)
	if err != nil {
		return err
	}
	out := http.NewResponseController(w)
	if err := out.SetWriteDeadline(time.Time{}); err != nil {
		p.Log.Debug("no write deadline to lift", "error", err)
	}
	w.Header().Set("Content-Type", "text/event-stream")
	w.WriteHeader(http.StatusOK)
	beat := time.NewTicker(15 * time.Second)
	defer beat.Stop()
	for {
		select {
		case h, more := <-heads:
			if !more {
				return nil
			}
			name := "progress"
			if h.State != desk.PlanRunning {
				name = "end"
			}
			words, err := json.Marshal(live(f, h))
			if err != nil {
				return err
			}
			if _, err := fmt.Fprintf(w, "event: %s\ndata: %s\n\n", name, words); err != nil {
				return nil // the reader has left
			}
		case <-beat.C:
			if _, err := fmt.Fprint(w, ": still there\n\n"); err != nil {
				return nil
			}
		}
		if err := out.Flush(); err != nil {
			return nil
		}
	}
}
