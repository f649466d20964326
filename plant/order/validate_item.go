package order

import (
	"fmt"
	"strconv"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/box"
)

// Words that an item's fields take; the empty one leaves it to the rule.
var (
	PrintSides   = []string{"outside", "inside", "none"}
	Joints       = []string{"glued", "stitched", "taped", "none"}
	Arrangements = []string{"column", "column misaligned", "interlocked"}
)

// Validate returns every broken rule of the item as fault.Violations, or nil.
// An item with an approved sheet may leave its inside size out; one without
// needs length and width, and a height unless it is a flat sheet (0110).
func (i Item) Validate() error {
	var v fault.Violations
	code(&v, "item", string(i.Code), true)
	whole(&v, "revision", i.Revision, 0, 100_000)
	code(&v, "customer", string(i.Customer), false)
	code(&v, "style", string(i.Style), true)
	code(&v, "grade", string(i.Grade), true)
	code(&v, "adhesive", i.Adhesive, false)
	code(&v, "plate", string(i.Plate), false)
	code(&v, "die", string(i.Die), false)
	code(&v, "pallet", string(i.Pallet), false)
	text(&v, "description", i.Description)
	text(&v, "note", i.Note)
	i.sizes(&v)
	whole(&v, "pieces_per_sheet", i.PiecesPerSheet, 1, MostPieces)
	v.Require(i.PieceArea >= 0 && i.PieceArea <= 30, "piece_area_m2", fmt.Sprint(float64(i.PieceArea)), "must be 0 to 30 m²")
	if i.Sheet != nil && i.PieceArea > 0 {
		v.Require(float64(i.PieceArea)*float64(i.PiecesPerSheet) <= float64(i.Sheet.Area())*(1+1e-6), "piece_area_m2", fmt.Sprint(float64(i.PieceArea)),
			fmt.Sprintf("times %d pieces is more than the sheet of %.4f m²", i.PiecesPerSheet, float64(i.Sheet.Area())))
	}
	whole(&v, "colours", i.Colours, 0, MostColours)
	word(&v, "print_side", i.PrintSide, PrintSides)
	word(&v, "joint", i.Joint, Joints)
	whole(&v, "boxes_per_bundle", i.BoxesPerBundle, 0, MostPieces)
	whole(&v, "bundles_per_layer", i.BundlesPerLayer, 0, MostPieces)
	whole(&v, "layers_per_unit", i.LayersPerUnit, 0, MostPieces)
	whole(&v, "pieces_per_kit", i.PiecesPerKit, 0, MostPieces)
	i.stock(&v)
	for n, part := range i.Kit {
		code(&v, "kit."+strconv.Itoa(n+1), string(part), true)
		if part == i.Code {
			v.Add("kit."+strconv.Itoa(n+1), string(part), "an item cannot be a part of itself", "")
		}
	}
	for n, m := range i.Route {
		code(&v, "route."+strconv.Itoa(n+1), string(m), true)
	}
	if d := i.Stacking; d != nil {
		v.Under("stacking", d.Validate())
	}
	return v.Err()
}

// sizes judges the inside size, the overlap, the approved sheet and the bundle.
func (i Item) sizes(v *fault.Violations) {
	in := i.Inside
	if i.Sheet != nil {
		v.Under("sheet", validSheet(*i.Sheet))
		optional(v, "inside.length_mm", in.Length, LeastSize, MostSize)
		optional(v, "inside.width_mm", in.Width, LeastSize, MostSize)
		optional(v, "inside.height_mm", in.Height, quantity.Millimetre, MostSize)
	} else {
		size(v, "inside.length_mm", in.Length)
		size(v, "inside.width_mm", in.Width)
		if i.Style == "0110" {
			optional(v, "inside.height_mm", in.Height, quantity.Millimetre, MostSize)
		} else {
			size(v, "inside.height_mm", in.Height)
		}
	}
	optional(v, "overlap_mm", i.Overlap, quantity.Nanometre, MostSize)
	if b := i.BundleSize; b != nil {
		size(v, "bundle_size.length_mm", b.Length)
		size(v, "bundle_size.width_mm", b.Width)
	}
}

// validSheet judges an approved sheet: its size, and scores that rise from one slit edge to the other.
func validSheet(s box.Sheet) error {
	var v fault.Violations
	size(&v, "chop_mm", s.Chop)
	size(&v, "slit_mm", s.Slit)
	v.Require(len(s.Scores) <= 50, "scores_mm", strconv.Itoa(len(s.Scores)), "must be at most 50 scores")
	last := quantity.Length(0)
	for _, at := range s.Scores {
		switch {
		case at <= last:
			v.Add("scores_mm", at.String(), "scores must rise from the slit edge, each beyond the one before", "")
		case at >= s.Slit && s.Slit > 0:
			v.Add("scores_mm", at.String(), "must lie inside the slit of "+s.Slit.String(), "")
		}
		last = at
	}
	return v.Err()
}

// Validate returns every broken rule of the stacking duty, or nil.
func (d StackingDuty) Validate() error {
	var v fault.Violations
	if !(d.GrossMass > 0 && d.GrossMass <= 2000) {
		v.Add("gross_mass_kg", strconv.FormatFloat(float64(d.GrossMass), 'g', -1, 64), "must be above 0 and at most 2,000 kg", "")
	}
	whole(&v, "boxes_high", d.BoxesHigh, 1, 100)
	if !(d.StorageDays >= 0 && d.StorageDays <= 3650) {
		v.Add("storage_days", strconv.FormatFloat(d.StorageDays, 'g', -1, 64), "must be from 0 to 3,650 days", "")
	}
	percent(&v, "humidity_pct", d.HumidityPct)
	percent(&v, "contents_carry_pct", d.ContentsCarryPct)
	word(&v, "arrangement", d.Arrangement, Arrangements)
	return v.Err()
}

func word(v *fault.Violations, field, s string, allowed []string) {
	if s == "" {
		return
	}
	for _, a := range allowed {
		if s == a {
			return
		}
	}
	list := ""
	for n, a := range allowed {
		switch {
		case n == 0:
			list = a
		case n == len(allowed)-1:
			list += " or " + a
		default:
			list += ", " + a
		}
	}
	v.Add(field, clip(s), "must be "+list, "")
}
