package event

import (
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/draw"
	"github.com/flutewright/flutewright/plan/whatnow"
	"github.com/flutewright/flutewright/web/frame"
)

type answersPage struct {
	frame.Base
	desk.WhatNow
	Rows    []row
	Web     template.HTML // the web of the best answer that has one
	WebOf   string
	Refused []whatnow.Refused
	Beyond  int // refusals that are not shown
	By      string
}

// row is one answer as the page shows it.
type row struct {
	whatnow.Answer
	Place int
	Best  bool
	Areas []area
	Moves []whatnow.Move // the first of them
	Rest  int            // moves that are not shown
}

type area struct {
	Name    string
	Touched bool
}

const (
	movesShown   = 12
	refusedShown = 12
)

// Answers shows the ways on, doing nothing first.
func (p Pages) Answers(w http.ResponseWriter, r *http.Request) error {
	return p.answers(w, r, http.StatusOK, nil)
}

func (p Pages) answers(w http.ResponseWriter, r *http.Request, status int, vs fault.Violations) error {
	id, err := numberOf(r, "id")
	if err != nil {
		return err
	}
	asked, err := p.Desk.Asked(id)
	if errors.Is(err, fault.NotFound) {
		return p.gone(w, r)
	}
	if err != nil {
		return err
	}
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := answersPage{Base: p.Base(w, r, snap, "Today", "What now: "+said(asked.Event)), WhatNow: asked, By: r.FormValue("by")}
	pg.Trail = []frame.Link{{Words: "Today", To: "/"}, {Words: "What now?", To: "/event"}}
	pg.Amiss = frame.Mark([]frame.Field{{Name: "by", Label: "The name"}}, vs)
	for i, a := range asked.Result.Answers {
		v := row{Answer: a, Place: i, Best: i == asked.Result.Best, Moves: a.Moves, Areas: areasOf(snap, a)}
		if len(v.Moves) > movesShown {
			v.Moves, v.Rest = a.Moves[:movesShown], len(a.Moves)-movesShown
		}
		pg.Rows = append(pg.Rows, v)
		if a.Web != nil && pg.Web == "" && i > 0 {
			if pg.Web, err = frame.Picture(draw.WebSection(section(a, pg.F), pg.F.Format)); err != nil {
				return err
			}
			pg.WebOf = a.Title
		}
	}
	pg.Refused = asked.Result.Refused
	if len(pg.Refused) > refusedShown {
		pg.Refused, pg.Beyond = pg.Refused[:refusedShown], len(pg.Refused)-refusedShown
	}
	return p.Render(w, status, pages["answers.html"], pg)
}

// gone says plainly that answers are not kept for ever.
func (p Pages) gone(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	b := p.Base(w, r, snap, "Today", "These answers are no longer kept")
	b.Trail = []frame.Link{{Words: "Today", To: "/"}, {Words: "What now?", To: "/event"}}
	return p.Render(w, http.StatusGone, pages["gone.html"], struct{ frame.Base }{b})
}

// said is an event in a few words.
func said(e whatnow.Event) string {
	switch e.Kind {
	case whatnow.MachineDown:
		return string(e.Machine) + " is down"
	case whatnow.PaperGone:
		if e.Roll != "" {
			return "roll " + string(e.Roll) + " is gone"
		}
		return string(e.Paper) + " is gone at one width"
	case whatnow.Rush:
		return "rush order " + e.Line.Key.String()
	case whatnow.Changed:
		return "order " + e.Line.Key.String() + " has changed"
	case whatnow.Cut:
		return "order " + e.Release.String() + " is cancelled"
	case whatnow.Short:
		return "order " + e.Release.String() + " ends short"
	}
	return "a hold on order " + e.Release.String()
}

// areasOf lists the plant's areas with those that the answer changes.
func areasOf(snap *desk.Snapshot, a whatnow.Answer) []area {
	touched := map[string]bool{}
	for _, m := range a.Moves {
		if m.What == whatnow.MovedRun {
			touched[desk.AreaCorrugator] = true
			continue
		}
		touched[m.From], touched[m.To] = true, true
	}
	var out []area
	for _, name := range snap.Areas() {
		out = append(out, area{name, touched[name]})
	}
	return out
}

// section is the web of an answer's run as the drawing wants it.
func section(a whatnow.Answer, f frame.Figures) draw.Section {
	run := a.Web
	s := draw.Section{
		Title: fmt.Sprintf("%s at %s %s", run.Grade, f.Length(run.Web), f.LengthUnit()),
		Web:   run.Web, TrimOperator: run.Trim / 2, TrimDrive: run.Trim - run.Trim/2,
	}
	scores := map[string][]quantity.Length{}
	for _, d := range a.Plan.Demands {
		scores[d.Release.String()] = d.Sheet.Scores
	}
	for _, l := range run.Lanes {
		s.Lanes = append(s.Lanes, draw.SectionLane{Label: l.Order, Level: l.Level, Outs: l.Outs, Slit: l.Slit, Scores: scores[l.Order]})
	}
	return s
}

// Step is a difference of cost with its sign.
func (r row) Step(f frame.Figures, m quantity.Money) string {
	switch {
	case m > 0.5:
		return "+" + f.WholeMoney(m)
	case m < -0.5:
		return "−" + f.WholeMoney(-m)
	}
	return "0"
}

// Clock is the hours late of all orders together, as hours and minutes.
func (r row) Clock(f frame.Figures) string { return f.Hours(quantity.Minutes(r.Hours * 60)) }

// Take makes a plan of the answer that was chosen.
func (p Pages) Take(w http.ResponseWriter, r *http.Request) error {
	id, err := numberOf(r, "id")
	if err != nil {
		return err
	}
	if err := r.ParseForm(); err != nil {
		return err
	}
	if _, err := p.Desk.Asked(id); errors.Is(err, fault.NotFound) {
		return p.gone(w, r)
	}
	v := frame.Values{R: r}
	c := desk.Chosen{Event: id, Answer: v.Count("answer", 0, -1), By: v.Text("by"), Areas: slices.Clone(r.PostForm["area"])}
	err = v.Err()
	var made ident.Plan
	if err == nil {
		made, err = p.Desk.TakeAnswer(r.Context(), c, frame.Who(r))
	}
	if err != nil {
		vs, other := frame.Violations(err)
		if other != nil {
			return other
		}
		return p.answers(w, r, http.StatusUnprocessableEntity, vs)
	}
	words := fmt.Sprintf("Plan %d holds the answer; it is a draft.", made)
	if len(c.Areas) > 0 {
		words = fmt.Sprintf("Plan %d holds the answer and is in force.", made)
	}
	return frame.Done(w, r, frame.PlanPath(made), words)
}
