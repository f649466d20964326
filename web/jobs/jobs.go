// Package jobs shows each converting machine's jobs in sequence.
package jobs

import (
	"embed"
	"net/http"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "list.html", "report.html")

// Pages of jobs.
type Pages struct{ *frame.Frame }

type listPage struct {
	frame.Base
	ID       ident.Plan
	Planned  bool
	Machines []machine
	Refused  []jobs.Refusal
	Late     int
	Jobs     int
	Only     ident.Machine // one machine's list alone
}

type machine struct {
	convert.Machine
	Jobs   []job
	Late   int
	Until  time.Time
	Manned bool
	Work   quantity.Minutes
}

type job struct {
	jobs.Job
	Item   ident.Item
	Words  string
	House  string
	Finish *jobs.Finish
	Float  quantity.Minutes // from the job's start to its latest start
	Now    bool             // stands on the machine by the plan
}

// List answers: what runs next on each machine, and is everything for it there?
func (p Pages) List(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := listPage{Base: p.Base(w, r, snap, "Jobs", "Jobs"), Only: ident.Machine(r.FormValue("machine"))}
	pg.Acts = []frame.Link{{Words: "Enter what is on the floor", To: "/floor"}}
	st, err := p.StandingOrNone(r)
	if err != nil {
		return err
	}
	if st == nil {
		return p.Render(w, http.StatusOK, pages["list.html"], pg)
	}
	pg.ID, pg.Planned, pg.Refused = st.Head.ID, true, st.Plan.Clock.Refused
	by := map[ident.Machine][]job{}
	for _, j := range st.Plan.Clock.Jobs {
		v := job{Job: j, Finish: st.Ends[j.Release], Now: !j.Start.After(pg.Now) && j.End.After(pg.Now)}
		if !j.LatestStart.IsZero() {
			v.Float = quantity.InMinutes(j.LatestStart.Sub(j.Start))
		}
		if d := st.Demands[j.Release]; d != nil {
			v.Item = d.Item
			if i, ok := snap.Item(d.Item); ok {
				v.Words = i.Description
			}
			if c, ok := snap.Customer(d.Customer); ok {
				v.House = c.Name
			}
		}
		by[j.Machine] = append(by[j.Machine], v)
	}
	for _, m := range snap.Plant.Machines {
		if pg.Only == "" || pg.Only == m.Code {
			pg.add(m, by[m.Code])
		}
	}
	return p.Render(w, http.StatusOK, pages["list.html"], pg)
}

func (pg *listPage) add(m convert.Machine, list []job) {
	v := machine{Machine: m, Jobs: list, Manned: len(m.Shifts) > 0}
	for _, j := range list {
		if j.Finish != nil && j.Finish.Late > 0 {
			v.Late++
		}
		v.Work += j.SetUp + j.Run
		if j.End.After(v.Until) {
			v.Until = j.End
		}
	}
	pg.Late += v.Late
	pg.Jobs += len(list)
	pg.Machines = append(pg.Machines, v)
}
