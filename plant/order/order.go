// Package order holds what customers want: items (the specification of a box,
// kept over years), and order lines with their releases (how many, when, where).
package order

import (
	"math"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/box"
)

// Customer is who orders.
type Customer struct {
	Code          ident.Customer    `json:"customer"`
	Name          string            `json:"name"`
	Road          quantity.Distance `json:"road_m"` // plant gate to the customer's dock
	OverPct       float64           `json:"over_pct"`
	UnderPct      float64           `json:"under_pct"`
	UnitMaxHeight quantity.Length   `json:"unit_max_height_mm,omitempty"` // with pallet
	Pallet        ident.Pallet      `json:"pallet,omitempty"`
	Overhang      quantity.Length   `json:"overhang_mm,omitempty"` // agreed, per side
	CaseErector   bool              `json:"case_erector,omitempty"`
	Receives      []Receiving       `json:"receives,omitempty"` // hours at the dock; none: at any hour
	ClosedDays    []string          `json:"closed,omitempty"`   // local dates, 2006-01-02, on which the dock is shut
	Note          string            `json:"note,omitempty"`
}

// Receiving is when a customer's dock takes deliveries on some days of the week.
type Receiving struct {
	Days  []string `json:"days"`  // Mon … Sun
	From  string   `json:"from"`  // "07:00", local
	Until string   `json:"until"` // "15:00"
}

// Item is a box's specification. A stated Sheet is approved and is never recomputed.
type Item struct {
	Code            ident.Item      `json:"item"`
	Revision        int             `json:"revision"`
	Description     string          `json:"description,omitempty"`
	Customer        ident.Customer  `json:"customer,omitempty"`
	Style           box.Style       `json:"style"`
	Inside          box.Inside      `json:"inside"`
	Overlap         quantity.Length `json:"overlap_mm,omitempty"`
	Sheet           *box.Sheet      `json:"sheet,omitempty"` // approved sheet; nil: by formula
	PiecesPerSheet  int             `json:"pieces_per_sheet"`
	PieceArea       quantity.Area   `json:"piece_area_m2,omitempty"` // of one piece as the die leaves it; 0: not known
	Grade           ident.Grade     `json:"grade"`
	UpgradeAllowed  bool            `json:"upgrade_allowed,omitempty"` // by default not
	Adhesive        string          `json:"adhesive,omitempty"`        // recipe; "" takes any
	Colours         int             `json:"colours"`
	PrintSide       string          `json:"print_side,omitempty"` // outside, inside, none
	Joint           string          `json:"joint,omitempty"`      // glued, stitched, taped, none
	Plate           ident.Plate     `json:"plate,omitempty"`
	Die             ident.Die       `json:"die,omitempty"`
	Route           []ident.Machine `json:"route,omitempty"` // agreed converting machines in order; empty: by rule
	BoxesPerBundle  int             `json:"boxes_per_bundle,omitempty"`
	BundlesPerLayer int             `json:"bundles_per_layer,omitempty"` // agreed pattern; 0: computed
	LayersPerUnit   int             `json:"layers_per_unit,omitempty"`   // agreed; 0: computed
	Pallet          ident.Pallet    `json:"pallet,omitempty"`            // "" : the customer's
	BundleSize      *box.FoldedFlat `json:"bundle_size_mm,omitempty"`    // footprint of a bundle; nil: by formula
	Kit             []ident.Item    `json:"kit,omitempty"`               // parts delivered with this item
	PiecesPerKit    int             `json:"pieces_per_kit,omitempty"`    // of this part in one kit
	Stacking        *StackingDuty   `json:"stacking,omitempty"`
	StockLeast      int             `json:"stock_least,omitempty"` // boxes kept in stock; 0: made to order
	StockMost       int             `json:"stock_most,omitempty"`  // filled up to; 0: to the least
	StockDays       int             `json:"stock_days,omitempty"`  // calendar days in which it is filled up; 0: DefaultStockDays
	Note            string          `json:"note,omitempty"`
}

