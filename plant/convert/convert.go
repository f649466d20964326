// Package convert is about the machines that turn sheets into boxes: what each
// can make, which way up it wants the sheet, and what set-up and running lose.
package convert

import (
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// Kind of a converting machine.
type Kind string

const (
	FolderGluer          Kind = "folder-gluer"
	DieCutter            Kind = "rotary die cutter"
	SpecialtyFolderGluer Kind = "specialty folder-gluer"
)

// FeedSize is a sheet as a machine sees it: across it, and in feed direction.
type FeedSize struct {
	Across quantity.Length `json:"across_mm"`
	Feed   quantity.Length `json:"feed_mm"`
}

// Machine is one converting machine.
type Machine struct {
	Code        ident.Machine   `json:"machine"`
	Kind        Kind            `json:"kind"`
	Note        string          `json:"note,omitempty"`
	Max         FeedSize        `json:"max_sheet"` // zero: no limit
	Min         FeedSize        `json:"min_sheet"`
	MinPanel    quantity.Length `json:"min_panel_mm,omitempty"`
	MaxColours  int             `json:"max_colours"`
	PrintsBelow bool            `json:"prints_below"` // prints the sheet's lower face
	Flutes      []ident.Flute   `json:"flutes,omitempty"`
	PlanSpeed   float64         `json:"plan_speed_per_h"` // sheets fed an hour, planned net
	SetUp       SetUp           `json:"set_up"`
	Loss        Loss            `json:"loss"`
	CostPerHour quantity.Money  `json:"cost_per_h"`
	MinOrder    int             `json:"min_order,omitempty"`
	Crew        int             `json:"crew,omitempty"`
	Shifts      []string        `json:"shifts"` // shifts with a crew; none: not manned
}

// SetUp is the time from the last good piece of one job to the first of the next.
type SetUp struct {
	Base        quantity.Minutes `json:"base_min"`
	PerColour   quantity.Minutes `json:"per_colour_min,omitempty"`
	SlotShift   quantity.Minutes `json:"slot_shift_min,omitempty"`
	FluteChange quantity.Minutes `json:"flute_change_min,omitempty"`
	DieChange   quantity.Minutes `json:"die_change_min,omitempty"`
}

// Loss is what a job wastes on the machine, in sheets fed.
type Loss struct {
	SetUpSheets     int     `json:"set_up_sheets"`
	PerColourSheets int     `json:"per_colour_sheets,omitempty"`
	RunningPct      float64 `json:"running_pct"`
}
