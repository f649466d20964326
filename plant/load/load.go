// Package load is about bundles, layers and unit loads on pallets and trailers.
package load

import (
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// Pallet is a deck that units stand on.
type Pallet struct {
	Code    ident.Pallet    `json:"pallet"`
	Length  quantity.Length `json:"length_mm"`
	Width   quantity.Length `json:"width_mm"`
	Height  quantity.Length `json:"height_mm"`
	Mass    quantity.Mass   `json:"mass_kg"`
	MaxLoad quantity.Mass   `json:"max_load_kg"`
	Price   quantity.Money  `json:"price,omitempty"`
}

// Trailer is a truck's inside.
type Trailer struct {
	Code    string          `json:"trailer"`
	Length  quantity.Length `json:"length_mm"`
	Width   quantity.Length `json:"width_mm"`
	Height  quantity.Length `json:"height_mm"`
	Payload quantity.Mass   `json:"payload_kg"`
}
