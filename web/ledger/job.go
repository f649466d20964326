package ledger

import (
	"fmt"
	"net/http"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/web/frame"
)

// Job takes the report of a job.
func (p Pages) Job(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	v := frame.Values{R: r, In: snap.Zone()}
	f, err := base(&v)
	if err != nil {
		return err
	}
	f.Machine = ident.Machine(v.Text("machine"))
	if f.Release, err = ident.ParseRelease(v.Text("key")); err != nil {
		return fault.NotFound
	}
	switch v.Text("what") {
	case "started":
		f.Kind = trace.JobStarted
	case "ended":
		f.Kind = trace.JobEnded
	default:
		f.Kind = trace.JobCounted
	}
	if f.Kind != trace.JobStarted {
		f.Good, f.Waste = v.Count("good", 0, 0), v.Count("waste", 0, 0)
	}
	if err := v.Err(); err != nil {
		return err
	}
	warnings, err := p.record(r, []trace.Fact{f})
	if err != nil {
		return err
	}
	return frame.Done(w, r, "/jobs#"+string(f.Machine), frame.Kept(fmt.Sprintf("%s on %s: %s, kept.", f.Release, f.Machine, f.Kind), warnings))
}
