package box

import (
	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
)

// MaxInside is beyond any box of this trade: a larger size is a slip of the keys or of the unit.
const MaxInside = 6000 * quantity.Millimetre

// NewInside returns the inside size of a box, or all violations: each side
// positive and at most MaxInside, the length not less than the width.
func NewInside(length, width, height quantity.Length) (Inside, error) {
	in := Inside{length, width, height}
	var v fault.Violations
	in.sides(&v, true)
	v.Require(length >= width, "length", length.String(), "must not be less than the width: the longer side of the opening comes first")
	if err := v.Err(); err != nil {
		return Inside{}, err
	}
	return in, nil
}

func (in Inside) sides(v *fault.Violations, withHeight bool) {
	side := func(name string, l quantity.Length) {
		v.Require(l > 0, name, l.String(), "must be more than 0")
		v.Require(l <= MaxInside, name, l.String(), "must be at most "+MaxInside.String())
	}
	side("length", in.Length)
	side("width", in.Width)
	if withHeight {
		side("height", in.Height)
	}
}

// checkFor judges the size for one style. A sheet has no height, and its two
// sides say which is chop and which is slit; a sleeve's length is its axis.
func (in Inside) checkFor(s Style) error {
	var v fault.Violations
	switch s {
	case "0110":
		in.sides(&v, false)
		v.Require(in.Height == 0, "height", in.Height.String(), "must be 0 or left out: a sheet has none")
		return v.Err()
	case "0501":
		in.sides(&v, true)
		return v.Err()
	}
	_, err := NewInside(in.Length, in.Width, in.Height)
	return err
}

// Perimeter returns 2 (length + width), the Z of compression formulas.
func (in Inside) Perimeter() quantity.Length { return 2 * (in.Length + in.Width) }

// NewAllowance returns a with RoundUpTo defaulting to 1 mm, or all its violations.
func NewAllowance(a Allowance) (Allowance, error) {
	if a.RoundUpTo == 0 {
		a.RoundUpTo = quantity.Millimetre
	}
	var v fault.Violations
	v.Require(a.Flute != "", "flute", "", "must be named")
	within := func(name string, l, most quantity.Length) {
		v.Require(l >= 0, name, l.String(), "must not be negative")
		v.Require(l <= most, name, l.String(), "must be at most "+most.String())
	}
	const mm = quantity.Millimetre
	within("panel_add", a.PanelAdd, 40*mm)
	within("last_panel_less", a.LastPanelLess, 20*mm)
	within("depth_add", a.DepthAdd, 80*mm)
	within("flap_add", a.FlapAdd, 20*mm)
	within("tray_wall_add", a.TrayWallAdd, 40*mm)
	within("slot_width", a.SlotWidth, 50*mm)
	within("glue_lap", a.GlueLap, 150*mm)
	within("lid_clearance", a.LidClearance, 50*mm)
	within("caliper", a.Caliper, 30*mm)
	v.Require(a.RoundUpTo > 0 && a.RoundUpTo <= 10*mm, "round_up_to", a.RoundUpTo.String(), "must be more than 0 and at most 10 mm")
	if err := v.Err(); err != nil {
		return Allowance{}, err
	}
	return a, nil
}
