// Package loads turns finished boxes into bundles, layers and unit loads.
package loads

import (
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// Load is how one release stands on pallets.
type Load struct {
	Release       ident.Release   `json:"release"`
	Pallet        ident.Pallet    `json:"pallet"`
	Boxes         int             `json:"boxes"`
	PerBundle     int             `json:"boxes_per_bundle"`
	BundleLength  quantity.Length `json:"bundle_length_mm"`
	BundleWidth   quantity.Length `json:"bundle_width_mm"`
	BundleHeight  quantity.Length `json:"bundle_height_mm"`
	BundleMass    quantity.Mass   `json:"bundle_mass_kg"`
	Bundles       int             `json:"bundles"`    // full ones
	OddBundle     int             `json:"odd_bundle"` // boxes in the last, odd bundle; 0: none
	PerLayer      int             `json:"bundles_per_layer"`
	PerLayerBound int             `json:"bundles_per_layer_bound"`
	Agreed        bool            `json:"agreed"` // the item's agreed pattern
	Layers        int             `json:"layers"`
	PerUnit       int             `json:"boxes_per_unit"`
	Units         int             `json:"units"`
	LastUnit      int             `json:"last_unit_boxes"`
	UnitHeight    quantity.Length `json:"unit_height_mm"` // with pallet
	UnitMass      quantity.Mass   `json:"unit_mass_kg"`   // gross
	Overhang      quantity.Length `json:"overhang_mm"`    // largest, per side
	Layer         []Place         `json:"layer"`
	Warnings      []string        `json:"warnings,omitempty"`
	Refusal       string          `json:"refusal,omitempty"` // why no unit can be built, and what would free it
}

// Place is one bundle of a layer, its corner from the deck's corner (negative: overhang).
type Place struct {
	X      quantity.Length `json:"x_mm"`
	Y      quantity.Length `json:"y_mm"`
	Turned bool            `json:"turned"`
}
