package crew

import (
	"cmp"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/web/frame"
)

// whole reads a number that a page of ours has put into a form; 0 where it is none.
func whole(r *http.Request, name string) int {
	n, err := strconv.Atoi(r.FormValue(name))
	if err != nil {
		return 0
	}
	return n
}

// Take keeps what a crew has told. What cannot be comes back with the form as it was typed.
func (p Pages) Take(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	at := r.PathValue("at")
	facts, err := p.facts(r, snap, at)
	var warnings []string
	for _, f := range facts {
		if err == nil {
			f.At, err = p.FirstTold(r.Context(), f.ID, f.At)
		}
		if err != nil {
			break
		}
		var done desk.Recorded
		if done, err = p.Desk.Record(r.Context(), f); err == nil {
			warnings = append(warnings, done.Warnings...)
		}
	}
	switch {
	case errors.Is(err, fault.Invalid) && form(r.FormValue("what")):
		return p.tell(w, r, http.StatusUnprocessableEntity, err)
	case err != nil:
		return err
	}
	return frame.Done(w, r, "/crew/"+url.PathEscape(at), frame.Kept("Kept: "+kept(facts)+".", warnings))
}

// form says whether a kind of fact has a form of its own to go back to.
func form(what string) bool {
	return slices.Contains([]string{"good", "waste", "ended", "off", "stopped"}, what)
}

func kept(facts []trace.Fact) string {
	f := facts[0]
	about := f.Release.String()
	switch {
	case f.Run > 0:
		about = fmt.Sprintf("run %d", f.Run)
	case f.Roll != "":
		about = string(f.Roll)
	case f.Release == (ident.Release{}):
		about = string(f.Machine)
	}
	return about + ", " + string(f.Kind)
}

// facts are what the form says, one or one for each order of a run.
func (p Pages) facts(r *http.Request, snap *desk.Snapshot, at string) ([]trace.Fact, error) {
	v := frame.Values{R: r, In: snap.Zone()}
	f := trace.Fact{ID: ident.Fact(v.Text("fact")), At: p.moment(v.Text("at")), Source: source, Who: cmp.Or(v.Text("who"), frame.Who(r)), Machine: ident.Machine(at), Reason: v.Text("reason")}
	if f.ID == "" {
		return nil, fault.Violations{{Field: "fact", Rule: "the form has lost its number: open it again"}}
	}
	if at == "wet" || at == "dry" {
		f.Machine = snap.Plant.Corrugator.Code
		return p.ofCorrugator(&v, f)
	}
	if key := v.Text("key"); key != "" {
		var err error
		if f.Release, err = ident.ParseRelease(key); err != nil {
			return nil, fault.NotFound
		}
	}
	switch v.Text("what") {
	case "started":
		f.Kind = trace.JobStarted
	case "good":
		f.Kind, f.Good = trace.JobCounted, v.Count("good", 1, 0)
	case "waste":
		f.Kind, f.Waste = trace.JobCounted, v.Count("waste", 1, 0)
	case "ended":
		f.Kind, f.Good, f.Waste = trace.JobEnded, v.Count("good", 0, 0), v.Count("waste", 0, 0)
	default:
		return p.halts(&v, f)
	}
	if err := nothingTyped(&v); err != nil {
		return nil, err
	}
	return []trace.Fact{f}, v.Err()
}

// nothingTyped refuses a count without a number: it would only fill the ledger.
func nothingTyped(v *frame.Values) error {
	if what := v.Text("what"); (what == "good" || what == "waste") && v.Text(what) == "" && v.Text("mass") == "" {
		return frame.Wrong(what, "", "must be given")
	}
	return nil
}

// halts are a machine's stop and its end.
func (p Pages) halts(v *frame.Values, f trace.Fact) ([]trace.Fact, error) {
	switch v.Text("what") {
	case "stopped":
		f.Kind = trace.Stopped
		if v.Text("until") != "" {
			f.Until = v.Time("until")
		}
	case "running":
		f.Kind = trace.Running
	default:
		return nil, fmt.Errorf("fact %q: %w", v.Text("what"), fault.NotFound)
	}
	return []trace.Fact{f}, v.Err()
}

// ofCorrugator are the facts of wet and dry end.
func (p Pages) ofCorrugator(v *frame.Values, f trace.Fact) ([]trace.Fact, error) {
	f.Plan, f.Run = ident.Plan(whole(v.R, "plan")), whole(v.R, "run")
	switch v.Text("what") {
	case "started", "ended":
		return p.run(v, f)
	case "swapped":
		f.Kind, f.Other = trace.RunsSwapped, whole(v.R, "other")
	case "waste":
		f.Kind, f.Place, f.Waste, f.Mass = trace.WasteBooked, v.R.PathValue("at")+" end", v.Count("waste", 0, 0), p.mass(v)
		if err := nothingTyped(v); err != nil {
			return nil, err
		}
		if f.Run == 0 {
			f.Plan = 0
		}
	case "mounted":
		f.Kind, f.Roll, f.Place = trace.RollMounted, ident.Roll(v.Text("roll")), v.Text("stand")
	case "off":
		f.Kind, f.Roll = trace.RollOff, ident.Roll(v.Text("roll"))
		f.Length = p.left(v)
	default:
		f.Plan, f.Run = 0, 0
		return p.halts(v, f)
	}
	return []trace.Fact{f}, v.Err()
}

// run is the begin or end of a run, one fact for each of its orders.
func (p Pages) run(v *frame.Values, f trace.Fact) ([]trace.Fact, error) {
	lanes, err := p.lanes(v.R)
	if err != nil {
		return nil, err
	}
	f.Kind = trace.RunStarted
	if v.Text("what") == "ended" {
		f.Kind = trace.RunEnded
	}
	var out []trace.Fact
	for _, l := range lanes {
		one := f
		one.ID += ident.Fact("-" + l.order)
		if one.Release, err = ident.ParseRelease(l.order); err != nil {
			return nil, err
		}
		if f.Kind == trace.RunEnded {
			one.Good, one.Waste = v.Count("good-"+l.order, 0, 0), v.Count("waste-"+l.order, 0, 0)
		}
		out = append(out, one)
	}
	return out, v.Err()
}

// mass and left read a quantity in the plant's own unit; faults go into v.
func (p Pages) mass(v *frame.Values) quantity.Mass {
	text := v.Text("mass")
	if text == "" {
		return 0
	}
	m, err := p.format(v).ParseMass(text)
	if err != nil {
		v.Wrong("mass", text, err.Error())
	}
	return m
}

func (p Pages) left(v *frame.Values) quantity.Distance {
	text := v.Text("left")
	d, err := p.format(v).ParseRun(text)
	if err != nil || text == "" {
		v.Wrong("left", text, "must be a length; 0 where it is used up")
		return 0
	}
	return d
}

func (p Pages) format(v *frame.Values) quantity.Format {
	snap, err := p.Desk.Snapshot(v.R.Context())
	if err != nil {
		return quantity.Format{} // the page itself fails on the same snapshot
	}
	return frame.FiguresOf(snap).Format
}

// sentLate is how long a fact may have waited on a tablet without a connection.
const sentLate = 12 * time.Hour

// moment is when a fact was touched: what the tablet says, where that is
// possible, else now. A form that waited for its connection keeps its time.
func (p Pages) moment(typed string) time.Time {
	now := p.Desk.Now()
	if ms, err := strconv.ParseInt(typed, 10, 64); err == nil {
		if t := time.UnixMilli(ms); !t.After(now) && t.After(now.Add(-sentLate)) {
			return t
		}
	}
	return now
}
