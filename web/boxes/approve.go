package boxes

import (
	"errors"
	"net/http"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/web/frame"
)

func (pg *itemPage) sheetFields() []frame.Field {
	var scores []string
	for _, s := range pg.Rules.Scores {
		scores = append(scores, pg.F.Exact(s))
	}
	unit := ", " + pg.F.LengthUnit()
	fields := []frame.Field{
		{Name: "chop", Label: "Chop" + unit, Needed: true, Hint: "along the web"},
		{Name: "slit", Label: "Slit" + unit, Needed: true, Hint: "across the web"},
		{Name: "scores", Label: "Scores" + unit, Hint: "from one slit edge, parted by a slash"},
		pg.pieceField(),
		{Name: "why", Label: "Why", Wide: true},
	}
	if pg.Known {
		fields[0].Value, fields[1].Value, fields[2].Value = pg.F.Exact(pg.Rules.Chop), pg.F.Exact(pg.Rules.Slit), strings.Join(scores, " / ")
	}
	if pg.F.US { // an inch fraction has a slash of its own
		fields[2].Value, fields[2].Hint = strings.Join(scores, "; "), "from one slit edge, parted by a semicolon"
	}
	return fields
}

// Approve keeps a stated sheet with the item; from then on it rules and is not recomputed.
func (p Pages) Approve(w http.ResponseWriter, r *http.Request) error {
	pg, err := p.item(w, r)
	if err != nil {
		return err
	}
	v := frame.Values{R: r}
	version := v.Count("version", 1, 0)
	i := pg.Item
	if i.Sheet, err = pg.sheetTyped(&v); err == nil {
		i.PieceArea, err = pg.pieceTyped(&v)
	}
	if err == nil {
		err = v.Err()
	}
	if err == nil {
		i.Revision++
		err = p.Desk.SaveItem(r.Context(), i, version, frame.Who(r), v.Text("why"))
	}
	if err == nil {
		return frame.Done(w, r, frame.ItemPath(i.Code), "The sheet of "+string(i.Code)+" is approved and rules from now on.")
	}
	status := http.StatusUnprocessableEntity
	pg.Fields = pg.sheetFields()
	for n := range pg.Fields {
		pg.Fields[n].Value = r.FormValue(pg.Fields[n].Name)
	}
	vs, other := frame.Violations(err)
	switch {
	case other == nil:
		pg.Amiss = frame.Mark(pg.Fields, pg.F.InUnits(vs))
	case errors.Is(err, fault.Conflict):
		status = http.StatusConflict
		pg.Amiss = []frame.Amiss{{Words: err.Error()}}
	default:
		return err
	}
	return p.Render(w, status, pages["item.html"], pg)
}

// sheetTyped reads the sheet; all three empty takes the approved sheet back to the formula's.
func (pg *itemPage) sheetTyped(v *frame.Values) (*box.Sheet, error) {
	if v.Text("chop")+v.Text("slit")+v.Text("scores") == "" {
		return nil, nil
	}
	var vs fault.Violations
	read := func(field, text string) quantity.Length {
		text = strings.TrimSpace(text)
		for _, l := range append([]quantity.Length{pg.Rules.Chop, pg.Rules.Slit}, pg.Rules.Scores...) {
			if pg.Known && text == pg.F.Exact(l) {
				return l // as it was shown: nothing is rounded
			}
		}
		l, err := pg.F.ParseLength(text)
		if err != nil {
			vs.Add(field, text, err.Error(), "")
		}
		return l
	}
	chop, slit := read("chop", v.Text("chop")), read("slit", v.Text("slit"))
	part := "/"
	if pg.F.US {
		part = ";"
	}
	var scores []quantity.Length
	for _, s := range strings.Split(v.Text("scores"), part) {
		if strings.TrimSpace(s) != "" {
			scores = append(scores, read("scores", s))
		}
	}
	if err := vs.Err(); err != nil {
		return nil, err
	}
	s, err := box.NewSheet(chop, slit, scores)
	return &s, err
}
