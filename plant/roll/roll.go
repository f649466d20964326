// Package roll is about paper rolls: how much is on them and where they stand.
package roll

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// Roll is one roll in the house.
type Roll struct {
	ID          ident.Roll        `json:"roll"`
	Paper       ident.Paper       `json:"paper"`
	Width       quantity.Length   `json:"width_mm"`
	Diameter    quantity.Length   `json:"diameter_mm,omitempty"`
	Core        quantity.Length   `json:"core_mm,omitempty"`
	Length      quantity.Distance `json:"length_m"` // what is left
	Mass        quantity.Mass     `json:"mass_kg,omitempty"`
	Butt        bool              `json:"butt,omitempty"` // a rest roll
	MoisturePct float64           `json:"moisture_pct,omitempty"`
	Received    time.Time         `json:"received,omitzero"`
	Location    string            `json:"location,omitempty"`
	Stand       string            `json:"stand,omitempty"` // mounted there
	Hold        bool              `json:"hold,omitempty"`
	HoldReason  string            `json:"hold_reason,omitempty"`
}

// Inbound is a delivery on its way.
type Inbound struct {
	ID         string            `json:"inbound"`
	ETA        time.Time         `json:"eta"`
	Paper      ident.Paper       `json:"paper"`
	Width      quantity.Length   `json:"width_mm"`
	Rolls      int               `json:"rolls"`
	LengthEach quantity.Distance `json:"length_each_m"`
	Supplier   string            `json:"supplier,omitempty"`
}

// Metres returns the paper of the whole delivery.
func (i Inbound) Metres() quantity.Distance { return quantity.Distance(i.Rolls) * i.LengthEach }
