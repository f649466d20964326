package box

import (
	"github.com/flutewright/flutewright/base/quantity"
)

// Warning is a size that a blank may have but that a machine or the closing of
// the box is unlikely to like.
type Warning struct {
	Field string          `json:"field"`
	Value quantity.Length `json:"value_mm"`
	Limit quantity.Length `json:"limit_mm"`
	Why   string          `json:"why"`
}

// Text is one sentence in f's unit.
func (w Warning) Text(f quantity.Format) string {
	return w.Field + " " + f.Length(w.Value) + " " + f.LengthUnit() + " is under " + f.Length(w.Limit) + " " + f.LengthUnit() + ": " + w.Why
}

// Limits below which a blank is warned about: common practice, no published
// source; a machine's own limits rule.
const (
	flapForFolding = 40 * quantity.Millimetre
	flapForSealing = 60 * quantity.Millimetre
	leastPanel     = 90 * quantity.Millimetre
	leastDepth     = 40 * quantity.Millimetre
	leastOverlap   = 25 * quantity.Millimetre
)

// Warnings lists what common practice has against the blank; empty for plain sheets.
func (b Blank) Warnings() []Warning {
	var out []Warning
	under := func(field string, value, limit quantity.Length, why string) bool {
		if value >= limit {
			return false
		}
		out = append(out, Warning{field, value, limit, why})
		return true
	}
	if b.OuterFlap > 0 {
		flap := min(b.OuterFlap, b.InnerFlap)
		if !under("flap", flap, flapForFolding, "too short for machine folding") {
			under("flap", flap, flapForSealing, "too short for automatic sealing")
		}
		under("depth between flap scores", b.Depth, leastDepth, "the slotter heads may not come that close")
	}
	if len(b.Panels) == 5 {
		under("panel", min(b.Panels[1], b.Panels[2], b.Panels[3], b.Panels[4]), leastPanel, "narrower than most folder-gluers take")
	}
	if b.Style == "0202" {
		under("overlap", b.Overlap, leastOverlap, "less than the usual smallest overlap")
	}
	return out
}
