package sheet

import (
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/draw"
	"github.com/flutewright/flutewright/plan/loads"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/load"
)

// picture places a drawing in a box of w × h mm, as large as fits, centred
// across, and returns its lower edge.
func (f *folio) picture(d draw.Drawing, x, y, w, h float64) float64 {
	if d.Width <= 0 || d.Height <= 0 {
		return y
	}
	tall := w * float64(d.Height) / float64(d.Width)
	if tall > h {
		shrunk := w * h / tall
		x += (w - shrunk) / 2
		w, tall = shrunk, h
	}
	draw.AddToPDF(f.Fpdf, d, x, y, w)
	f.colour(ink)
	f.SetLineWidth(hairline)
	return y + tall
}

// place draws at natural size, as barcodes must be.
func (f *folio) place(d draw.Drawing, x, y float64) {
	draw.AddToPDF(f.Fpdf, d, x, y, d.Width.Millimetres())
	f.colour(ink)
	f.SetLineWidth(hairline)
}

// section is the web of a run, as the drawing wants it.
func (s *source) section(r runs.Run) draw.Section {
	out := draw.Section{Web: r.Web, TrimOperator: r.Trim / 2, TrimDrive: r.Trim - r.Trim/2}
	if u, ok := s.setups[r.Seq]; ok && len(u.FromOp) > 0 {
		out.TrimOperator = u.FromOp[0]
		out.TrimDrive = r.Web - u.FromOp[len(u.FromOp)-1]
	}
	for _, l := range r.Lanes {
		out.Lanes = append(out.Lanes, draw.SectionLane{
			Label: l.Order, Level: l.Level, Outs: l.Outs, Slit: l.Slit, Scores: s.demands[l.Order].Sheet.Scores,
		})
	}
	return out
}

// layer is one layer of a unit, as the drawing wants it.
func layer(l loads.Load, deck load.Pallet) draw.PalletLayer {
	out := draw.PalletLayer{DeckLength: deck.Length, DeckWidth: deck.Width}
	for _, p := range l.Layer {
		length, width := l.BundleLength, l.BundleWidth
		if p.Turned {
			length, width = width, length
		}
		out.Bundles = append(out.Bundles, draw.LayerBundle{X: p.X, Y: p.Y, Length: length, Width: width, Pieces: l.PerBundle})
	}
	return out
}

func (s *source) deck(l loads.Load) load.Pallet {
	for _, p := range s.book.Plant.Pallets {
		if p.Code == l.Pallet {
			return p
		}
	}
	return load.Pallet{Code: l.Pallet, Length: 1200 * quantity.Millimetre, Width: 1000 * quantity.Millimetre}
}
