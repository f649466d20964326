package crew

import (
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/draw"
	"github.com/flutewright/flutewright/web/frame"
)

// figure is one large number with its name above and what belongs to it below.
type figure struct{ Name, Figure, Below string }

// Long says that a figure is too wide for the largest type.
func (f figure) Long() bool { return len([]rune(f.Figure)) > 10 }

type dryPage struct {
	screen
	desk.CrewCorrugator
	On      *desk.CrewRun // running now
	Shown   *desk.CrewRun // whose set-up is drawn
	Figures []figure
	Picture template.HTML
}

func (p Pages) dry(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := dryPage{screen: p.live(p.Base(w, r, snap, "", "Dry end"), "dry", cautionDry)}
	pg.CrewCorrugator, err = p.Desk.CrewCorrugator(r.Context())
	if errors.Is(err, fault.NotFound) || err == nil && len(pg.Runs) == 0 {
		return p.silent(w, pg.screen)
	}
	if err != nil {
		return err
	}
	pg.halted()
	pg.choose(r.FormValue("run"))
	pg.Figures = pg.figures()
	if pg.Picture, err = frame.Picture(draw.WebSection(section(pg.Shown, pg.F), pg.F.Format)); err != nil {
		return err
	}
	return p.Render(w, http.StatusOK, pages["dry.html"], pg)
}

func (pg *dryPage) halted() {
	if s := pg.CrewCorrugator.Stopped; s != nil {
		pg.Halt = &stopped{s.Since, s.Until, s.Cause}
	}
}

// choose sets which run is on and whose set-up is drawn: the one asked for,
// else the one to set next, which is the first that does not run yet.
func (pg *dryPage) choose(asked string) {
	seq, _ := strconv.Atoi(asked) // no number: none was asked for
	for i := range pg.Runs {
		v := &pg.Runs[i]
		if v.On {
			pg.On = v
		}
		if v.Seq == seq || pg.Shown == nil && !v.On && seq == 0 {
			pg.Shown = v
		}
	}
	if pg.Shown == nil {
		pg.Shown = &pg.Runs[0]
	}
}

// figures are the four numbers that the dry end sets by.
func (pg *dryPage) figures() []figure {
	v, f := pg.Shown, pg.F
	var slits, chops, under []string
	seen := map[int]bool{}
	for _, l := range v.Lanes {
		slits = append(slits, fmt.Sprintf("%d × %s", l.Outs, f.Length(l.Slit)))
		if !seen[l.Level] {
			seen[l.Level] = true
			chops = append(chops, f.Length(l.Chop))
			under = append(under, fmt.Sprintf("level %d: %s", l.Level, l.Order))
		}
	}
	left := v.Trim / 2
	if len(v.Setup.FromOp) > 0 {
		left = v.Setup.FromOp[0]
	}
	next := figure{Name: "next change", Figure: f.Time(v.Time.End)}
	for i := range pg.Runs {
		if pg.Runs[i].Seq == v.Seq && i+1 < len(pg.Runs) {
			next.Below = fmt.Sprintf("to run %d: %s", pg.Runs[i+1].Seq, pg.Runs[i+1].Change)
		}
	}
	return []figure{
		{"slit, " + f.LengthUnit(), strings.Join(slits, " + "), fmt.Sprintf("web %s, trim %s + %s", f.Length(v.Web), f.Length(left), f.Length(v.Trim-left))},
		{"chop, " + f.LengthUnit(), strings.Join(chops, " | "), strings.Join(under, ", ")},
		{"ends at, cuts", f.Count(v.Setup.EndsCount), fmt.Sprintf("of %s, level %d", v.Setup.EndsOrder, v.Setup.EndsLevel)},
		next,
	}
}

// section is the run's web as the drawing wants it.
func section(v *desk.CrewRun, f frame.Figures) draw.Section {
	s := draw.Section{
		Title: fmt.Sprintf("Run %d: %s at %s %s", v.Seq, v.Grade, f.Length(v.Web), f.LengthUnit()),
		Web:   v.Web, TrimOperator: v.Trim / 2, TrimDrive: v.Trim - v.Trim/2,
	}
	if len(v.Setup.FromOp) > 0 {
		s.TrimOperator = v.Setup.FromOp[0]
		s.TrimDrive = v.Trim - s.TrimOperator
	}
	for _, l := range v.Lanes {
		s.Lanes = append(s.Lanes, draw.SectionLane{Label: l.Order, Level: l.Level, Outs: l.Outs, Slit: l.Slit, Scores: v.Scores[l.Order]})
	}
	return s
}

type wetPage struct {
	screen
	desk.CrewCorrugator
	On      *desk.CrewRun
	ByStand []stand
	Missing int // changes that lack something
}

type stand struct {
	Name    string
	On      string // the roll on it, by facts
	Changes []desk.RollChange
	More    int
}

// changesShown is how many changes a stand shows.
const changesShown = 3

func (p Pages) wet(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := wetPage{screen: p.live(p.Base(w, r, snap, "", "Wet end"), "wet", cautionWet)}
	pg.CrewCorrugator, err = p.Desk.CrewCorrugator(r.Context())
	if errors.Is(err, fault.NotFound) || err == nil && len(pg.Runs) == 0 {
		return p.silent(w, pg.screen)
	}
	if err != nil {
		return err
	}
	if s := pg.CrewCorrugator.Stopped; s != nil {
		pg.Halt = &stopped{s.Since, s.Until, s.Cause}
	}
	if pg.Runs[0].On {
		pg.On = &pg.Runs[0]
	}
	pg.stands()
	return p.Render(w, http.StatusOK, pages["wet.html"], pg)
}

// stands sorts the changes by stand and leaves out where a roll just goes on.
func (pg *wetPage) stands() {
	at := map[string]int{}
	last := map[string]ident.Roll{}
	for _, c := range pg.CrewCorrugator.Rolls {
		i, known := at[c.Stand]
		if !known {
			i = len(pg.ByStand)
			at[c.Stand] = i
			pg.ByStand = append(pg.ByStand, stand{Name: c.Stand, On: pg.Stands[c.Stand]})
			last[c.Stand] = ident.Roll(pg.Stands[c.Stand])
		}
		if c.Amiss != "" {
			pg.Missing++
		}
		goesOn := c.Roll != "" && c.Roll == last[c.Stand] && c.Amiss == ""
		last[c.Stand] = c.Roll
		switch s := &pg.ByStand[i]; {
		case goesOn:
		case len(s.Changes) < changesShown:
			s.Changes = append(s.Changes, c)
		default:
			s.More++
		}
	}
}

// Along writes a place along the web with its unit.
func (pg wetPage) Along(d quantity.Distance) string { return pg.F.Run(d) + " " + pg.F.RunUnit() }
