package crew

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/web/frame"
)

// source names the crew screens as the sender of facts.
const source = "crew screen"

type tellPage struct {
	screen
	Fields []frame.Field
	Hidden []frame.Link // name and value
}

// Tell shows the form of one kind of fact.
func (p Pages) Tell(w http.ResponseWriter, r *http.Request) error {
	return p.tell(w, r, http.StatusOK, nil)
}

// tell shows the form with what was typed; why is what was wrong with it.
func (p Pages) tell(w http.ResponseWriter, r *http.Request, status int, why error) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	at, what := r.PathValue("at"), r.FormValue("what")
	pg := tellPage{screen: screen{Base: p.Base(w, r, snap, "", title(at, what, r)), At: at, Caution: caution(at) + local, Once: frame.Once()}}
	pg.Fields, err = p.fields(r, snap, at, what)
	if err != nil {
		return err
	}
	for _, name := range []string{"what", "plan", "run", "other", "key", "roll", "stand"} {
		if v := r.FormValue(name); v != "" && !slices.ContainsFunc(pg.Fields, func(f frame.Field) bool { return f.Name == name }) {
			pg.Hidden = append(pg.Hidden, frame.Link{Words: name, To: v})
		}
	}
	for i := range pg.Fields {
		if r.Form.Has(pg.Fields[i].Name) {
			pg.Fields[i].Value = r.FormValue(pg.Fields[i].Name)
		}
	}
	if why != nil {
		vs, err := frame.Violations(why)
		if err != nil {
			return err
		}
		pg.Once = r.FormValue("fact") // the same form, sent again when mended
		pg.Amiss = frame.Mark(pg.Fields, vs)
	}
	return p.Render(w, status, pages["tell.html"], pg)
}

func caution(at string) string {
	switch at {
	case "wet":
		return cautionWet
	case "dry":
		return cautionDry
	}
	return cautionJob
}

func title(at, what string, r *http.Request) string {
	about := r.FormValue("key")
	if run := r.FormValue("run"); run != "" {
		about = "run " + run
	}
	switch what {
	case "good":
		return "Good boxes of " + about
	case "waste":
		return strings.TrimSuffix("Waste of "+about, " of ")
	case "ended":
		return strings.ToUpper(about[:min(1, len(about))]) + about[min(1, len(about)):] + " ended"
	case "off":
		return r.FormValue("roll") + " comes off its stand"
	}
	return at + " stands"
}

// wasteReasons are the usual words of the trade; a plant's own go into the note.
var wasteReasons = []string{"set-up", "warp", "delamination", "print", "slotting", "gluing", "splice", "damage in moving", "other"}

// fields are the inputs of a form: few, large, numbers first.
func (p Pages) fields(r *http.Request, snap *desk.Snapshot, at, what string) ([]frame.Field, error) {
	number := func(name, label, hint string) frame.Field {
		return frame.Field{Name: name, Label: label, Kind: "number", Least: "0", Step: "1", Hint: hint}
	}
	reason := frame.Field{Name: "reason", Label: "Reason", Kind: "select", Options: frame.Choices(wasteReasons...)}
	note := frame.Field{Name: "reason", Label: "Cause"}
	corrugator := at == "dry" || at == "wet"
	f := frame.FiguresOf(snap)
	switch {
	case what == "good":
		return []frame.Field{number("good", "Good boxes", "since the last count")}, nil
	case what == "waste" && corrugator:
		return []frame.Field{number("waste", "Sheets", "or"), {Name: "mass", Label: "Mass, " + f.MassUnit()}, reason}, nil
	case what == "waste":
		return []frame.Field{number("waste", "Waste boxes", "since the last count"), reason}, nil
	case what == "ended" && corrugator:
		return p.ofRun(r)
	case what == "ended":
		return []frame.Field{number("good", "Good boxes", "since the last count"), number("waste", "Waste boxes", "since the last count"), note}, nil
	case what == "off":
		return []frame.Field{{Name: "left", Label: "Length left on it, " + f.RunUnit(), Kind: "number", Least: "0", Step: "1", Hint: "0: used up"}}, nil
	case what == "stopped":
		return []frame.Field{note, {Name: "until", Label: "Expected back", Kind: "datetime-local", Hint: "empty: not known"}}, nil
	}
	return nil, fmt.Errorf("form %q: %w", what, fault.NotFound)
}

// ofRun are the counts of each order of a run, as planned where nothing is typed.
func (p Pages) ofRun(r *http.Request) ([]frame.Field, error) {
	lanes, err := p.lanes(r)
	if err != nil {
		return nil, err
	}
	var out []frame.Field
	for _, l := range lanes {
		out = append(out, frame.Field{Name: "good-" + l.order, Label: l.order + ": good sheets", Kind: "number", Least: "0", Value: strconv.Itoa(l.sheets)},
			frame.Field{Name: "waste-" + l.order, Label: l.order + ": waste sheets", Kind: "number", Least: "0"})
	}
	return append(out, frame.Field{Name: "reason", Label: "Reason, where it went otherwise"}), nil
}

type ordered struct {
	order  string
	sheets int
}

// lanes are the orders of the run that a form names, with the good sheets planned of each.
func (p Pages) lanes(r *http.Request) ([]ordered, error) {
	id, seq := whole(r, "plan"), whole(r, "run")
	pl, _, err := p.Desk.Plan(r.Context(), ident.Plan(id))
	if err != nil {
		return nil, err
	}
	for _, run := range pl.Runs {
		if run.Seq != seq {
			continue
		}
		var out []ordered
		for _, l := range run.Lanes {
			if i := slices.IndexFunc(out, func(o ordered) bool { return o.order == l.Order }); i >= 0 {
				out[i].sheets += l.Sheets
			} else {
				out = append(out, ordered{l.Order, l.Sheets})
			}
		}
		return out, nil
	}
	return nil, fmt.Errorf("run %d of plan %d: %w", seq, id, fault.NotFound)
}
