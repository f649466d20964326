package orders

import (
	"net/http"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/stock"
	"github.com/flutewright/flutewright/web/frame"
)

type overviewPage struct {
	frame.Base
	Items    []stockRow
	Blankets []stock.BlanketLeft
	Kits     []stock.Kit
	Allots   []stock.Allot
	Low      int
	Free     int
}

type stockRow struct {
	Code        ident.Item
	Description string
	stock.Item
}

// Goods answers: what lies in stock, whose is it, what is left of the blanket
// orders, and how many whole kits can go?
func (p Pages) Goods(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	s, err := p.Desk.Goods(r.Context())
	if err != nil {
		return err
	}
	pg := overviewPage{Base: p.Base(w, r, snap, "Orders", "Made goods"), Blankets: s.Blankets, Kits: s.Kits, Allots: s.Allots}
	pg.Trail = []frame.Link{{Words: "Orders", To: "/orders"}}
	for code, it := range s.Items {
		i, _ := snap.Item(code)
		pg.Items = append(pg.Items, stockRow{code, i.Description, it})
		pg.Free += it.Left()
		if it.Low() {
			pg.Low++
		}
	}
	slices.SortFunc(pg.Items, func(a, b stockRow) int {
		if a.Low() != b.Low() {
			if a.Low() {
				return -1
			}
			return 1
		}
		return strings.Compare(string(a.Code), string(b.Code))
	})
	return p.Render(w, http.StatusOK, pages["goods.html"], pg)
}
