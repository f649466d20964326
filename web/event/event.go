// Package event asks what now: an event on the floor, its answers beside doing
// nothing, and the one that is taken.
package event

import (
	"embed"
	"net/http"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plan/whatnow"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "form.html", "answers.html", "gone.html")

// Pages of events.
type Pages struct{ *frame.Frame }

type formPage struct {
	frame.Base
	Kind   whatnow.Kind
	Kinds  []kindLink
	Fields []frame.Field
	Once   string
	Does   string // what is recorded when it is sent
	NoPlan bool

	Heading string
}

type kindLink struct {
	frame.Link
	Here bool
}

// Form asks what happened.
func (p Pages) Form(w http.ResponseWriter, r *http.Request) error {
	return p.form(w, r, http.StatusOK, nil)
}

func (p Pages) form(w http.ResponseWriter, r *http.Request, status int, vs fault.Violations) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	st, err := frame.Maybe(p.Current(r.Context()))
	if err != nil {
		return err
	}
	pg := formPage{Base: p.Base(w, r, snap, "Today", "What now?"), Kind: kindOf(r), NoPlan: st == nil, Once: r.FormValue("fact")}
	if pg.Once == "" {
		pg.Once = frame.Once()
	}
	pg.Trail = []frame.Link{{Words: "Today", To: "/"}}
	pg.Heading = strings.TrimSuffix(frame.Sentence(string(pg.Kind)), ".")
	for _, k := range whatnow.Kinds() {
		pg.Kinds = append(pg.Kinds, kindLink{frame.Link{Words: string(k), To: "/event?kind=" + frame.Escape(string(k))}, k == pg.Kind})
	}
	pg.Fields, pg.Does = fieldsOf(pg.Kind, snap, r, pg.F)
	pg.Amiss = frame.Mark(pg.Fields, vs)
	return p.Render(w, status, pages["form.html"], pg)
}

// kindOf is the kind that the request names; a machine that is down, else.
func kindOf(r *http.Request) whatnow.Kind {
	if k := whatnow.Kind(r.FormValue("kind")); slices.Contains(whatnow.Kinds(), k) {
		return k
	}
	return whatnow.MachineDown
}
