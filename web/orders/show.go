package orders

import (
	"fmt"
	"net/http"
	"time"

	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/loads"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/web/frame"
)

type orderPage struct {
	frame.Base
	row
	Version  int
	Demand   *plan.Demand
	Made     *runs.Made
	Runs     []runOf
	Jobs     []jobs.Job
	Load     *loads.Load
	Notices  []plan.Notice
	Plan     desk.PlanHead
	Facts    []trace.Fact
	Gaps     []trace.Gap // between its five counts; none: nothing is told yet
	History  []frame.Edit
	Fields   []frame.Field
	Held     bool
	Closed   bool
	Once     string
	Goods    goods
	Customs  order.Customer // who it is for
	Received promise
	Theirs   *order.Line // what stands where an edit came second
}

// runOf is a run with the lane of this order.
type runOf struct {
	runs.Run
	Lane runs.Lane
	Time *jobs.RunTime
}

// Show answers: when will this order be finished, and what is it waiting for?
func (p Pages) Show(w http.ResponseWriter, r *http.Request) error {
	key, err := frame.ReleaseOf(r)
	if err != nil {
		return err
	}
	l, version, err := p.Desk.Line(r.Context(), key)
	if err != nil {
		return err
	}
	pg, err := p.order(w, r, l, version)
	if err != nil {
		return err
	}
	pg.Fields = fieldsOf(l, pg.F)
	return p.Render(w, http.StatusOK, pages["order.html"], pg)
}

func (p Pages) order(w http.ResponseWriter, r *http.Request, l order.Line, version int) (*orderPage, error) {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return nil, err
	}
	st, err := p.StandingOrNone(r)
	if err != nil {
		return nil, err
	}
	standing, err := p.Desk.Goods(r.Context())
	if err != nil {
		return nil, err
	}
	pg := &orderPage{
		Base: p.Base(w, r, snap, "Orders", "Order "+l.Key.String()), row: rowOf(snap, st, standing, l), Version: version,
		Held: l.State == order.OnHold, Closed: l.State == order.Closed, Once: frame.Once(),
	}
	pg.Trail = []frame.Link{{Words: "Orders", To: "/orders"}}
	pg.goodsOf(snap, standing)
	if c, ok := snap.Customer(l.Customer); ok {
		pg.Customs, pg.Received = c, received(snap, c, pg.End)
	}
	if st != nil {
		pg.alongPlan(st)
	}
	if a, ok := snap.Account(l.Key); ok && a.Quantities != (trace.Quantities{}) {
		item, _ := snap.Item(l.Item)
		gaps := a.Gaps(max(item.PiecesPerSheet, 1))
		pg.Gaps = gaps[:]
	}
	if len(snap.Floor.StacksOf(l.Key)) > 0 || snap.Done[l.Key] != (trace.Quantities{}) {
		pg.Acts = append(pg.Acts, frame.Link{Words: "Counts", To: "/floor/counts" + frame.OrderPath(l.Key)[len("/orders"):]})
	}
	if pg.Facts, err = p.Desk.Facts(r.Context(), desk.FactQuery{Release: l.Key, Limit: 50}); err != nil {
		return nil, err
	}
	edits, err := p.Desk.History(r.Context(), desk.KindLine, l.Key.String())
	if err != nil {
		return nil, err
	}
	pg.History = frame.Edits(edits)
	return pg, nil
}

// alongPlan follows the order through the plan: demand, runs, jobs, load.
func (pg *orderPage) alongPlan(st *frame.Standing) {
	pg.Plan = st.Head
	pg.Demand, pg.Made, pg.Load = st.Demands[pg.Key], st.Made[pg.Key], st.Loads[pg.Key]
	name := pg.Key.String()
	for _, run := range st.Plan.Runs {
		for _, lane := range run.Lanes {
			if lane.Order == name {
				pg.Runs = append(pg.Runs, runOf{run, lane, timeOf(st.Plan, run.Seq)})
			}
		}
	}
	for _, j := range st.Plan.Clock.Jobs {
		if j.Release == pg.Key {
			pg.Jobs = append(pg.Jobs, j)
		}
	}
	for _, n := range st.Plan.Notices {
		if n.Release == pg.Key {
			pg.Notices = append(pg.Notices, n)
		}
	}
	if !pg.Held && !pg.Closed {
		pg.Acts = append(pg.Acts, frame.Link{Words: "Can it be sooner?", To: "/promise?order=" + frame.Escape(name)})
	}
	if len(pg.Runs) > 0 || len(pg.Jobs) > 0 {
		pg.Acts = append(pg.Acts, frame.Link{Words: "Job ticket (PDF)", To: fmt.Sprintf("/print/ticket.pdf?plan=%d&key=%s", st.Head.ID, frame.Escape(name))})
	}
	if pg.Load != nil && pg.Load.Units > 0 {
		pg.Acts = append(pg.Acts, frame.Link{Words: "Follow a fault", To: "/fault?key=" + frame.Escape(name)})
		pg.Acts = append(pg.Acts, frame.Link{Words: "Load tags (PDF)", To: fmt.Sprintf("/print/tags.pdf?plan=%d&key=%s", st.Head.ID, frame.Escape(name))})
	}
}

func timeOf(p *plan.Plan, seq int) *jobs.RunTime {
	for i := range p.Clock.Runs {
		if p.Clock.Runs[i].Run == seq {
			return &p.Clock.Runs[i]
		}
	}
	return nil
}

// promise is when the customer takes a delivery that arrives out of hours.
type promise struct {
	At  time.Time
	Why string
}

func received(snap *desk.Snapshot, c order.Customer, end *jobs.Finish) promise {
	if end == nil || end.AtDock.IsZero() {
		return promise{}
	}
	at, why := c.Received(end.AtDock, snap.Zone())
	return promise{at, why}
}
