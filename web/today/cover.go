package today

import (
	"net/http"
	"time"

	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/web/frame"
)

type coverPage struct {
	frame.Base
	desk.PaperCover
	Fields  []frame.Field
	Lacking []rolls.PlyCover // plies with metres missing
	Covered []rolls.PlyCover
}

// Cover answers: is every run until an hour covered by named, usable rolls, ply by ply?
func (p Pages) Cover(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	until := time.Time{}
	v := frame.Values{R: r, In: snap.Zone()}
	if r.FormValue("until") != "" {
		until = v.Time("until")
	}
	if err := v.Err(); err != nil {
		return err
	}
	pg := coverPage{Base: p.Base(w, r, snap, "Rolls", "Paper for the runs ahead")}
	pg.Trail = []frame.Link{{Words: "Rolls", To: "/rolls"}}
	if pg.PaperCover, err = p.Desk.PaperCover(r.Context(), until); err != nil {
		return err
	}
	for _, n := range pg.Plies {
		if n.Missing > 0 {
			pg.Lacking = append(pg.Lacking, n)
		} else {
			pg.Covered = append(pg.Covered, n)
		}
	}
	pg.Fields = []frame.Field{{Name: "until", Label: "Runs that start before", Kind: "datetime-local", Value: frame.LocalTime(pg.Until, snap.Zone())}}
	return p.Render(w, http.StatusOK, pages["cover.html"], pg)
}
