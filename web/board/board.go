// Package board shows the papers, flutes and board grades of the plant.
package board

import (
	"embed"
	"net/http"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "board.html")

// Pages of board.
type Pages struct{ *frame.Frame }

type page struct {
	frame.Base
	Grades []grade
	Papers []board.Paper
	Flutes []board.Flute
	Weak   int // grades below their own least ECT
}

type grade struct {
	board.Grade
	Grammage quantity.Grammage
	Caliper  quantity.Length
	ECT      quantity.LineLoad
	Stated   bool
	Price    quantity.Money
	Items    int
	Below    bool
}

// Board answers: what is each grade made of, what does it weigh, bear and cost?
func (p Pages) Board(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := page{Base: p.Base(w, r, snap, "Board", "Board"), Papers: snap.Plant.Papers, Flutes: snap.Plant.Flutes}
	pg.Acts = []frame.Link{{Words: "Which webs to stock", To: "/webs"}, {Words: "Import papers", To: "/plant/import?kind=papers"}, {Words: "Import grades", To: "/plant/import?kind=grades"}}
	c := board.NewCatalogue(snap.Plant.Papers, snap.Plant.Flutes)
	items := map[ident.Grade]int{}
	for _, i := range snap.Items {
		items[i.Grade]++
	}
	for _, g := range snap.Plant.Grades {
		v := grade{Grade: g, Grammage: g.BoardGrammage(c), Caliper: g.Caliper(c), Price: g.PaperPrice(c), Items: items[g.Code]}
		v.ECT, v.Stated = g.ECT(c)
		v.Below = v.ECT > 0 && v.ECT < g.ECTMin
		if v.Below {
			pg.Weak++
		}
		pg.Grades = append(pg.Grades, v)
	}
	return p.Render(w, http.StatusOK, pages["board.html"], pg)
}
