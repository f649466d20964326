// Package trucks stands finished units on trailers: which releases travel
// together to one dock, on which trailer, where each unit stands on its floor.
package trucks

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/load"
)

const (
	// gap is left before each row of units: decks stand never quite close
	// (common practice, no published source).
	gap = 10 * quantity.Millimetre
	// headroom is left over the highest unit for the fork to lift it
	// (common practice, no published source).
	headroom = 50 * quantity.Millimetre
)

// What keeps a unit off a trailer.
const (
	limitHeight = "height"
	limitMass   = "mass"
	limitFloor  = "floor"
)

// Problem is what is to leave. It is not changed.
type Problem struct {
	Parcels  []Parcel
	Trailers []load.Trailer
	Zone     *time.Location // of the plant: a truck carries what is due on one day; nil: UTC
}

// Parcel is one release's units, alike but for the last.
type Parcel struct {
	Release  ident.Release
	Customer ident.Customer
	ShipTo   string
	Ready    time.Time // loaded, could leave the gate
	Leave    time.Time // must have left the gate by then
	Units    int
	Length   quantity.Length // footprint, overhang in it
	Width    quantity.Length
	Height   quantity.Length // with pallet
	Mass     quantity.Mass   // of a full unit, gross
	LastMass quantity.Mass   // of the last unit; 0: as the others
	Kit      string          // parcels of one name are used together, and travel so where they can; "" is part of none
}

// Truck is one trailer's trip to one dock.
type Truck struct {
	Number   int             `json:"truck"` // from 1, by the time it leaves
	Customer ident.Customer  `json:"customer"`
	ShipTo   string          `json:"ship_to,omitempty"`
	Trailer  string          `json:"trailer"`
	Leaves   time.Time       `json:"leaves"` // when its last part is loaded
	Latest   time.Time       `json:"latest"` // must have left by then
	Parts    []Part          `json:"parts"`
	Units    int             `json:"units"`
	Mass     quantity.Mass   `json:"mass_kg"`
	Floor    quantity.Length `json:"floor_mm"` // trailer length that is stood on
	Places   []Place         `json:"places"`
}

// Part is units of one release on a truck, From counting from 1.
type Part struct {
	Release ident.Release `json:"release"`
	From    int           `json:"from"`
	Units   int           `json:"units"`
	Kit     string        `json:"kit,omitempty"` // parts of one name are used together
}

// Place is where a unit stands: corner from the front wall and the left side.
type Place struct {
	Release ident.Release   `json:"release"`
	Unit    int             `json:"unit"` // of the release, from 1
	X       quantity.Length `json:"x_mm"` // from the front wall
	Y       quantity.Length `json:"y_mm"`
	Turned  bool            `json:"turned"` // its length lies across the trailer
}

// Left is what no trailer takes, with the limit of the largest.
type Left struct {
	Release ident.Release   `json:"release"`
	Units   int             `json:"units"`
	Limit   string          `json:"limit"` // height, mass or floor
	Trailer string          `json:"trailer"`
	Height  quantity.Length `json:"height_mm"` // of a unit, with what it needs to be lifted
	Mass    quantity.Mass   `json:"mass_kg"`
	Length  quantity.Length `json:"length_mm"`
	Width   quantity.Length `json:"width_mm"`
}

// Words says in the plant's units why no trailer takes it.
func (l Left) Words(f quantity.Format, t load.Trailer) string {
	switch l.Limit {
	case limitHeight:
		return "a unit needs " + f.Length(l.Height) + " " + f.LengthUnit() + " of height to be lifted; trailer " + l.Trailer + " has " + f.Length(t.Height)
	case limitMass:
		return "a unit weighs " + f.Mass(l.Mass) + " " + f.MassUnit() + "; trailer " + l.Trailer + " bears " + f.Mass(t.Payload)
	}
	return "a unit of " + f.Length(l.Length) + " × " + f.Length(l.Width) + " " + f.LengthUnit() + " does not stand in trailer " + l.Trailer
}

// Answer is the shipping side of a plan.
type Answer struct {
	Trucks []Truck `json:"trucks"`
	Left   []Left  `json:"left,omitempty"`
	Bound  int     `json:"bound"` // trucks at least, by floor and mass to each dock, whatever the times
	Status Status  `json:"status"`
}

// Status says how good the answer is known to be.
type Status string

const (
	Optimal Status = "optimal" // as many trucks as the bound
	Filled  Status = "filled"  // in order of time, each as full as it gets
)
