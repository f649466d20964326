// Package prints hands out the PDF sheets and tags of a plan.
package prints

import (
	"bytes"
	"io"
	"net/http"
	"strconv"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/sheet"
	"github.com/flutewright/flutewright/web/frame"
)

// Pages of prints.
type Pages struct{ *frame.Frame }

// print writes one sheet of the plan that the request names.
func (p Pages) print(w http.ResponseWriter, r *http.Request, name string, write func(io.Writer, plant.Book, *plan.Plan) error) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	st, err := p.Standing(r)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := write(&b, snap.Book, st.Plan); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", `inline; filename="plan-`+strconv.FormatInt(int64(st.Head.ID), 10)+"-"+name+`.pdf"`)
	_, err = b.WriteTo(w)
	return frame.Gone(err)
}

// Runs prints the corrugator's run list.
func (p Pages) Runs(w http.ResponseWriter, r *http.Request) error {
	return p.print(w, r, "runs", sheet.RunList)
}

// SetUps prints the dry-end set-up of every run.
func (p Pages) SetUps(w http.ResponseWriter, r *http.Request) error {
	return p.print(w, r, "set-ups", sheet.SetUpSheets)
}

// SetUp prints the dry-end set-up of one run.
func (p Pages) SetUp(w http.ResponseWriter, r *http.Request) error {
	return p.ofRun(w, r, "set-up", sheet.SetUpSheet)
}

// Stacks prints the labels of one run's stacks.
func (p Pages) Stacks(w http.ResponseWriter, r *http.Request) error {
	return p.ofRun(w, r, "stacks", sheet.StackLabels)
}

func (p Pages) ofRun(w http.ResponseWriter, r *http.Request, name string, write func(io.Writer, plant.Book, *plan.Plan, int) error) error {
	seq, err := strconv.Atoi(r.PathValue("seq"))
	if err != nil {
		return fault.NotFound
	}
	return p.print(w, r, name+"-run-"+strconv.Itoa(seq), func(w io.Writer, b plant.Book, pl *plan.Plan) error { return write(w, b, pl, seq) })
}

// Jobs prints the tickets of one machine's jobs.
func (p Pages) Jobs(w http.ResponseWriter, r *http.Request) error {
	m := ident.Machine(r.FormValue("machine"))
	return p.print(w, r, "jobs", func(w io.Writer, b plant.Book, pl *plan.Plan) error { return sheet.JobTickets(w, b, pl, m) })
}

// Ticket prints the first step's ticket of an order, or the step that is asked for.
func (p Pages) Ticket(w http.ResponseWriter, r *http.Request) error {
	key, err := ident.ParseRelease(r.FormValue("key"))
	if err != nil {
		return fault.NotFound
	}
	step, err := strconv.Atoi(r.FormValue("step"))
	if err != nil {
		step = 1
	}
	return p.print(w, r, "ticket", func(w io.Writer, b plant.Book, pl *plan.Plan) error { return sheet.JobTicket(w, b, pl, key, step) })
}

// Tags prints the load tags of a release. The first print gives its units
// their numbers, for good; every later one says copy.
func (p Pages) Tags(w http.ResponseWriter, r *http.Request) error {
	key, err := ident.ParseRelease(r.FormValue("key"))
	if err != nil {
		return fault.NotFound
	}
	return p.print(w, r, "tags", func(w io.Writer, b plant.Book, pl *plan.Plan) error {
		units := unitsOf(pl, key)
		if units == 0 {
			return sheet.LoadTags(w, b, pl, key, 1, sheet.TagOptions{}) // it says why there is nothing to tag
		}
		given, err := p.Desk.NumberUnits(r.Context(), key, units, frame.Who(r))
		if err != nil {
			return err
		}
		return sheet.LoadTags(w, b, pl, key, given.First, sheet.TagOptions{Copy: given.Copy})
	})
}

// unitsOf is how many units the plan builds of a release.
func unitsOf(p *plan.Plan, key ident.Release) int {
	for _, l := range p.Loads {
		if l.Release == key {
			return l.Units
		}
	}
	return 0
}