// StackingDuty is what the filled box must stand.
type StackingDuty struct {
	GrossMass        quantity.Mass `json:"gross_mass_kg"` // one filled box
	BoxesHigh        int           `json:"boxes_high"`
	StorageDays      float64       `json:"storage_days"`
	HumidityPct      float64       `json:"humidity_pct"`
	ContentsCarryPct float64       `json:"contents_carry_pct"`    // share of the load the contents bear
	Arrangement      string        `json:"arrangement,omitempty"` // column (default), column misaligned, interlocked
}

// Dock says where a due time counts.
type Dock string

const (
	AtGate Dock = "gate" // leaves the plant's gate
	AtDock Dock = "dock" // stands at the customer's dock
)

// Line is one release of an order line: the unit of planning.
type Line struct {
	Key          ident.Release  `json:"key"`
	Customer     ident.Customer `json:"customer"`
	Item         ident.Item     `json:"item"`
	Quantity     int            `json:"quantity"` // boxes, or pieces
	UnderPct     float64        `json:"under_pct"`
	OverPct      float64        `json:"over_pct"`
	Due          time.Time      `json:"due"`
	DueAt        Dock           `json:"due_at"`
	ShipTo       string         `json:"ship_to,omitempty"`
	PricePer1000 quantity.Money `json:"price_per_1000,omitempty"`
	Priority     int            `json:"priority,omitempty"` // 1 first
	State        LineState      `json:"state"`
	Kind         LineKind       `json:"kind,omitempty"`
	Closes       bool           `json:"closes,omitempty"`   // the last call-off of its blanket order
	ToStock      bool           `json:"to_stock,omitempty"` // closed, and what it leaves belongs to the item's stock
	Taken        []Allotment    `json:"taken,omitempty"`    // made goods given to it by other lines
	Given        []Allotment    `json:"given,omitempty"`    // made goods it gave to other lines
	Parent       string         `json:"parent,omitempty"`   // a re-make's parent key; it takes its parent's truck
	Cause        string         `json:"cause,omitempty"`    // why it is made again
	Cost         quantity.Money `json:"cost,omitempty"`     // what making it again costs, as worked out then
	Note         string         `json:"note,omitempty"`
}

// LineState is what people decided about a line; progress is derived from facts, never stored.
type LineState string

const (
	Open   LineState = "open"
	OnHold LineState = "on hold"
	Closed LineState = "closed" // shipped, or cut by the customer
)

// LineKind is what a line is for.
type LineKind string

const (
	Ordinary LineKind = ""        // boxes for a customer; a call-off where its order line has a blanket
	Blanket  LineKind = "blanket" // a total that releases of the same order and line call off; never made itself
	ForStock LineKind = "stock"   // fills up an item's stock
)

// Allotment is made goods that belong to another line than the one they were made for.
type Allotment struct {
	Other ident.Release `json:"other"`
	Boxes int           `json:"boxes"`
	By    string        `json:"by"` // who decided
	At    time.Time     `json:"at"`
}

// DefaultStockDays is how long the filling up of a stock may take where the
// item states nothing (common practice, no published source).
const DefaultStockDays = 7

// Least returns the fewest boxes that close the line, rounded up.
func (l Line) Least() int { return int(math.Ceil(float64(l.Quantity)*(1-l.UnderPct/100) - 1e-9)) }

// Most returns the most boxes that the customer takes, rounded down.
func (l Line) Most() int { return int(math.Floor(float64(l.Quantity)*(1+l.OverPct/100) + 1e-9)) }

// Net returns the boxes that others gave to the line less those it gave away.
func (l Line) Net() int {
	n := 0
	for _, a := range l.Taken {
		n += a.Boxes
	}
	for _, a := range l.Given {
		n -= a.Boxes
	}
	return n
}
