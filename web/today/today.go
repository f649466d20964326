// Package today is the desk's first page: what needs a decision, worst first.
package today

import (
	"embed"
	"net/http"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "today.html", "cover.html")

// Pages of today.
type Pages struct{ *frame.Frame }

type page struct {
	frame.Base
	desk.Today
	First   []matter
	Rest    []matter // beyond the first
	Beyond  int      // beyond those
	Open    int      // lines in the book
	Held    int
	Newer   *desk.PlanHead // a usable plan newer than the one shown
	Running *desk.PlanHead
	Cover   *desk.PaperCover // nil: there is no plan
}

type matter struct {
	desk.Matter
	Now bool // it breaks something, and the latest hour to act is within this shift or past
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
	pg.Acts = []frame.Link{
		{Words: "What now?", To: "/event"}, {Words: "Promise", To: "/promise"},
		{Words: "Import orders", To: "/orders/import"}, {Words: "Plan again", To: "/plans"}, {Words: "Enter what is on the floor", To: "/floor"},
		{Words: "Handover", To: "/handover"}, {Words: "Crew screens", To: "/crew"}, {Words: "Follow a fault", To: "/fault"},
	}
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
	if pg.Today, err = p.Desk.Today(r.Context()); err != nil {
		return err
	}
	pg.part(snap)
	if pg.Plan != nil {
		cover, err := p.Desk.PaperCover(r.Context(), time.Time{})
		if err != nil {
			return err
		}
		pg.Cover = &cover
	}
	if err := p.others(r, &pg); err != nil {
		return err
	}
	return p.Render(w, http.StatusOK, pages["today.html"], pg)
}

func (pg *page) part(snap *desk.Snapshot) {
	for _, m := range pg.Matters {
		v := matter{Matter: m, To: about(m, snap), Now: m.Breaks && (m.ActBy.IsZero() || m.ActBy.Before(pg.Now.Add(soon)))}
		switch {
		case len(pg.First) < first:
			pg.First = append(pg.First, v)
		case len(pg.Rest) < most:
			pg.Rest = append(pg.Rest, v)
		default:
			pg.Beyond++
		}
	}
}

// about is the page where the matter is settled.
func about(m desk.Matter, snap *desk.Snapshot) frame.Link {
	switch {
	case m.Kind == "hold" && m.Roll != "":
		return frame.Link{Words: "Rolls on hold", To: "/rolls/house?held=1"}
	case m.Kind == "hold":
		return frame.Link{Words: "What carries it, what may go", To: "/fault?key=" + frame.Escape(m.Release.String())}
	case m.Kind == "paper", m.Kind == "call off":
		return frame.Link{Words: "Rolls", To: "/rolls"}
	case m.Kind == "load":
		return frame.Link{Words: "Loads", To: "/loads"}
	case m.Kind == "floor":
		return frame.Link{Words: "Sheet floor", To: "/floor/lanes"}
	case m.Kind == "behind" && m.Machine == "":
		return frame.Link{Words: "Dry end", To: "/crew/dry"}
	case m.Kind == "new" && m.Release == (ident.Release{}):
		return frame.Link{Words: "Orders", To: "/orders"}
	case m.Machine != "" && m.Machine == snap.Plant.Corrugator.Code:
		return frame.Link{Words: "Runs", To: "/runs"}
	case m.Machine != "":
		return frame.Link{Words: "Jobs of " + string(m.Machine), To: "/jobs?machine=" + frame.Escape(string(m.Machine))}
	case m.Release != (ident.Release{}):
		return frame.Link{Words: "Order " + m.Release.String(), To: frame.OrderPath(m.Release)}
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
	return nil
}
