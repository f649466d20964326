// Package jobs gives each order to the cheapest manned machine that can make
// it, sets the machines' sequences, and works the clock: when each run leaves
// the corrugator, when each job starts and ends, and what is late.
package jobs

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// RunTime is when one run stands on the corrugator.
type RunTime struct {
	Run       int              `json:"run"`
	Start     time.Time        `json:"start"`
	End       time.Time        `json:"end"`
	Minutes   quantity.Minutes `json:"run_min"`
	Change    quantity.Minutes `json:"change_min"`       // before it
	Speed     quantity.Speed   `json:"speed_m_min"`      // planned average
	SpeedWhy  string           `json:"speed_limit"`      // what limits it: flute, knife, set-up rule, …
	ChangeWhy string           `json:"change,omitempty"` // flute change, wall change, adhesive change
}

// Job is one order on one converting machine.
type Job struct {
	Release     ident.Release    `json:"release"`
	Step        int              `json:"step"` // 1 is the first converting step
	Machine     ident.Machine    `json:"machine"`
	Seq         int              `json:"seq"`    // on the machine
	Sheets      int              `json:"sheets"` // fed
	Pieces      int              `json:"pieces"` // good pieces expected
	SetUp       quantity.Minutes `json:"set_up_min"`
	Run         quantity.Minutes `json:"run_min"`
	SheetsAt    time.Time        `json:"sheets_at"` // cured and on the floor
	Start       time.Time        `json:"start"`
	End         time.Time        `json:"end"`
	LatestStart time.Time        `json:"latest_start"`
	Turn        bool             `json:"turn"`                // stack must be turned over before feeding
	Cost        quantity.Money   `json:"cost"`                // set-up and run; sheets lost are paid for with the board
	WaitsFor    string           `json:"waits_for,omitempty"` // sheets, crew, plate PL-0802, machine, …
	Why         string           `json:"why,omitempty"`       // why this machine
	Begun       bool             `json:"begun,omitempty"`     // in progress: no second set-up
	Frozen      bool             `json:"frozen,omitempty"`    // inside the machine's freeze
	Overtime    quantity.Minutes `json:"overtime_min,omitempty"`
	Warning     string           `json:"warning,omitempty"` // tool near its limit
}

// Manning is a time for which a crew stands at a machine. It is stated where
// crews are fewer than machines, and for overtime.
type Manning struct {
	Machine  ident.Machine  `json:"machine"`
	Shift    string         `json:"shift"` // whose crew; overtime: the crew that stays on
	From     time.Time      `json:"from"`
	Until    time.Time      `json:"until"`
	Overtime bool           `json:"overtime,omitempty"`
	Cost     quantity.Money `json:"cost,omitempty"` // of overtime, on top of the machine's own
}

// Finish is the end of one release's way.
type Finish struct {
	Release     ident.Release    `json:"release"`
	MadeAt      time.Time        `json:"made_at,omitzero"` // last step done
	AtGate      time.Time        `json:"at_gate,omitzero"` // loaded, leaves the gate
	AtDock      time.Time        `json:"at_dock,omitzero"`
	Due         time.Time        `json:"due"`
	DueAt       string           `json:"due_at"`
	Late        quantity.Minutes `json:"late_min"`          // 0 when in time
	Float       quantity.Minutes `json:"float_min"`         // negative when late
	Overdue     bool             `json:"overdue,omitempty"` // was past due before planning
	LatestExit  time.Time        `json:"latest_exit"`       // last sheets off the corrugator by then, or it is late
	LatestPress time.Time        `json:"latest_press,omitzero"`
	WaitsFor    string           `json:"waits_for,omitempty"`
	LateCost    quantity.Money   `json:"late_cost"`
}

// Refusal is a release that no manned machine can make, with the limit that stops it.
type Refusal struct {
	Release ident.Release `json:"release"`
	Reason  string        `json:"reason"`
}

// Answer is the clock side of a plan.
type Answer struct {
	Runs     []RunTime      `json:"run_times"`
	Jobs     []Job          `json:"jobs"` // by machine, then seq
	Finishes []Finish       `json:"finishes"`
	Refused  []Refusal      `json:"refused,omitempty"`
	Manning  []Manning      `json:"manning,omitempty"` // by machine, then time
	Cost     quantity.Money `json:"cost"`              // machines, overtime in it
	Overtime quantity.Money `json:"overtime_cost,omitempty"`
	LateCost quantity.Money `json:"late_cost"`
	Bound    quantity.Money `json:"bound"` // of Cost and LateCost together: every job alone on its best machine
	Status   Status         `json:"status"`
}

// Status says why Solve ended.
type Status string

const (
	Optimal    Status = "optimal" // cost equals bound
	Stopped    Status = "stopped"
	RoundLimit Status = "round limit"
)
