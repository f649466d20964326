package floor

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/web/frame"
)

type wastePage struct {
	frame.Base
	Days    int
	Rows    []desk.WasteRow
	Planned quantity.Mass
	Rest    quantity.Mass // controllable
	Untold  quantity.Mass // of the rest: without a reason
	Parts   []part        // of Planned, the heaviest first
	By      []desk.WasteOf
	ByMore  int // runs and jobs beyond these

	Corrugator ident.Machine
	Fields     []frame.Field
	Once       string
	Pages      frame.Pager
}

// part is one kind of planned waste.
type part struct {
	What string
	Mass quantity.Mass
}

// sourcesShown is how many runs and jobs stand on the page; the file has all.
const sourcesShown = 30

// wasteDays is how far back the page looks unless asked otherwise.
const wasteDays = 7

func days(r *http.Request) int {
	n, err := strconv.Atoi(r.FormValue("days"))
	if err != nil || n < 1 || n > 366 {
		return wasteDays
	}
	return n
}

// window is what the page looks at: whole days, up to now.
func (p Pages) window(r *http.Request, snap *desk.Snapshot) (since, until time.Time) {
	now := p.Desk.Now()
	y, m, d := now.In(snap.Zone()).Date()
	return time.Date(y, m, d+1-days(r), 0, 0, 0, 0, snap.Zone()), now.Add(24 * time.Hour)
}

// Waste answers: what was wasted, where, why, and how much of it could have been spared?
func (p Pages) Waste(w http.ResponseWriter, r *http.Request) error {
	return p.waste(w, r, http.StatusOK, nil)
}

func (p Pages) waste(w http.ResponseWriter, r *http.Request, status int, why error) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := wastePage{Base: p.Base(w, r, snap, "Runs", "Waste"), Days: days(r), Once: frame.Once(), Corrugator: snap.Plant.Corrugator.Code}
	pg.Trail = []frame.Link{{Words: "Runs", To: "/runs"}}
	pg.Acts = []frame.Link{{Words: "Waste (CSV)", To: fmt.Sprintf("/waste.csv?days=%d", pg.Days)}, {Words: "By run and job (CSV)", To: fmt.Sprintf("/waste.csv?by=run&days=%d", pg.Days)}, {Words: "Counts", To: "/floor/counts"}}
	since, until := p.window(r, snap)
	rows, by, err := p.Desk.WasteBySource(r.Context(), since, until)
	if err != nil {
		return err
	}
	pg.sum(rows)
	pg.By = by[:min(len(by), sourcesShown)]
	pg.ByMore = len(by) - len(pg.By)
	pg.Rows, pg.Pages = frame.Cut(r, rows, countsAPage)
	pg.Fields = wasteFields(r, snap, pg.F.Format, frame.LocalTime(p.Desk.Now(), snap.Zone()))
	if why != nil {
		vs, err := frame.Violations(why)
		if err != nil {
			return err
		}
		pg.Once = r.FormValue("fact")
		pg.Amiss = frame.Mark(pg.Fields, vs)
	}
	return p.Render(w, status, pages["waste.html"], pg)
}

// sum parts what was planned, by kind, from what could have been spared.
func (pg *wastePage) sum(rows []desk.WasteRow) {
	for _, v := range rows {
		if !v.Planned {
			pg.Rest += v.Mass
			if v.Reason == desk.WasteUntold {
				pg.Untold += v.Mass
			}
			continue
		}
		pg.Planned += v.Mass
		what := strings.TrimSuffix(v.Reason, ", as planned")
		at := slices.IndexFunc(pg.Parts, func(q part) bool { return q.What == what })
		if at < 0 {
			at = len(pg.Parts)
			pg.Parts = append(pg.Parts, part{What: what})
		}
		pg.Parts[at].Mass += v.Mass
	}
	slices.SortStableFunc(pg.Parts, func(a, b part) int { return cmp.Compare(b.Mass, a.Mass) })
}

func wasteFields(r *http.Request, snap *desk.Snapshot, f quantity.Format, now string) []frame.Field {
	at := now
	if typed := r.FormValue("at"); typed != "" {
		at = typed
	}
	places := []frame.Option{{Value: "", Words: "sheet floor: sheets thrown away"}, {Value: string(snap.Plant.Corrugator.Code), Words: string(snap.Plant.Corrugator.Code) + ", corrugator"}}
	for _, m := range snap.Plant.Machines {
		places = append(places, frame.Option{Value: string(m.Code), Words: string(m.Code)})
	}
	return []frame.Field{
		{Name: "reason", Label: "Reason", Value: r.FormValue("reason"), Needed: true, Hint: "warp, print, jam, truck, wet …"},
		{Name: "machine", Label: "Where", Kind: "select", Options: places, Value: r.FormValue("machine")},
		{Name: "sheets", Label: "Sheets", Kind: "number", Least: "0", Value: r.FormValue("sheets")},
		{Name: "mass", Label: "Or weighed, " + f.MassUnit(), Kind: "number", Least: "0", Step: "any", Value: r.FormValue("mass")},
		{Name: "order", Label: "Order", Value: r.FormValue("order"), Hint: "needed for sheets"},
		{Name: "stack", Label: "Stack", Value: r.FormValue("stack")},
		{Name: "place", Label: "Lane or place", Value: r.FormValue("place")},
		{Name: "at", Label: "When", Kind: "datetime-local", Value: at, Needed: true},
	}
}

// BookWaste takes waste with its reason.
func (p Pages) BookWaste(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	v := frame.Values{R: r, In: snap.Zone()}
	f := trace.Fact{
		ID: ident.Fact(v.Text("fact")), At: v.Time("at"), Kind: trace.WasteBooked, Source: "desk", Who: frame.Who(r), Reason: v.Text("reason"),
		Machine: ident.Machine(v.Text("machine")), Place: v.Text("place"), Stack: ident.Stack(v.Text("stack")), Waste: v.Count("sheets", 0, 0),
	}
	if v.Text("mass") != "" {
		f.Mass = quantity.Mass(v.Number("mass", 0, 1e6))
		if snap.Plant.Display.Units == "us" {
			f.Mass *= quantity.Pound
		}
	}
	err = v.Err()
	if order := v.Text("order"); order != "" && err == nil {
		if f.Release, err = ident.ParseRelease(order); err != nil {
			err = frame.Wrong("order", order, "must be ORDER or ORDER/LINE/RELEASE")
		}
	}
	if err == nil && f.Waste > 0 && f.Release == (ident.Release{}) {
		err = frame.Wrong("order", "", "must be given: sheets belong to an order")
	}
	var done desk.Recorded
	if err == nil {
		done, err = p.Desk.Record(r.Context(), f)
	}
	if err != nil {
		return p.waste(w, r, http.StatusUnprocessableEntity, err)
	}
	words := fmt.Sprintf("Booked: %s.", f.Reason)
	if !done.New {
		words = "That was booked before; nothing is doubled."
	}
	return frame.Done(w, r, "/waste", frame.Kept(words, done.Warnings))
}
