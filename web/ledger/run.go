package ledger

import (
	"fmt"
	"net/http"
	"strconv"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/web/frame"
)

// Run takes the report of a run: one fact for each of its orders.
func (p Pages) Run(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	v := frame.Values{R: r, In: snap.Zone()}
	seq, number := v.Count("run", 1, 0), v.Count("plan", 1, 0)
	f, err := base(&v)
	if err != nil {
		return err
	}
	pl, _, err := p.Desk.Plan(r.Context(), ident.Plan(number))
	if err != nil {
		return err
	}
	f.Plan, f.Run, f.Machine, f.Kind = ident.Plan(number), seq, snap.Plant.Corrugator.Code, trace.RunEnded
	if v.Text("what") == "started" {
		f.Kind = trace.RunStarted
	}
	var facts []trace.Fact
	seen := map[string]bool{}
	for _, run := range pl.Runs {
		for _, l := range run.Lanes {
			if run.Seq != seq || seen[l.Order] {
				continue
			}
			seen[l.Order] = true
			one := f
			one.ID = f.ID + ident.Fact("-"+l.Order)
			if one.Release, err = ident.ParseRelease(l.Order); err != nil {
				return err
			}
			if f.Kind == trace.RunEnded {
				one.Good, one.Waste = v.Count("good-"+l.Order, 0, 0), v.Count("waste-"+l.Order, 0, 0)
			}
			facts = append(facts, one)
		}
	}
	if err := v.Err(); err != nil {
		return err
	}
	warnings, err := p.record(r, facts)
	if err != nil {
		return err
	}
	words := fmt.Sprintf("Run %d: %s, %s kept. Plan again from there when it suits.", seq, f.Kind, frame.Plural(len(facts), "fact"))
	return frame.Done(w, r, frame.OfPlan("/runs/"+strconv.Itoa(seq), f.Plan)+"#happened", frame.Kept(words, warnings))
}
