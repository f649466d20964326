// Package webs is the page that answers which web widths of paper are worth
// keeping, judged by the book's own orders.
package webs

import (
	"embed"
	"encoding/json"
	"fmt"
	"html/template"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	engine "github.com/flutewright/flutewright/plan/webs"
	"github.com/flutewright/flutewright/sheet"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "ask.html", "search.html")

// Pages of web widths.
type Pages struct{ *frame.Frame }

type askPage struct {
	frame.Base
	Fields []frame.Field
	Before []desk.WebsSearch
}

// Form asks for the widths to choose from.
func (p Pages) Form(w http.ResponseWriter, r *http.Request) error {
	return p.form(w, r, http.StatusOK, nil)
}

func (p Pages) form(w http.ResponseWriter, r *http.Request, status int, why error) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := askPage{Base: p.Base(w, r, snap, "Board", "Which webs to stock"), Before: p.Desk.WebsSearches()}
	pg.Trail = []frame.Link{{Words: "Board", To: "/board"}}
	given := map[string]string{"most": "3", "together": "3", "seconds": "20"}
	var today []string
	for _, web := range snap.Plant.Corrugator.Limits.Webs {
		today = append(today, pg.F.Length(web))
	}
	given["candidates"] = strings.Join(today, "; ")
	for name := range map[string]bool{"candidates": true, "most": true, "keep": true, "days": true, "together": true, "seconds": true} {
		if r.Form != nil && r.Form.Has(name) {
			given[name] = r.FormValue(name)
		}
	}
	pg.Fields = []frame.Field{
		{Name: "candidates", Label: "Widths to choose from, " + pg.F.LengthUnit(), Value: given["candidates"], Hint: "with semicolons between; today's are filled in, others may be added", Wide: true, Needed: true},
		{Name: "most", Label: "Widths kept at most", Kind: "number", Least: "1", Value: given["most"], Needed: true},
		{Name: "keep", Label: "Keeping one width for a year, " + pg.F.MoneyUnit(), Value: given["keep"], Hint: "room, handling, interest on its rolls; empty: keeping costs nothing"},
		{Name: "days", Label: "Days that the orders cover", Value: given["days"], Hint: "for their share of a year's keeping; empty: by their due times"},
		{Name: "together", Label: "Days planned at once", Value: given["together"], Hint: "orders due in the same so many days may share a run; empty: all orders may, which flatters every set"},
		{Name: "seconds", Label: "Seconds of search", Value: given["seconds"], Hint: "most of it to judge the sets, the rest to plan the best one and today's whole", Needed: true},
	}
	if why != nil {
		vs, err := frame.Violations(why)
		if err != nil {
			return err
		}
		for i := range vs {
			vs[i].Field = fieldOf(vs[i].Field)
		}
		pg.Amiss = frame.Mark(pg.Fields, pg.F.InUnits(vs))
	}
	return p.Render(w, status, pages["ask.html"], pg)
}

// fieldOf is the form's field that states a field of the engine's problem.
func fieldOf(path string) string {
	switch {
	case strings.HasPrefix(path, "candidates"):
		return "candidates"
	case path == "keep_cost_per_web_y":
		return "keep"
	case path == "together_d":
		return "together"
	}
	return path
}

// Start begins a search.
func (p Pages) Start(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	v, f := frame.Values{R: r}, frame.FiguresOf(snap)
	ask := desk.WebsAsk{Most: v.Count("most", 1, 0), Days: v.Number("days", 0, 3660), Together: v.Number("together", 0, 3660), Seconds: v.Number("seconds", 0.1, 600)}
	for _, s := range strings.Split(v.Text("candidates"), ";") {
		if s = strings.TrimSpace(s); s == "" {
			continue
		}
		web, err := f.ParseLength(s)
		if err != nil {
			v.Wrong("candidates", s, fmt.Sprintf("must be widths in %s with semicolons between; %q is none", f.LengthUnit(), s))
			continue
		}
		ask.Candidates = append(ask.Candidates, web)
	}
	if s := v.Text("keep"); s != "" {
		if ask.KeepCost, err = f.ParseMoney(s); err != nil {
			v.Wrong("keep", s, "must be an amount of money")
		}
	}
	var id int64
	if err = v.Err(); err == nil {
		id, err = p.Desk.StartWebs(r.Context(), ask, frame.Who(r))
	}
	if _, other := frame.Violations(err); err != nil && other == nil {
		return p.form(w, r, http.StatusUnprocessableEntity, err)
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, fmt.Sprintf("/webs/%d", id), http.StatusSeeOther)
	return nil
}

