// Package rolls sets the paper that runs need against the paper in the house,
// ply by ply and width by width, and says what is short, when, and which
// delivery ends it.
package rolls

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// PlyNeed is what one run draws for one ply.
type PlyNeed struct {
	Run    int               `json:"run"`
	Ply    int               `json:"ply"` // 1 is the outside
	Stand  string            `json:"stand"`
	Paper  ident.Paper       `json:"paper"`
	Web    quantity.Length   `json:"web_mm"`
	Metres quantity.Distance `json:"length_m"` // take-up and change losses in it
	Mass   quantity.Mass     `json:"mass_kg"`
	Rolls  []RollUse         `json:"rolls,omitempty"`
}

// RollUse is the metres that one named roll, or a delivery, gives to a run's ply.
type RollUse struct {
	Roll   ident.Roll        `json:"roll,omitempty"`         // a roll in the house
	Truck  string            `json:"inbound,omitempty"`      // or a delivery not yet here
	Nth    int               `json:"inbound_roll,omitempty"` // which of the delivery's rolls, from 1
	At     quantity.Distance `json:"at_m,omitempty"`         // of the run's web, its change losses first
	Metres quantity.Distance `json:"length_m"`
	Splice bool              `json:"splice,omitempty"`     // spliced in behind another roll
	From   string            `json:"from_stand,omitempty"` // the other stand that it stood on before in this plan
}

// Rest is what a roll of the plan has left when the plan is through with it.
type Rest struct {
	Roll   ident.Roll        `json:"roll,omitempty"`
	Truck  string            `json:"inbound,omitempty"`
	Nth    int               `json:"inbound_roll,omitempty"`
	Paper  ident.Paper       `json:"paper"`
	Web    quantity.Length   `json:"web_mm"`
	After  int               `json:"after_run"` // the last run that draws on it
	Stand  string            `json:"stand,omitempty"`
	Left   quantity.Distance `json:"left_m"`
	Fate   Fate              `json:"fate"`
	Worth  quantity.Money    `json:"worth"` // as paper
	Splice int               `json:"splices,omitempty"`
}

// Fate is what becomes of a rest.
type Fate string

const (
	UsedUp  Fate = "used up"
	OnStand Fate = "on the stand" // to the next plan
	Keep    Fate = "keep"         // back to its place
	Strip   Fate = "strip"        // to waste: handling it again costs more than it is worth
)

// Position is one paper at one width: need against stock.
type Position struct {
	Paper    ident.Paper       `json:"paper"`
	Web      quantity.Length   `json:"web_mm"`
	Need     quantity.Distance `json:"need_m"`
	NeedMass quantity.Mass     `json:"need_kg"`
	House    quantity.Distance `json:"house_m"` // usable, not on hold
	Held     quantity.Distance `json:"held_m"`
	Inbound  quantity.Distance `json:"inbound_m"`
	Short    quantity.Distance `json:"short_m"`             // need that the house alone does not cover
	ShortRun int               `json:"short_run,omitempty"` // the first run that the house does not cover
	ShortAt  time.Time         `json:"short_at,omitzero"`   // when that run starts
	EndedBy  *Truck            `json:"ended_by,omitempty"`  // the delivery that ends the shortage, if any does
	Note     string            `json:"note,omitempty"`
}

// Truck is an expected delivery.
type Truck struct {
	ID     string            `json:"inbound"`
	ETA    time.Time         `json:"eta"`
	Metres quantity.Distance `json:"length_m"`
	InTime bool              `json:"in_time"` // before the first uncovered run starts
}

// Answer is the paper side of a plan. Positions come shortages first.
type Answer struct {
	Needs     []PlyNeed         `json:"needs"`
	Positions []Position        `json:"positions"`
	Uncovered quantity.Distance `json:"uncovered_m"` // of all plies, by rolls in the house or in time

	Rests   []Rest         `json:"rests,omitempty"`
	Splices int            `json:"splices"`
	Mounts  int            `json:"mounts"`        // rolls brought to a stand
	Cost    quantity.Money `json:"handling_cost"` // of mounts, rests brought back, splices and strips

	LeastUncovered quantity.Distance `json:"least_uncovered_m"` // no naming of rolls leaves less
	LeastCost      quantity.Money    `json:"least_handling_cost"`
	Status         Status            `json:"status"`
}
