// Package today is the desk's first page: what needs a decision, worst first.
package today

import (
	"embed"
	"net/http"
	"time"

	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "today.html")

// Pages of today.
type Pages struct{ *frame.Frame }

type page struct {
	frame.Base
	Plan    *plan.Plan
	Head    desk.PlanHead
	Forced  bool // the plan is in force on the corrugator
	Notices []notice
	Rest    []notice // beyond the first
	Beyond  int      // beyond those
	Open    int      // lines in the book
	Held    int
	Newer   *desk.PlanHead // a usable plan newer than the one shown
	Running *desk.PlanHead
}

type notice struct {
	plan.Notice
	Now bool // an order is late or not planned, or the latest hour to act is within this shift
	To  frame.Link
}

// first is how many sentences stand before the rest is folded away; most is how many are folded.
const (
	first = 7
	most  = 60
)

// soon is how near the latest hour to act must be to carry the signal tone.
const soon = 8 * time.Hour

// Today answers: what breaks today, worst first, and by when must I act?
func (p Pages) Today(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := page{Base: p.Base(w, r, snap, "Today", "Today")}
	pg.Acts = []frame.Link{{Words: "Import orders", To: "/orders/import"}, {Words: "Plan again", To: "/plans"}, {Words: "Enter what is on the floor", To: "/floor"}}
	for _, l := range snap.Lines {
		switch l.State {
		case "closed":
		case "on hold":
			pg.Held++
			pg.Open++
		default:
			pg.Open++
		}
	}
	st, err := frame.Maybe(p.Current(r.Context()))
	if err != nil {
		return err
	}
	if st != nil {
		pg.Plan, pg.Head = st.Plan, st.Head
		pg.take(st.Plan.Notices)
	}
	if err := p.others(r, &pg); err != nil {
		return err
	}
	return p.Render(w, http.StatusOK, pages["today.html"], pg)
}

func (pg *page) take(ns []plan.Notice) {
	for _, n := range ns {
		v := notice{Notice: n, To: about(n), Now: n.Kind == "late" || n.Kind == "unplanned" || !n.ActBy.IsZero() && n.ActBy.Before(pg.Now.Add(soon))}
		switch {
		case len(pg.Notices) < first:
			pg.Notices = append(pg.Notices, v)
		case len(pg.Rest) < most:
			pg.Rest = append(pg.Rest, v)
		default:
			pg.Beyond++
		}
	}
}

// about is the page where the notice is settled.
func about(n plan.Notice) frame.Link {
	switch n.Kind {
	case "hold":
		if n.Release.Order == "" {
			return frame.Link{Words: "Rolls on hold", To: "/rolls/house?held=1"}
		}
	case "paper":
		return frame.Link{Words: "Rolls", To: "/rolls"}
	case "load":
		if n.Release.Order != "" {
			return frame.Link{Words: "Load of " + n.Release.String(), To: frame.LoadPath(n.Release)}
		}
	}
	if n.Release.Order != "" {
		return frame.Link{Words: "Order " + n.Release.String(), To: frame.OrderPath(n.Release)}
	}
	return frame.Link{Words: "Jobs", To: "/jobs"}
}

// others looks for a plan that is being made, and for one newer than the one shown.
func (p Pages) others(r *http.Request, pg *page) error {
	heads, err := p.Desk.Plans(r.Context())
	if err != nil {
		return err
	}
	for i, h := range heads {
		switch {
		case h.State == desk.PlanRunning && pg.Running == nil:
			pg.Running = &heads[i]
		case h.State.Usable() && pg.Plan != nil && h.ID > pg.Head.ID && pg.Newer == nil:
			pg.Newer = &heads[i]
		}
	}
	forced, err := p.Desk.InForce(r.Context())
	if err != nil {
		return err
	}
	pg.Forced = pg.Plan != nil && forced[desk.AreaCorrugator] == pg.Head.ID
	return nil
}
