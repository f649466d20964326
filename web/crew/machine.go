package crew

import (
	"net/http"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/web/frame"
)

type machinePage struct {
	screen
	desk.CrewMachine
	Shown *desk.CrewJob // on the machine, else the next
}

func (p Pages) machine(w http.ResponseWriter, r *http.Request, code ident.Machine) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	m, err := p.Desk.CrewMachine(r.Context(), code)
	if err != nil {
		return err
	}
	pg := machinePage{screen: p.live(p.Base(w, r, snap, "", string(code)), string(code), cautionJob), CrewMachine: m}
	if s := m.Stopped; s != nil {
		pg.Halt = &stopped{s.Since, s.Until, s.Cause}
	}
	switch {
	case m.On != nil:
		pg.Shown = m.On
	case len(m.Next) > 0:
		pg.Shown = &pg.Next[0]
	}
	return p.Render(w, http.StatusOK, pages["machine.html"], pg)
}

// Left is how many boxes the job on the machine has still to make.
func (pg machinePage) Left() int { return max(0, pg.Shown.Pieces-pg.Shown.Good) }

// Figures are the numbers that the machine is set by.
func (pg machinePage) Figures() []figure {
	j, f := pg.Shown, pg.F
	return []figure{
		{"sheet, " + f.LengthUnit(), f.Length(j.Sheet.Chop) + " × " + f.Length(j.Sheet.Slit), "chop × slit"},
		{"to make", f.Count(pg.Left()), "of " + f.Count(j.Pieces) + ", from " + frame.Plural(j.Sheets, "sheet")},
		{"bundle", f.Count(j.Bundle), "boxes each"},
		{"by", f.Time(j.End), "planned from " + f.Time(j.Start)},
	}
}
