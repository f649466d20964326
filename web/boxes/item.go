package boxes

import (
	"fmt"
	"html/template"
	"net/http"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/draw"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/web/frame"
)

type itemPage struct {
	frame.Base
	order.Item
	House     string
	Version   int
	Flute     ident.Flute
	Blank     *box.Blank // by formula; nil where the style has none
	NoFormula string     // why
	Rules     box.Sheet  // the sheet that rules
	Known     bool       // a sheet rules at all
	ChopStep  quantity.Length
	SlitStep  quantity.Length
	Picture   template.HTML
	Strength  *strength
	Losses    []loss
	Way       []plan.Demand // what open orders ask of the corrugator
	History   []frame.Edit
	Fields    []frame.Field
	Stock     inStock
	Once      string
}

// Item answers: what is this box, does its blank fit, and what does it bear?
func (p Pages) Item(w http.ResponseWriter, r *http.Request) error {
	pg, err := p.item(w, r)
	if err != nil {
		return err
	}
	pg.Fields = pg.sheetFields()
	return p.Render(w, http.StatusOK, pages["item.html"], pg)
}

func (p Pages) item(w http.ResponseWriter, r *http.Request) (*itemPage, error) {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return nil, err
	}
	i, ok := snap.Item(ident.Item(r.PathValue("item")))
	if !ok {
		return nil, fmt.Errorf("item %s: %w", r.PathValue("item"), fault.NotFound)
	}
	pg := &itemPage{Base: p.Base(w, r, snap, "Boxes", string(i.Code)), Item: i, Version: snap.Version(desk.KindItem, string(i.Code))}
	pg.Trail = []frame.Link{{Words: "Boxes", To: "/boxes"}}
	if c, ok := snap.Customer(i.Customer); ok {
		pg.House = c.Name
	}
	g, _ := snap.Grade(i.Grade)
	pg.Flute = g.Flute
	pg.blank(snap, g)
	if err := pg.draw(); err != nil {
		return nil, err
	}
	pg.Strength = strengthOf(snap, i, g)
	st, err := frame.Maybe(p.Current(r.Context()))
	if err != nil {
		return nil, err
	}
	for _, l := range snap.Lines {
		if l.Item != i.Code || l.State == order.Closed {
			continue
		}
		if st != nil && st.Demands[l.Key] != nil {
			pg.Way = append(pg.Way, *st.Demands[l.Key])
		}
	}
	pg.losses(snap)
	standing, err := p.Desk.Goods(r.Context())
	if err != nil {
		return nil, err
	}
	pg.stocked(snap, standing)
	pg.Once = frame.Once()
	edits, err := p.Desk.History(r.Context(), desk.KindItem, string(i.Code))
	if err != nil {
		return nil, err
	}
	pg.History = frame.Edits(edits)
	return pg, nil
}

// blank computes the formula's blank and sets the approved sheet against it.
func (pg *itemPage) blank(snap *desk.Snapshot, g board.Grade) {
	var allowance box.Allowance
	known := false
	for _, a := range snap.Plant.Allowances {
		if a.Flute == g.Flute {
			allowance, known = a, true
		}
	}
	b, err := box.Compute(pg.Style, pg.Inside, pg.Overlap, allowance)
	switch {
	case err != nil:
		pg.NoFormula = strings.Join(fault.Lines(err), "; ")
	case !known:
		pg.NoFormula = fmt.Sprintf("the plant states no allowances for flute %s", g.Flute)
	default:
		pg.Blank = &b
	}
	switch {
	case pg.Sheet != nil:
		pg.Rules, pg.Known = *pg.Sheet, true
		if pg.Blank != nil {
			pg.ChopStep, pg.SlitStep = pg.Sheet.Chop-pg.Blank.Sheet.Chop, pg.Sheet.Slit-pg.Blank.Sheet.Slit
		}
	case pg.Blank != nil:
		pg.Rules, pg.Known = pg.Blank.Sheet, true
	}
}

func (pg *itemPage) draw() error {
	if !pg.Known {
		return nil
	}
	title := fmt.Sprintf("%s, inside %s × %s × %s %s, flute %s", pg.Style, pg.F.Length(pg.Inside.Length), pg.F.Length(pg.Inside.Width),
		pg.F.Length(pg.Inside.Height), pg.F.LengthUnit(), pg.Flute)
	shape := draw.BlankShape{Title: title, Panels: []quantity.Length{pg.Rules.Chop}, Strips: strips(pg.Rules)}
	if b := pg.Blank; b != nil && (pg.Sheet == nil || pg.ChopStep == 0 && pg.SlitStep == 0) {
		shape = draw.BlankShape{
			Title: title, Panels: b.Panels, Strips: b.Strips, OneFlap: b.Style == "0200",
			SlotWidth: b.SlotWidth, OuterFlap: b.OuterFlap, InnerFlap: b.InnerFlap,
		}
	}
	var err error
	pg.Picture, err = frame.Picture(draw.Blank(shape, pg.F.Format))
	return err
}

// strips are the distances from edge to score to edge.
func strips(s box.Sheet) []quantity.Length {
	var out []quantity.Length
	from := quantity.Length(0)
	for _, score := range s.Scores {
		out = append(out, score-from)
		from = score
	}
	return append(out, s.Slit-from)
}
