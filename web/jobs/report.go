package jobs

import (
	"net/http"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/web/frame"
)

type reportPage struct {
	frame.Base
	Line    order.Line
	Machine ident.Machine
	Step    string
	Q       trace.Quantities
	Facts   []trace.Fact
	Once    string
	Typed   string
	Waste   frame.Wasted
}

// Report asks what happened to one job.
func (p Pages) Report(w http.ResponseWriter, r *http.Request) error {
	key, err := ident.ParseRelease(r.FormValue("key"))
	if err != nil {
		return fault.NotFound
	}
	l, _, err := p.Desk.Line(r.Context(), key)
	if err != nil {
		return err
	}
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	m := ident.Machine(r.FormValue("machine"))
	if _, ok := snap.Machine(m); !ok {
		return fault.NotFound
	}
	pg := reportPage{
		Base: p.Base(w, r, snap, "Jobs", "What happened to "+key.String()+" on "+string(m)), Line: l, Machine: m,
		Step: r.FormValue("step"), Q: snap.Done[key], Once: frame.Once(), Typed: frame.LocalTime(p.Desk.Now(), snap.Zone()),
	}
	pg.Trail = []frame.Link{{Words: "Jobs", To: "/jobs#" + string(m)}}
	if pg.Facts, err = p.Desk.Facts(r.Context(), desk.FactQuery{Release: key, Machine: m, Limit: 50}); err != nil {
		return err
	}
	st, err := p.StandingOrNone(r)
	if err != nil {
		return err
	}
	var id ident.Plan
	if st != nil {
		id = st.Head.ID
	}
	pg.Waste.F = pg.F
	if pg.Waste.Foreseen, pg.Waste.Told, err = p.Desk.JobWaste(r.Context(), id, key, m); err != nil {
		return err
	}
	return p.Render(w, http.StatusOK, pages["report.html"], pg)
}
