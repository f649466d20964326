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

// Purchase says how far a delivery is.
type Purchase string

const (
	Called    Purchase = "called"    // called off, and the supplier has not said yes
	Confirmed Purchase = "confirmed" // the supplier has; so has one that states nothing
	Cancelled Purchase = "cancelled" // nothing comes
)

// Inbound is a delivery on its way. One that is called off counts as confirmed
// does, from its expected hour on; one that is cancelled does not count.
type Inbound struct {
	ID         string            `json:"inbound"`
	ETA        time.Time         `json:"eta"`
	Paper      ident.Paper       `json:"paper"`
	Width      quantity.Length   `json:"width_mm"`
	Rolls      int               `json:"rolls"`
	LengthEach quantity.Distance `json:"length_each_m"`
	Supplier   string            `json:"supplier,omitempty"`
	State      Purchase          `json:"state,omitempty"`
	Number     string            `json:"order_number,omitempty"` // the supplier's
	Called     time.Time         `json:"called,omitzero"`
	CalledBy   string            `json:"called_by,omitempty"`
}

// Known reports whether a state is one of those there are.
func (p Purchase) Known() bool {
	return p == "" || p == Called || p == Confirmed || p == Cancelled
}

// Metres returns the paper of the whole delivery.
func (i Inbound) Metres() quantity.Distance { return quantity.Distance(i.Rolls) * i.LengthEach }
