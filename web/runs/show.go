package runs

import (
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strconv"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/draw"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/rolls"
	planruns "github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/web/frame"
)

type runPage struct {
	frame.Base
	planruns.Run
	ID       ident.Plan
	Time     *jobs.RunTime
	Setup    *plan.Setup
	Slits    []position
	Scores   []position
	Picture  template.HTML
	Orders   []lane
	Papers   []rolls.PlyNeed
	Facts    []trace.Fact
	Before   int
	Next     int
	Pct      float64
	Once     string
	Typed    string // now, for the form's time field
	Machine  ident.Machine
	Upgraded bool
	Webs     []frame.Option // of the corrugator, to pin it to
	Others   []otherWeb
	Waste    frame.Wasted
}

// otherWeb is why the run is not on another web.
type otherWeb struct {
	planruns.OtherWeb
	Missing quantity.Length // of a web that is too narrow
	Amount  quantity.Money  // Cost without its sign
	NoPaper bool            // a paper of the board is not kept in it
}

// position is one head: where it stands from the operator side and from the centre line.
type position struct{ FromOperator, FromCentre quantity.Length }

type lane struct {
	planruns.Lane
	Item     ident.Item
	House    string
	Sheet    bool
	EndsRun  bool
	Field    string // of the form
	Release  ident.Release
	Finished *jobs.Finish
}

// Show answers: what is set for this run, which count ends it, and is its paper there?
func (p Pages) Show(w http.ResponseWriter, r *http.Request) error {
	seq, err := strconv.Atoi(r.PathValue("seq"))
	if err != nil {
		return fault.NotFound
	}
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	st, err := p.Standing(r)
	if err != nil {
		return err
	}
	run, err := runOf(st.Plan, seq)
	if err != nil {
		return fmt.Errorf("run %d of plan %d: %w", seq, st.Head.ID, err)
	}
	pg := runPage{
		Base: p.Base(w, r, snap, "Runs", fmt.Sprintf("Run %d", seq)), Run: run, ID: st.Head.ID,
		Time: timesOf(st.Plan)[seq], Setup: setupsOf(st.Plan)[seq], Pct: 100 * float64(run.Trim) / float64(run.Web),
		Once: frame.Once(), Typed: frame.LocalTime(p.Desk.Now(), snap.Zone()), Machine: snap.Plant.Corrugator.Code,
	}
	pg.Trail = []frame.Link{{Words: "Runs", To: frame.OfPlan("/runs", pg.ID)}}
	pg.Acts = acts(pg.ID, "Set-up sheet (PDF)", fmt.Sprintf("/print/setup/%d", seq))
	pg.Acts = append(pg.Acts, acts(pg.ID, "Stack labels (PDF)", fmt.Sprintf("/print/stacks/%d", seq))...)
	pg.neighbours(st.Plan)
	for _, web := range snap.Plant.Corrugator.Limits.Webs {
		pg.Webs = append(pg.Webs, frame.Option{Value: pg.F.Length(web), Words: pg.F.Length(web) + " " + pg.F.LengthUnit()})
	}
	pg.lanes(snap, st)
	pg.others(snap)
	pg.positions()
	for _, n := range st.Plan.Rolls.Needs {
		if n.Run == seq {
			pg.Papers = append(pg.Papers, n)
		}
	}
	if pg.Picture, err = frame.Picture(draw.WebSection(pg.section(st), pg.F.Format)); err != nil {
		return err
	}
	if pg.Facts, err = p.Desk.Facts(r.Context(), desk.FactQuery{Plan: pg.ID, Run: seq, Limit: 50}); err != nil {
		return err
	}
	pg.Waste.F = pg.F
	if pg.Waste.Foreseen, pg.Waste.Told, err = p.Desk.RunWaste(r.Context(), trace.Run{Plan: pg.ID, Run: seq}); err != nil {
		return err
	}
	return p.Render(w, http.StatusOK, pages["run.html"], pg)
}

func (pg *runPage) neighbours(p *plan.Plan) {
	for i, run := range p.Runs {
		if run.Seq != pg.Seq {
			continue
		}
		if i > 0 {
			pg.Before = p.Runs[i-1].Seq
		}
		if i+1 < len(p.Runs) {
			pg.Next = p.Runs[i+1].Seq
		}
	}
}

func (pg *runPage) lanes(snap *desk.Snapshot, st *frame.Standing) {
	for _, l := range pg.Run.Lanes {
		v := lane{Lane: l, Field: "good-" + l.Order}
		if key, err := ident.ParseRelease(l.Order); err == nil {
			v.Release, v.Finished = key, st.Ends[key]
			if d := st.Demands[key]; d != nil {
				v.Item = d.Item
				if c, ok := snap.Customer(d.Customer); ok {
					v.House = c.Name
				}
			}
		}
		v.EndsRun = pg.Setup != nil && pg.Setup.EndsOrder == l.Order && pg.Setup.EndsLevel == l.Level
		pg.Upgraded = pg.Upgraded || l.Upgraded
		pg.Orders = append(pg.Orders, v)
	}
}

// others lays the run's lanes on the corrugator's other webs.
func (pg *runPage) others(snap *desk.Snapshot) {
	grade, ok := snap.Grade(pg.Grade)
	if !ok {
		return
	}
	all := board.NewCatalogue(snap.Plant.Papers, snap.Plant.Flutes)
	paper := grade.PaperPrice(all)
	credit := min(grade.WasteCredit(all, snap.Plant.Prices.WasteCreditPerTonne), paper)
	for _, o := range planruns.OtherWebs(pg.Run, snap.Plant.Corrugator.Limits, paper, credit) {
		v := otherWeb{OtherWeb: o, Amount: max(o.Cost, -o.Cost), Missing: max(0, 2*snap.Plant.Corrugator.Limits.SideTrimMin-o.Trim)}
		for _, ply := range grade.Plies {
			kept := all.Papers[ply.Paper].Webs
			v.NoPaper = v.NoPaper || !slices.Contains(kept, o.Web)
		}
		pg.Others = append(pg.Others, v)
	}
}

func (pg *runPage) positions() {
	if pg.Setup == nil {
		return
	}
	s := pg.Setup
	for i, x := range s.Slits {
		pg.Slits = append(pg.Slits, position{at(s.FromOp, i), x})
	}
	for i, x := range s.Scores {
		pg.Scores = append(pg.Scores, position{at(s.ScoresOp, i), x})
	}
}

func at(list []quantity.Length, i int) quantity.Length {
	if i < len(list) {
		return list[i]
	}
	return 0
}

// section is the run as the drawing wants it.
func (pg *runPage) section(st *frame.Standing) draw.Section {
	run := pg.Run
	s := draw.Section{
		Title: fmt.Sprintf("Run %d: %s at %s %s", run.Seq, run.Grade, pg.F.Length(run.Web), pg.F.LengthUnit()),
		Web:   run.Web, TrimOperator: run.Trim / 2, TrimDrive: run.Trim - run.Trim/2,
	}
	if pg.Setup != nil && len(pg.Setup.FromOp) > 0 {
		s.TrimOperator = pg.Setup.FromOp[0]
		s.TrimDrive = run.Trim - s.TrimOperator
	}
	for _, l := range pg.Orders {
		v := draw.SectionLane{Label: l.Order, Level: l.Level, Outs: l.Outs, Slit: l.Slit}
		if d := st.Demands[l.Release]; d != nil {
			v.Scores = d.Sheet.Scores
		}
		s.Lanes = append(s.Lanes, v)
	}
	return s
}
