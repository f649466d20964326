// Package plant is the whole of what is stated: the plant itself, and the book
// of customers, items, order lines and paper. Its parts are the packages below
// it, in the order of the material's way.
package plant

import (
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/corrugator"
	"github.com/flutewright/flutewright/plant/load"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
	"github.com/flutewright/flutewright/plant/trace"
)

// Plant is a plant's fixed data: what PLANT.json holds.
type Plant struct {
	Name        string                `json:"name"`
	Display     Display               `json:"display"`
	Calendar    calendar.Calendar     `json:"calendar"`
	Corrugator  corrugator.Corrugator `json:"corrugator"`
	Machines    []convert.Machine     `json:"machines"`
	Papers      []board.Paper         `json:"papers"`
	Flutes      []board.Flute         `json:"flutes"`
	Allowances  []box.Allowance       `json:"allowances"`
	Grades      []board.Grade         `json:"grades"`
	Pallets     []load.Pallet         `json:"pallets"`
	Trailers    []load.Trailer        `json:"trailers,omitempty"`
	Cure        Cure                  `json:"cure"`
	Dispatch    Dispatch              `json:"dispatch"`
	Prices      Prices                `json:"prices"`
	Tools       []Tool                `json:"tools,omitempty"`
	Stops       []Stop                `json:"stops,omitempty"`
	Adhesives   []string              `json:"adhesives,omitempty"` // recipes; the first is the standard
	Tags        TagRule               `json:"tags"`
	FloorLanes  []FloorLane           `json:"floor_lanes,omitempty"` // where sheets stand; none: not limited
	Crews       []Crew                `json:"crews,omitempty"`       // none: every manned machine has its own
	Overtime    Overtime              `json:"overtime,omitzero"`
	Freezes     []Freeze              `json:"freezes,omitempty"`
	Supplies    []Supply              `json:"supplies,omitempty"`
	Substitutes []Substitute          `json:"substitutes,omitempty"`
}

// FloorLane is one lane of the sheet floor.
type FloorLane struct {
	Lane   string            `json:"lane"`
	Length quantity.Distance `json:"length_m"`
	Along  string            `json:"along,omitempty"`  // which size of a sheet lies along the lane: chop (default) or slit, with its piles one behind the other
	Gap    quantity.Length   `json:"gap_mm,omitempty"` // kept between stacks
}

// Crew says how many converting machines a shift can man at once.
type Crew struct {
	Shift string          `json:"shift"`
	Crews int             `json:"crews"`
	Can   []ident.Machine `json:"can,omitempty"` // machines they can run; none: all
}

// Overtime is what hours beyond the shifts cost, and how many there may be a day.
type Overtime struct {
	PerHour quantity.Money   `json:"per_h,omitempty"` // on top of the machine's own cost
	Most    quantity.Minutes `json:"most_min,omitempty"`

	Corrugator quantity.Money `json:"corrugator_per_h,omitempty"` // the same of the corrugator's crew; 0: it works none
}

// Freeze is how far ahead the plan of an area is left alone.
type Freeze struct {
	Area    string           `json:"area"` // corrugator, a machine, trucks
	Minutes quantity.Minutes `json:"minutes"`
	Owner   string           `json:"owner,omitempty"` // who must agree to break it
}

// Supply is where a paper is bought.
type Supply struct {
	Paper     ident.Paper      `json:"paper"`
	Supplier  string           `json:"supplier"`
	Lead      quantity.Minutes `json:"lead_min"`              // call-off to gate, wall time
	CallOffBy string           `json:"call_off_by,omitempty"` // hour of the day, 12:00: calls after it count for the next day
	Truckload quantity.Mass    `json:"truckload_kg,omitempty"`
	CoverDays float64          `json:"cover_days,omitempty"` // 0 to 60 days of the plan's own use to keep behind it; 0: only shortages are called off
}

