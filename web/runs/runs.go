// Package runs shows the corrugator's runs: the sequence at a glance, and each
// run with its web drawn to scale, its set-up and its paper.
package runs

import (
	"embed"
	"net/http"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	planruns "github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "list.html", "run.html")

// Pages of runs.
type Pages struct{ *frame.Frame }

type listPage struct {
	frame.Base
	Plan   *plan.Plan
	ID     ident.Plan
	Blocks []block
	Pages  frame.Pager
	Widest quantity.Length
	Next   *row // the run that stands or starts next

	Over     []jobs.Manning // overtime of the corrugator's crew
	OverCost quantity.Money
}

// block is the runs of one grade that follow each other.
type block struct {
	Grade  ident.Grade
	Runs   []row
	Length quantity.Distance
	From   time.Time
	Until  time.Time
}

type row struct {
	planruns.Run
	Time  *jobs.RunTime
	Parts []part
	Pct   float64 // trim over web
	Done  bool    // ended, by the ledger
}

// part is one strip of the web in the list's small picture.
type part struct {
	X, Width quantity.Length
	Role     string // board, boardalt, waste
}

// runsAPage keeps a page light where a week's book makes hundreds of runs.
const runsAPage = 80

// List answers: what runs when, on which web, and what is trimmed?
func (p Pages) List(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := listPage{Base: p.Base(w, r, snap, "Runs", "Runs")}
	st, err := p.StandingOrNone(r)
	if err != nil {
		return err
	}
	if st == nil {
		return p.Render(w, http.StatusOK, pages["list.html"], pg)
	}
	pg.Plan, pg.ID = st.Plan, st.Head.ID
	for _, l := range snap.Plant.Corrugator.Limits.Webs {
		pg.Widest = max(pg.Widest, l)
	}
	for _, m := range st.Plan.Clock.Manning {
		if m.Machine == snap.Plant.Corrugator.Code {
			pg.Over = append(pg.Over, m)
			pg.OverCost += m.Cost
		}
	}
	times := timesOf(st.Plan)
	for _, run := range st.Plan.Runs {
		pg.Widest = max(pg.Widest, run.Web)
		if t := times[run.Seq]; pg.Next == nil && t != nil && t.End.After(pg.Now) {
			pg.Next = &row{Run: run, Time: t}
		}
	}
	setups := setupsOf(st.Plan)
	shown, pager := frame.Cut(r, st.Plan.Runs, runsAPage)
	pg.Pages = pager
	for _, run := range shown {
		pg.add(row{
			Run: run, Time: times[run.Seq], Parts: parts(run, setups[run.Seq]),
			Pct: 100 * float64(run.Trim) / float64(run.Web),
		})
	}
	pg.Acts = acts(pg.ID, "Run list (PDF)", "/print/runs.pdf")
	pg.Acts = append(pg.Acts, acts(pg.ID, "Set-up sheets (PDF)", "/print/setups.pdf")...)
	return p.Render(w, http.StatusOK, pages["list.html"], pg)
}

func (pg *listPage) add(r row) {
	n := len(pg.Blocks)
	if n == 0 || pg.Blocks[n-1].Grade != r.Grade {
		pg.Blocks = append(pg.Blocks, block{Grade: r.Grade})
		n++
	}
	b := &pg.Blocks[n-1]
	b.Runs = append(b.Runs, r)
	b.Length += r.Length
	if r.Time != nil {
		if b.From.IsZero() {
			b.From = r.Time.Start
		}
		b.Until = r.Time.End
	}
}

// parts lays trim and pieces out across the web from the operator side.
func parts(run planruns.Run, s *plan.Setup) []part {
	at := run.Trim / 2
	if s != nil && len(s.FromOp) > 0 {
		at = s.FromOp[0]
	}
	out := []part{{0, at, "waste"}}
	role, last := "board", ""
	for i, l := range run.Lanes {
		if i > 0 && l.Order != last {
			role = map[string]string{"board": "boardalt", "boardalt": "board"}[role]
		}
		last = l.Order
		for range l.Outs {
			out = append(out, part{at, l.Slit, role})
			at += l.Slit
		}
	}
	return append(out, part{at, run.Web - at, "waste"})
}

func timesOf(p *plan.Plan) map[int]*jobs.RunTime {
	out := make(map[int]*jobs.RunTime, len(p.Clock.Runs))
	for i := range p.Clock.Runs {
		out[p.Clock.Runs[i].Run] = &p.Clock.Runs[i]
	}
	return out
}

func setupsOf(p *plan.Plan) map[int]*plan.Setup {
	out := make(map[int]*plan.Setup, len(p.Setups))
	for i := range p.Setups {
		out[p.Setups[i].Run] = &p.Setups[i]
	}
	return out
}

func acts(id ident.Plan, words, to string) []frame.Link {
	return []frame.Link{{Words: words, To: frame.OfPlan(to, id)}}
}

func runOf(p *plan.Plan, seq int) (planruns.Run, error) {
	for _, run := range p.Runs {
		if run.Seq == seq {
			return run, nil
		}
	}
	return planruns.Run{}, fault.NotFound
}
