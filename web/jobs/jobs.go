// Package jobs shows each converting machine's jobs in sequence.
package jobs

import (
	"embed"
	"net/http"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
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
	Tools    []*jobs.Job   // of jobs whose tool is near its limit
	Only     ident.Machine // one machine's list alone
	Pages    frame.Pager   // of that list
}

type machine struct {
	convert.Machine
	Jobs   []job
	Late   int
	Until  time.Time
	Manned bool
	Crews  []jobs.Manning // stated where crews are fewer than machines, and for overtime
	Over   quantity.Money // of overtime on it
	Held   int            // jobs that are begun or inside the freeze
	Count  int            // of all its jobs
	More   int            // not shown here
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

// Where all machines stand on one page each shows its first jobs; its own page has all.
const (
	firstJobs = 20
	jobsAPage = 80
)

// List answers: what runs next on each machine, and is everything for it there?
func (p Pages) List(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := listPage{Base: p.Base(w, r, snap, "Jobs", "Jobs"), Only: ident.Machine(r.FormValue("machine"))}
	pg.Acts = []frame.Link{{Words: "What now?", To: "/event"}, {Words: "Enter what is on the floor", To: "/floor"}, {Words: "Sheet floor", To: "/floor/lanes"}, {Words: "Counts", To: "/floor/counts"}}
	st, err := p.StandingOrNone(r)
	if err != nil {
		return err
	}
	if st == nil {
		return p.Render(w, http.StatusOK, pages["list.html"], pg)
	}
	pg.ID, pg.Planned, pg.Refused = st.Head.ID, true, st.Plan.Clock.Refused
	by := map[ident.Machine][]*jobs.Job{}
	for i := range st.Plan.Clock.Jobs {
		j := &st.Plan.Clock.Jobs[i]
		by[j.Machine] = append(by[j.Machine], j)
	}
	for _, m := range snap.Plant.Machines {
		if pg.Only != "" && pg.Only != m.Code {
			continue
		}
		v := summary(m, by[m.Code], st)
		for _, c := range st.Plan.Clock.Manning {
			if c.Machine == m.Code {
				v.Crews = append(v.Crews, c)
				v.Over += c.Cost
			}
		}
		for _, j := range by[m.Code] {
			if j.Warning != "" {
				pg.Tools = append(pg.Tools, j)
			}
		}
		pg.Late += v.Late
		pg.Jobs += v.Count
		shown := by[m.Code]
		if pg.Only != "" {
			shown, pg.Pages = frame.Cut(r, shown, jobsAPage)
		} else {
			shown = shown[:min(firstJobs, len(shown))]
			v.More = v.Count - len(shown)
		}
		for _, j := range shown {
			v.Jobs = append(v.Jobs, jobOf(snap, st, j, pg.Now))
		}
		pg.Machines = append(pg.Machines, v)
	}
	return p.Render(w, http.StatusOK, pages["list.html"], pg)
}

func summary(m convert.Machine, list []*jobs.Job, st *frame.Standing) machine {
	v := machine{Machine: m, Manned: len(m.Shifts) > 0, Count: len(list)}
	for _, j := range list {
		if f := st.Ends[j.Release]; f != nil && f.Late > 0 {
			v.Late++
		}
		if j.Begun || j.Frozen {
			v.Held++
		}
		v.Work += j.SetUp + j.Run
		if j.End.After(v.Until) {
			v.Until = j.End
		}
	}
	return v
}

func jobOf(snap *desk.Snapshot, st *frame.Standing, j *jobs.Job, now time.Time) job {
	v := job{Job: *j, Finish: st.Ends[j.Release], Now: !j.Start.After(now) && j.End.After(now)}
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
	return v
}
