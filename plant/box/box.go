// Package box turns a box's inside size into its blank. Inside, outside, blank
// and folded-flat sizes are types of their own: none can stand for another.
package box

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// Style is a code of the international fibreboard case code, as printed: "0201".
type Style string

// Inside is the size a box offers its contents: length ≥ width at the opening, then height.
type Inside struct {
	Length quantity.Length `json:"length_mm"`
	Width  quantity.Length `json:"width_mm"`
	Height quantity.Length `json:"height_mm"`
}

// Outside is the size of the erected box as it stands on a pallet.
type Outside struct {
	Length quantity.Length `json:"length_mm"`
	Width  quantity.Length `json:"width_mm"`
	Height quantity.Length `json:"height_mm"`
}

// FoldedFlat is the knocked-down size of a glued box, or the size of a flat sheet.
type FoldedFlat struct {
	Length quantity.Length `json:"length_mm"`
	Width  quantity.Length `json:"width_mm"`
}

// Allowance is what board thickness and scoring add to the inside size for one
// flute: data of the plant, corrected from measured boxes, with author and date.
type Allowance struct {
	Flute         ident.Flute     `json:"flute"`
	PanelAdd      quantity.Length `json:"panel_add_mm"`
	LastPanelLess quantity.Length `json:"last_panel_less_mm"`
	DepthAdd      quantity.Length `json:"depth_add_mm"`
	FlapAdd       quantity.Length `json:"flap_add_mm"`
	TrayWallAdd   quantity.Length `json:"tray_wall_add_mm"`
	SlotWidth     quantity.Length `json:"slot_width_mm"`
	GlueLap       quantity.Length `json:"glue_lap_mm"`
	LidClearance  quantity.Length `json:"lid_clearance_mm"`
	Caliper       quantity.Length `json:"caliper_mm"`     // nominal board thickness for outside sizes
	RoundUpTo     quantity.Length `json:"round_up_to_mm"` // the plant's step: 1 mm, 1/16 in = 1.5875 mm
	Author        string          `json:"author,omitempty"`
	Since         time.Time       `json:"since,omitzero"`
}

// Sheet is what the corrugator cuts: chop along the web, slit across it, and
// the corrugator scores as positions from one slit edge, rising.
type Sheet struct {
	Chop   quantity.Length   `json:"chop_mm"`
	Slit   quantity.Length   `json:"slit_mm"`
	Scores []quantity.Length `json:"scores_mm,omitempty"`
}

// Area returns chop × slit.
func (s Sheet) Area() quantity.Area { return quantity.Area(s.Chop.Metres() * s.Slit.Metres()) }
