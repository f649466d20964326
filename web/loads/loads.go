// Package loads shows how each release stands on pallets.
package loads

import (
	"cmp"
	"embed"
	"fmt"
	"html/template"
	"net/http"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/draw"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/loads"
	"github.com/flutewright/flutewright/plant/load"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "list.html", "load.html")

// Pages of loads.
type Pages struct{ *frame.Frame }

type listPage struct {
	frame.Base
	ID      ident.Plan
	Planned bool
	Rows    []*row
	Pages   frame.Pager
	Units   int
	Refused int
	Warned  int
}

type row struct {
	*loads.Load
	House  string
	Item   ident.Item
	Finish *jobs.Finish
}

func (r *row) rank() int {
	switch {
	case r.Refusal != "":
		return 0
	case len(r.Warnings) > 0:
		return 1
	}
	return 2
}

const loadsAPage = 100

// List answers: which release stands on how many units, and which can't be stood?
func (p Pages) List(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := listPage{Base: p.Base(w, r, snap, "Loads", "Loads")}
	st, err := p.StandingOrNone(r)
	if err != nil {
		return err
	}
	if st == nil {
		return p.Render(w, http.StatusOK, pages["list.html"], pg)
	}
	pg.ID, pg.Planned = st.Head.ID, true
	var rows []*row
	for i := range st.Plan.Loads {
		l := &st.Plan.Loads[i]
		v := &row{Load: l, Finish: st.Ends[l.Release]}
		if d := st.Demands[l.Release]; d != nil {
			v.Item = d.Item
			if c, ok := snap.Customer(d.Customer); ok {
				v.House = c.Name
			}
		}
		pg.Units += l.Units
		if l.Refusal != "" {
			pg.Refused++
		} else if len(l.Warnings) > 0 {
			pg.Warned++
		}
		rows = append(rows, v)
	}
	slices.SortStableFunc(rows, func(a, b *row) int {
		if c := cmp.Compare(a.rank(), b.rank()); c != 0 || a.Finish == nil || b.Finish == nil {
			return c
		}
		return a.Finish.AtGate.Compare(b.Finish.AtGate)
	})
	pg.Rows, pg.Pages = frame.Cut(r, rows, loadsAPage)
	return p.Render(w, http.StatusOK, pages["list.html"], pg)
}

type loadPage struct {
	frame.Base
	loads.Load
	ID      ident.Plan
	House   string
	Item    ident.Item
	Finish  *jobs.Finish
	Picture template.HTML
	Deck    load.Pallet
	Roomier load.Pallet // takes More bundles a layer
	More    int         // 0: no deck of the plant does
}

// Show answers: how does this release stand, layer by layer?
func (p Pages) Show(w http.ResponseWriter, r *http.Request) error {
	key, err := frame.ReleaseOf(r)
	if err != nil {
		return err
	}
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	st, err := p.Standing(r)
	if err != nil {
		return err
	}
	l := st.Loads[key]
	if l == nil {
		return fmt.Errorf("load of %s in plan %d: %w", key, st.Head.ID, fault.NotFound)
	}
	pg := loadPage{Base: p.Base(w, r, snap, "Loads", "Load of "+key.String()), Load: *l, ID: st.Head.ID, Finish: st.Ends[key]}
	pg.Trail = []frame.Link{{Words: "Loads", To: frame.OfPlan("/loads", pg.ID)}}
	if d := st.Demands[key]; d != nil {
		pg.Item = d.Item
		if c, ok := snap.Customer(d.Customer); ok {
			pg.House = c.Name
		}
	}
	if l.Units > 0 {
		pg.Acts = []frame.Link{{Words: "Load tags (PDF)", To: fmt.Sprintf("/print/tags.pdf?plan=%d&key=%s", pg.ID, frame.Escape(key.String()))}}
	}
	deck, ok := snap.Pallet(l.Pallet)
	if pg.Deck = deck; ok && len(l.Layer) > 0 {
		if pg.Picture, err = frame.Picture(draw.Layer(layer(*l, deck, pg.Title), pg.F.Format)); err != nil {
			return err
		}
	}
	if pg.Roomier, pg.More, err = loads.Roomier(snap.Plant.Pallets, *l); err != nil {
		return err
	}
	return p.Render(w, http.StatusOK, pages["load.html"], pg)
}

// layer is one layer as the drawing wants it.
func layer(l loads.Load, deck load.Pallet, title string) draw.PalletLayer {
	out := draw.PalletLayer{Title: title, DeckLength: deck.Length, DeckWidth: deck.Width}
	for _, p := range l.Layer {
		b := draw.LayerBundle{X: p.X, Y: p.Y, Length: l.BundleLength, Width: l.BundleWidth, Pieces: l.PerBundle}
		if p.Turned {
			b.Length, b.Width = b.Width, b.Length
		}
		out.Bundles = append(out.Bundles, b)
	}
	return out
}
