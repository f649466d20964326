package settings

import (
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "index.html", "part.html")

// Pages of the plant's settings.
type Pages struct{ *frame.Frame }

type indexPage struct {
	frame.Base
	Parts    []part
	Machines []convert.Machine
}

// Index lists the parts of the plant that can be edited.
func (p Pages) Index(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := indexPage{Base: p.Base(w, r, snap, "Plant", "Settings"), Parts: parts, Machines: snap.Plant.Machines}
	pg.Trail = []frame.Link{{Words: "Plant", To: "/plant"}}
	return p.Render(w, http.StatusOK, pages["index.html"], pg)
}

type partPage struct {
	frame.Base
	Lead    string
	To      string
	Version int
	Parts   []*group
	Machine bool
	Fresh   bool // a machine that is not in the plant yet
}

// Show shows one part with its form.
func (p Pages) Show(w http.ResponseWriter, r *http.Request) error {
	pg, _, err := p.part(w, r, nil)
	if err != nil {
		return err
	}
	return p.Render(w, http.StatusOK, pages["part.html"], pg)
}

// part builds a part's form from the plant as it stands, read from what was typed where that is given.
func (p Pages) part(w http.ResponseWriter, r *http.Request, typed url.Values) (*partPage, *edited, error) {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return nil, nil, err
	}
	e := &edited{before: &snap.Plant, after: cloned(snap.Plant)}
	e.form = &form{Figures: frame.FiguresOf(snap), typed: typed}
	pg := &partPage{Version: snap.Version(desk.KindPlant, desk.PlantKey), To: r.URL.Path}
	var title string
	if code := r.PathValue("machine"); code != "" {
		title, pg.Machine = "Machine "+code, true
		pg.Lead = "What the machine takes, how fast it runs, and what set-up and running cost and lose."
		at := slices.IndexFunc(e.after.Machines, func(m convert.Machine) bool { return string(m.Code) == code })
		if pg.Fresh = code == "new" && at < 0; pg.Fresh {
			title, at = "New machine", len(e.after.Machines)
			e.after.Machines = append(e.after.Machines, convert.Machine{Kind: convert.FolderGluer, Shifts: e.after.Corrugator.Shifts})
		}
		if at < 0 {
			return nil, nil, fmt.Errorf("machine %s: %w", code, fault.NotFound)
		}
		machinePart(e.form, &e.after.Machines[at], fmt.Sprintf("machines[%d]", at))
	} else {
		at := slices.IndexFunc(parts, func(s part) bool { return s.Key == r.PathValue("part") })
		if at < 0 {
			return nil, nil, fmt.Errorf("settings %s: %w", r.PathValue("part"), fault.NotFound)
		}
		title, pg.Lead = parts[at].Words, parts[at].Lead
		parts[at].build(e.form, e.after)
	}
	pg.Base = p.Base(w, r, snap, "Plant", title)
	pg.Trail = []frame.Link{{Words: "Plant", To: "/plant"}, {Words: "Settings", To: "/plant/settings"}}
	pg.Parts = e.form.parts
	return pg, e, nil
}

// edited is the plant before and after a form.
type edited struct {
	before, after *plant.Plant
	form          *form
}

// cloned copies a plant in the form in which it is kept; both are our own
// types, so that a failure is a broken invariant.
func cloned(p plant.Plant) *plant.Plant {
	b, err := json.Marshal(p)
	out := new(plant.Plant)
	if err == nil {
		err = json.Unmarshal(b, out)
	}
	if err != nil {
		panic(fmt.Sprintf("settings: plant as JSON: %v", err))
	}
	return out
}

// Save takes the form of a part. What is wrong comes back beside its field, and
// so does an edit that came second, with what stands now.
func (p Pages) Save(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return fault.Violations{{Field: "form", Rule: "could not be read"}}
	}
	v := frame.Values{R: r}
	version := v.Count("version", 1, 0)
	if err := v.Err(); err != nil {
		return err
	}
	pg, e, err := p.part(w, r, r.PostForm)
	if err != nil {
		return err
	}
	if v.Text("remove") != "" && pg.Machine {
		code := ident.Machine(r.PathValue("machine"))
		e.after.Machines = slices.DeleteFunc(e.after.Machines, func(m convert.Machine) bool { return m.Code == code })
		e.form.faults = nil
	}
	signed(e.before, e.after, frame.Who(r), p.Desk.Now())
	if err = e.form.faults.Err(); err == nil {
		err = p.Desk.SavePlant(r.Context(), *e.after, version, frame.Who(r), v.Text("why"))
	}
	if err == nil {
		return frame.Done(w, r, "/plant/settings", pg.Title+" is saved. The plans are as they were: plan again to follow the change.")
	}
	vs, other := frame.Violations(err)
	switch {
	case other == nil:
		for i := range vs {
			vs[i].Field = strings.TrimPrefix(vs[i].Field, "plant.")
		}
		pg.Amiss = e.form.mark(vs)
		return p.Render(w, http.StatusUnprocessableEntity, pages["part.html"], pg)
	case errors.Is(err, fault.Conflict):
		pg.Amiss = append(pg.whoWasFirst(err), e.form.apart...)
		return p.Render(w, http.StatusConflict, pages["part.html"], pg)
	}
	return err
}

// whoWasFirst says whose edit stands. The form holds what was typed over what
// stands now, so that saving it again is a choice that is made knowingly.
func (pg *partPage) whoWasFirst(err error) []frame.Amiss {
	words := err.Error()
	var stale *desk.Stale
	if errors.As(err, &stale) {
		words = fmt.Sprintf("%s saved the plant's settings at %s while you had this open. Yours is not saved; where it differs both values stand here. Save again to put yours over what stands.",
			stale.By, pg.F.Time(stale.At))
	}
	return []frame.Amiss{{Words: words}}
}