// Substitute lets one paper stand in for another.
type Substitute struct {
	For    ident.Paper       `json:"for"`
	Use    ident.Paper       `json:"use"`
	Plies  []int             `json:"plies,omitempty"` // 1 is the outside; none: any
	Widths []quantity.Length `json:"widths_mm,omitempty"`
	Grades []ident.Grade     `json:"grades,omitempty"` // none: any
	Items  []ident.Item      `json:"items,omitempty"`  // none: any
	Note   string            `json:"note,omitempty"`
}

// Display is how values are shown and typed; it never changes what is stored.
type Display struct {
	Units     string `json:"units"`                // metric, us
	InchParts int    `json:"inch_parts,omitempty"` // 16, 32 or 64
	Currency  string `json:"currency"`
	Page      string `json:"page"`            // A4, Letter
	Dates     string `json:"dates,omitempty"` // ymd, dmy, mdy
}

// Cure is how long board waits before converting, in wall time.
type Cure struct {
	SingleWall quantity.Minutes `json:"single_wall_min"`
	DoubleWall quantity.Minutes `json:"double_wall_min"`
	White      quantity.Minutes `json:"white_min"`
	FloorMax   quantity.Minutes `json:"floor_max_min"` // sheets older than this are flagged
}

// Dispatch is what lies between the last machine and the customer's dock.
type Dispatch struct {
	LoadForming quantity.Minutes `json:"load_forming_min"`
	Loading     quantity.Minutes `json:"loading_min"`
	RoadSpeed   quantity.Speed   `json:"road_speed_m_min"` // average
}

// Prices that several stations share.
type Prices struct {
	WasteCreditPerTonne quantity.Money `json:"waste_credit_per_t"`
	LatePctPerDay       float64        `json:"late_pct_per_day"`    // of the order's value
	LateEach            quantity.Money `json:"late_each,omitempty"` // of each late delivery, however short: the truck that is missed
	UpgradeExtraPct     float64        `json:"upgrade_extra_pct,omitempty"`
	DefaultPer1000      quantity.Money `json:"default_price_per_1000,omitempty"` // where a line states none
}

// Tool is a plate or a die with its wear and condition.
type Tool struct {
	ID        string    `json:"tool"`
	Kind      string    `json:"kind"` // print plate, cutting die
	Colours   int       `json:"colours,omitempty"`
	Ups       int       `json:"ups,omitempty"`
	Hits      int       `json:"hits"`
	Limit     int       `json:"limit"`
	Strict    bool      `json:"strict,omitempty"` // no job may take it past Limit; otherwise that is a warning
	Away      bool      `json:"away,omitempty"`
	BackAt    time.Time `json:"back_at,omitzero"`
	Condition string    `json:"condition,omitempty"`
}

// Stop is a time a machine does not run.
type Stop struct {
	Machine ident.Machine `json:"machine"`
	From    time.Time     `json:"from"`
	Until   time.Time     `json:"until"`
	Cause   string        `json:"cause,omitempty"`
}

// TagRule is how units are numbered: a GS1 company prefix, or an own number range.
type TagRule struct {
	GS1Prefix string `json:"gs1_prefix,omitempty"`
	Extension int    `json:"extension,omitempty"`
	OwnPrefix string `json:"own_prefix,omitempty"` // e.g. "U", used without a GS1 prefix
	Next      int64  `json:"next"`
}

// Book is everything a plan starts from: the plant, who wants what, the paper,
// and what the ledger says has been done. It is a snapshot and is not changed.
type Book struct {
	Plant     Plant                              `json:"plant"`
	Customers []order.Customer                   `json:"customers"`
	Items     []order.Item                       `json:"items"`
	Lines     []order.Line                       `json:"lines"`
	Rolls     []roll.Roll                        `json:"rolls"`
	Inbound   []roll.Inbound                     `json:"inbound,omitempty"`
	Done      map[ident.Release]trace.Quantities `json:"done,omitempty"`
	Floor     trace.Floor                        `json:"floor,omitzero"`
}
