package box

import (
	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
)

// Blank is a box laid flat, as computed from its inside size. Panels run along
// the chop with the glue lap first; Strips run across it from one slit edge.
type Blank struct {
	Style      Style             `json:"style"`
	Inside     Inside            `json:"inside"`
	Sheet      Sheet             `json:"sheet"`
	Panels     []quantity.Length `json:"panels_mm"` // lap first; a plain sheet: its chop alone
	Strips     []quantity.Length `json:"strips_mm"` // flap, depth, flap; or fewer
	OuterFlap  quantity.Length   `json:"outer_flap_mm,omitempty"`
	InnerFlap  quantity.Length   `json:"inner_flap_mm,omitempty"`
	Depth      quantity.Length   `json:"depth_mm,omitempty"` // between the flap scores, or score and edge
	Overlap    quantity.Length   `json:"overlap_mm,omitempty"`
	Lap        quantity.Length   `json:"lap_mm,omitempty"`
	SlotWidth  quantity.Length   `json:"slot_width_mm,omitempty"`
	Outside    Outside           `json:"outside"`
	FoldedFlat FoldedFlat        `json:"folded_flat"`
}

// fullOverlapLess is what the outer flap of 0203 stays short of the width between scores, so that the box closes.
const fullOverlapLess = 3 * quantity.Millimetre

// Compute returns the blank of a box by the formulas of its style:
//
//	Ls = L + p   Ws = W + p   last = Ws − q   depth = H + d (0200: H + d/2)
//	chop = lap + Ls + Ws + Ls + last          slit = Σ strips
//	flap  0200, 0201: Ws/2 + f   0202: (Ws + overlap)/2 + f   0203: Ws − 3 mm
//	      0204: inner Ls/2 + f, outer Ws/2 + f, sheet to the inner
//	0501  slit = L (the sleeve's axis), chop = lap + 2 (W + p) + 2 (H + p) − q
//	0110  chop = L, slit = W, as ordered
//
// with p, q, d, f the allowance's panel add, last panel less, depth add and
// flap add. Each panel, depth and flap is rounded up to the allowance's step
// (the flap of 0203 down). Overlap is for 0202 alone. A style without a
// formula, or an impossible size, is fault.Violations.
//
// Source: score-to-score practice as in FEFCO-ESBO case code drawings; the
// allowances are the plant's own.
func Compute(style Style, in Inside, overlap quantity.Length, a Allowance) (Blank, error) {
	if err := style.mustBeComputed(); err != nil {
		return Blank{}, err
	}
	var v fault.Violations
	v.Under("inside", in.checkFor(style))
	a, err := NewAllowance(a)
	v.Under("allowance", err)
	if style == "0202" {
		v.Require(overlap > 0, "overlap", overlap.String(), "must be stated and more than 0 for style 0202")
	} else {
		v.Require(overlap == 0, "overlap", overlap.String(), "must be left out: only style 0202 takes one")
	}
	if err := v.Err(); err != nil {
		return Blank{}, err
	}
	b := Blank{Style: style, Inside: in, Overlap: overlap}
	switch style {
	case "0110":
		b.sheet(a)
	case "0501":
		b.sleeve(a)
	default:
		b.slotted(a)
		v.Require(b.OuterFlap <= b.Panels[2], "overlap", overlap.String(), "makes the outer flap "+b.OuterFlap.String()+" long, longer than the width between scores, "+b.Panels[2].String()+": the box would not close")
		v.Require(b.OuterFlap > 0 && b.Panels[4] > 0, "inside.width", in.Width.String(), "leaves no flap or last panel with this allowance")
		if err := v.Err(); err != nil {
			return Blank{}, err
		}
	}
	return b, nil
}

func (b *Blank) sheet(a Allowance) {
	b.Panels, b.Strips = []quantity.Length{b.Inside.Length}, []quantity.Length{b.Inside.Width}
	b.Sheet = Sheet{Chop: b.Inside.Length, Slit: b.Inside.Width}
	b.Outside = Outside{b.Inside.Length, b.Inside.Width, a.Caliper}
	b.FoldedFlat = FoldedFlat{b.Sheet.Chop, b.Sheet.Slit}
}

func (b *Blank) sleeve(a Allowance) {
	in, up := b.Inside, a.RoundUpTo
	width, height := (in.Width + a.PanelAdd).CeilTo(up), (in.Height + a.PanelAdd).CeilTo(up)
	last := (in.Height + a.PanelAdd - a.LastPanelLess).CeilTo(up)
	b.Lap = a.GlueLap
	b.Panels = []quantity.Length{a.GlueLap, width, height, width, last}
	b.Depth = in.Length.CeilTo(up)
	b.Strips = []quantity.Length{b.Depth}
	b.Sheet = Sheet{Chop: total(b.Panels), Slit: b.Depth}
	b.Outside = Outside{in.Length, in.Width + 2*a.Caliper, in.Height + 2*a.Caliper}
	b.FoldedFlat = FoldedFlat{width + height, b.Sheet.Slit}
}

func (b *Blank) slotted(a Allowance) {
	in, up := b.Inside, a.RoundUpTo
	long, wide := (in.Length + a.PanelAdd).CeilTo(up), (in.Width + a.PanelAdd).CeilTo(up)
	last := (in.Width + a.PanelAdd - a.LastPanelLess).CeilTo(up)
	b.Lap, b.SlotWidth = a.GlueLap, a.SlotWidth
	b.Panels = []quantity.Length{a.GlueLap, long, wide, long, last}
	b.Depth = (in.Height + a.DepthAdd).CeilTo(up)
	b.OuterFlap = (wide/2 + a.FlapAdd).CeilTo(up)
	b.InnerFlap = b.OuterFlap
	layers := quantity.Length(4) // of board above and below the contents together
	switch b.Style {
	case "0200":
		b.Depth, layers = (in.Height + a.DepthAdd/2).CeilTo(up), 2
	case "0202":
		b.OuterFlap, layers = ((wide+b.Overlap)/2 + a.FlapAdd).CeilTo(up), 6
		b.InnerFlap = b.OuterFlap
	case "0203":
		b.OuterFlap, layers = (wide-fullOverlapLess)/up*up, 6
		b.InnerFlap = b.OuterFlap
	case "0204":
		b.InnerFlap = (long/2 + a.FlapAdd).CeilTo(up)
	}
	flap := max(b.OuterFlap, b.InnerFlap)
	b.Strips = []quantity.Length{flap, b.Depth, flap}
	if b.Style == "0200" {
		b.Strips = b.Strips[:2]
	}
	b.Sheet = Sheet{Chop: total(b.Panels), Slit: total(b.Strips)}
	at := quantity.Length(0)
	for _, s := range b.Strips[:len(b.Strips)-1] {
		at += s
		b.Sheet.Scores = append(b.Sheet.Scores, at)
	}
	b.Outside = Outside{in.Length + 2*a.Caliper, in.Width + 2*a.Caliper, in.Height + layers*a.Caliper}
	b.FoldedFlat = FoldedFlat{long + wide, b.Sheet.Slit}
}

func total(parts []quantity.Length) (sum quantity.Length) {
	for _, p := range parts {
		sum += p
	}
	return sum
}
