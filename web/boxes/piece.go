package boxes

import (
	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/web/frame"
)

// pieceField asks for the area of one piece as its die leaves it.
func (pg *itemPage) pieceField() frame.Field {
	f := frame.Field{Name: "piece_area_m2", Label: "One piece, " + pg.F.SheetAreaUnit(), Hint: "the area that the die leaves of it; empty: not known"}
	if pg.PieceArea > 0 {
		f.Value = pg.exactArea(pg.PieceArea)
	}
	return f
}

// exactArea is finer than any area is stated.
func (pg *itemPage) exactArea(a quantity.Area) string {
	if pg.F.US {
		return pg.F.Number(float64(a/quantity.MSF)*1000, 5)
	}
	return pg.F.Number(float64(a), 6)
}

// pieceTyped reads the piece's area; a form without the field leaves it as it is.
func (pg *itemPage) pieceTyped(v *frame.Values) (quantity.Area, error) {
	typed := v.Text("piece_area_m2")
	switch {
	case !v.R.PostForm.Has("piece_area_m2"), typed == pg.exactArea(pg.PieceArea):
		return pg.PieceArea, nil
	case typed == "":
		return 0, nil
	}
	n, err := quantity.ParseNumber(typed)
	if err != nil {
		return 0, fault.Violations{{Field: "piece_area_m2", Value: typed, Rule: err.Error()}}
	}
	if pg.F.US {
		return quantity.Area(n/1000) * quantity.MSF, nil
	}
	return quantity.Area(n), nil
}