type searchPage struct {
	frame.Base
	desk.WebsSearch
	Live    map[string]string
	Best    engine.Set
	Verdict string
	Steps   []string
	Planned string
	Counts  []row // the best set of each number of widths
	Sets    []row
	Today   row
	Idle    []quantity.Length // of today's
	Picture template.HTML
}

// rows of the table; the rest are in the result of the command.
const rows = 15

// Show follows a search, and lays its sets out best first.
func (p Pages) Show(w http.ResponseWriter, r *http.Request) error {
	s, err := p.search(r)
	if err != nil {
		return err
	}
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := searchPage{Base: p.Base(w, r, snap, "Board", "Webs: what sets of widths cost"), WebsSearch: s}
	pg.Trail = []frame.Link{{Words: "Board", To: "/board"}, {Words: "Which webs to stock", To: "/webs"}}
	if s.Running {
		pg.Refresh, pg.Live = 2, live(pg.F, s)
		return p.Render(w, http.StatusOK, pages["search.html"], pg)
	}
	if s.Fault == "" {
		r := s.Result
		pg.Best, pg.Today = r.Sets[0], rowOf(r, r.Today)
		pg.Verdict, pg.Steps, pg.Planned = verdict(pg.F, s), steps(pg.F, s), planned(pg.F, r)
		for _, set := range r.Best {
			pg.Counts = append(pg.Counts, rowOf(r, set))
		}
		for _, set := range r.Sets[:min(rows, len(r.Sets))] {
			pg.Sets = append(pg.Sets, rowOf(r, set))
		}
		for _, u := range r.Today.Used {
			if u.Length <= 0 {
				pg.Idle = append(pg.Idle, u.Web)
			}
		}
		if pg.Picture, err = frame.Picture(sheet.WebSets(r, pg.F.Format)); err != nil {
			return err
		}
	}
	return p.Render(w, http.StatusOK, pages["search.html"], pg)
}

func (p Pages) search(r *http.Request) (desk.WebsSearch, error) {
	id, err := strconv.ParseInt(r.PathValue("id"), 10, 64)
	if err != nil {
		return desk.WebsSearch{}, fault.NotFound
	}
	return p.Desk.Webs(id)
}

func live(f frame.Figures, s desk.WebsSearch) map[string]string {
	out := map[string]string{"live-done": f.Count(s.Progress.Done), "live-of": "–", "live-cost": "–", "live-planned": f.Count(s.Progress.Planned)}
	if s.Progress.Done > 0 {
		out["live-of"], out["live-cost"] = f.Count(s.Progress.Of), f.WholeMoney(s.Progress.Best)
	}
	return out
}

// Events sends a running search's words twice a second, then "end".
func (p Pages) Events(w http.ResponseWriter, r *http.Request) error {
	s, err := p.search(r)
	if err != nil {
		return err
	}
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	out := http.NewResponseController(w)
	if err := out.SetWriteDeadline(time.Time{}); err != nil {
		p.Log.Debug("no write deadline to lift", "error", err)
	}
	w.Header().Set("Content-Type", "text/event-stream")
	w.WriteHeader(http.StatusOK)
	beat := time.NewTicker(time.Second / 2)
	defer beat.Stop()
	for {
		name := "progress"
		if !s.Running {
			name = "end"
		}
		words, err := json.Marshal(live(frame.FiguresOf(snap), s))
		if err != nil {
			return err
		}
		if _, err := fmt.Fprintf(w, "event: %s\ndata: %s\n\n", name, words); err != nil {
			return nil // the reader has left
		}
		if err := out.Flush(); err != nil || !s.Running {
			return nil
		}
		select {
		case <-beat.C:
		case <-r.Context().Done():
			return nil
		}
		if s, err = p.Desk.Webs(s.ID); err != nil {
			return nil // pushed out: the page says so when it is loaded anew
		}
	}
}

// End ends a running search with what it has.
func (p Pages) End(w http.ResponseWriter, r *http.Request) error {
	s, err := p.search(r)
	if err != nil {
		return err
	}
	if err := p.Desk.EndWebs(s.ID); err != nil {
		return err
	}
	http.Redirect(w, r, fmt.Sprintf("/webs/%d", s.ID), http.StatusSeeOther)
	return nil
}
