// Package rolls shows the paper: what the plan needs against what is in the
// house, shortages first, and the rolls themselves.
package rolls

import (
	"embed"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plant/roll"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "need.html", "house.html", "receive.html", "call.html", "expected.html")

// Pages of rolls.
type Pages struct{ *frame.Frame }

type needPage struct {
	frame.Base
	ID        ident.Plan
	Planned   bool
	Short     []position
	Covered   []position
	Idle      []position        // in the house, and the plan asks for none
	Uncovered quantity.Distance // of all plies, neither in the house nor in time
	Held      quantity.Distance
	Inbound   []roll.Inbound
	Ahead     desk.PaperAhead
	Open      []rolls.PlyCover // plies of the cover that lack metres
	Until     time.Time
	Reserved  desk.PaperReserved
}

type position struct {
	rolls.Position
	Free quantity.Distance // in the house beyond the need
	Open bool              // no delivery ends it in time
}

// Need answers: which paper runs short, when, and which truck ends it?
func (p Pages) Need(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := needPage{Base: p.Base(w, r, snap, "Rolls", "Rolls")}
	pg.Acts = []frame.Link{{Words: "Every roll in the house", To: "/rolls/house"}, {Words: "Import rolls", To: "/plant/import?kind=rolls"}}
	pg.Inbound = slices.Clone(snap.Inbound)
	slices.SortFunc(pg.Inbound, func(a, b roll.Inbound) int { return a.ETA.Compare(b.ETA) })
	st, err := p.StandingOrNone(r)
	if err != nil {
		return err
	}
	if st != nil {
		pg.ID, pg.Planned, pg.Uncovered = st.Head.ID, true, st.Plan.Rolls.Uncovered
		now := p.Desk.Clock()
		pg.Until = snap.ShiftEnd(now)
		pg.Reserved = snap.PaperReserved(st.Plan, st.Head.ID, now)
		pg.Ahead = snap.PaperAhead(st.Plan, st.Head.ID, now, pg.Until)
		for _, v := range pg.Ahead.Cover.Plies {
			if v.Missing > 0 {
				pg.Open = append(pg.Open, v)
			}
		}
		for _, n := range snap.PaperPositions(st.Plan, st.Head.ID, now) {
			v := position{Position: n, Free: max(0, n.House-n.Need), Open: n.Short > 0 && (n.EndedBy == nil || !n.EndedBy.InTime)}
			pg.Held += n.Held
			switch {
			case n.Short > 0:
				pg.Short = append(pg.Short, v)
			case n.Need > 0:
				pg.Covered = append(pg.Covered, v)
			default:
				pg.Idle = append(pg.Idle, v)
			}
		}
	}
	return p.Render(w, http.StatusOK, pages["need.html"], pg)
}

type housePage struct {
	frame.Base
	Sift    []frame.Field
	Held    bool
	Rows    []house
	Pages   frame.Pager
	Metres  quantity.Distance
	Mass    quantity.Mass
	OnHold  int
	OfRolls int
}

type house struct {
	roll.Roll
	Version int
}

const rollsAPage = 100

// House lists the rolls; holds can be set and lifted.
func (p Pages) House(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := housePage{Base: p.Base(w, r, snap, "Rolls", "Rolls in the house"), Held: r.FormValue("held") != ""}
	pg.Trail = []frame.Link{{Words: "Rolls", To: "/rolls"}}
	text, paper := strings.ToLower(strings.TrimSpace(r.FormValue("q"))), r.FormValue("paper")
	papers := []frame.Option{{Value: "", Words: "all"}}
	for _, v := range snap.Plant.Papers {
		papers = append(papers, frame.Option{Value: string(v.Code), Words: string(v.Code)})
	}
	pg.Sift = []frame.Field{
		{Name: "q", Label: "Roll or place", Kind: "search", Value: text},
		{Name: "paper", Label: "Paper", Kind: "select", Value: paper, Options: papers},
	}
	var found []roll.Roll
	for _, v := range snap.Rolls {
		switch {
		case paper != "" && string(v.Paper) != paper, pg.Held && !v.Hold,
			text != "" && !strings.Contains(strings.ToLower(string(v.ID)+" "+v.Location+" "+v.Stand), text):
			continue
		}
		found = append(found, v)
		pg.Metres += v.Length
		pg.Mass += v.Mass
		if v.Hold {
			pg.OnHold++
		}
	}
	shown, pager := frame.Cut(r, found, rollsAPage)
	pg.Pages, pg.OfRolls = pager, len(found)
	for _, v := range shown {
		pg.Rows = append(pg.Rows, house{v, snap.Version("roll", string(v.ID))})
	}
	return p.Render(w, http.StatusOK, pages["house.html"], pg)
}
