package whatnow

import (
	"fmt"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
)

// corrugatorArea is the area's name in the plant's freezes.
const corrugatorArea = "corrugator"

// freezeOf returns how far ahead an area's plan is left alone, and whose it is.
func freezeOf(b plant.Book, area string) (plant.Freeze, bool) {
	for _, f := range b.Plant.Freezes {
		if f.Area == area && f.Minutes > 0 {
			return f, true
		}
	}
	return plant.Freeze{}, false
}

// frozenRuns is how many of the runs still to come stand in the frozen front;
// the run that is on stands in it always.
func (r *repair) frozenRuns() int {
	f, _ := freezeOf(r.Book, corrugatorArea)
	n := 0
	for _, run := range r.st.runs {
		if !r.st.start[run.Seq].Before(r.Now.Add(f.Minutes.Duration())) {
			break
		}
		n++
	}
	return n
}

// fixedRuns is how many runs the ways leave at the front: the frozen ones, or
// the one that is on alone where a way may break the freeze.
func (r *repair) fixedRuns() int {
	if !r.thaw {
		return r.frozenRuns()
	}
	n := 0
	for n < len(r.st.runs) && r.st.start[r.st.runs[n].Seq].Before(r.Now) {
		n++
	}
	return n
}

// frozenJobs are the jobs of a machine in its frozen front, in sequence; the
// job that is on stands in it always.
func (r *repair) frozenJobs(m ident.Machine) (out []jobKey) {
	f, _ := freezeOf(r.Book, string(m))
	for _, j := range r.st.jobs {
		if j.Machine == m && j.Start.Before(r.Now.Add(f.Minutes.Duration())) {
			out = append(out, jobKey{j.Release, j.Step})
		}
	}
	return out
}

// agree lists whose frozen front an answer breaks, and the name that a short
// shipment needs.
func (r *repair) agree(w way, p *plan.Plan) (out []Agreement) {
	if w.name != "" {
		out = append(out, Agreement{Why: w.name})
	}
	if f, ok := freezeOf(r.Book, corrugatorArea); ok && (r.melted || !startsWith(p.Runs, r.st.runs[:r.frozenRuns()])) {
		out = append(out, breaks(f, "runs"))
	}
	for _, m := range r.Book.Plant.Machines {
		if f, ok := freezeOf(r.Book, string(m.Code)); ok && !begins(byMachine(p)[m.Code], r.frozenJobs(m.Code)) {
			out = append(out, breaks(f, "jobs"))
		}
	}
	return out
}

func breaks(f plant.Freeze, what string) Agreement {
	return Agreement{Area: f.Area, Owner: f.Owner, Why: fmt.Sprintf("it changes %s that are frozen for %s ahead", what, span(f.Minutes))}
}

func startsWith(list, front []runs.Run) bool {
	if len(list) < len(front) {
		return false
	}
	for i := range front {
		if runKey(list[i]) != runKey(front[i]) {
			return false
		}
	}
	return true
}

func begins(list, front []jobKey) bool {
	if len(list) < len(front) {
		return false
	}
	for i := range front {
		if list[i] != front[i] {
			return false
		}
	}
	return true
}
