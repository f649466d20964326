package promise

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
)

// Result is the answer to one question.
type Result struct {
	Release   ident.Release    `json:"release"`
	Refusal   string           `json:"refusal,omitempty"` // why it cannot be made at all; nothing below is stated then
	Yes       bool             `json:"yes"`               // there by its due time
	At        time.Time        `json:"at"`                // at the gate or the dock, as due_at says
	Due       time.Time        `json:"due"`
	DueAt     string           `json:"due_at"`
	Float     quantity.Minutes `json:"float_min"` // negative: late
	Waits     []Wait           `json:"waits_for"` // what holds it longest first
	Steps     []Step           `json:"steps"`     // in the order of the way
	Runs      []Placed         `json:"runs,omitempty"`
	Extra     quantity.Money   `json:"extra_cost"` // to the plan in force: board, presses, lateness of others
	Others    []Moved          `json:"others,omitempty"`
	Breaks    bool             `json:"breaks_freeze,omitempty"` // there is no way but through what is frozen
	NotBefore time.Time        `json:"not_before"`              // no plan can have it there earlier
	Sooner    []Sooner         `json:"sooner,omitempty"`
	DaySooner *Sooner          `json:"day_sooner,omitempty"` // the cheapest of those tried that gains a day
	InTime    *Sooner          `json:"in_time,omitempty"`    // the cheapest of those tried that is in time, where the answer is not
	Chance    Chance           `json:"chance"`
	Status    Status           `json:"status"`

	Plan  []runs.Run  `json:"-"` // all runs with the release in them
	Clock jobs.Answer `json:"-"`
}

// Status says why Solve ended.
type Status string

const (
	Optimal    Status = "optimal" // as early as any plan could have it
	Stopped    Status = "stopped"
	RoundLimit Status = "round limit"
	Refused    Status = "refused"
)

// Cause is what a release waits for.
type Cause string

const (
	Paper Cause = "paper"
	Slot  Cause = "corrugator slot"
	Cure  Cause = "cure"
	Tool  Cause = "tool"
	Crew  Cause = "crew"
	Press Cause = "machine"
	Work  Cause = "the work itself"
	Road  Cause = "road"
)

// Wait is one stretch of the way in which nothing is made of the release, or
// the making itself.
type Wait struct {
	For    Cause            `json:"for"`
	What   string           `json:"what,omitempty"` // which delivery, tool, machine
	Length quantity.Minutes `json:"length_min"`
}

// Step is one station of the way.
type Step struct {
	What    string    `json:"what"`  // paper, corrugator, cure, press, load, road
	Where   string    `json:"where"` // run, machine
	Start   time.Time `json:"start"`
	End     time.Time `json:"end"`
	Latest  time.Time `json:"latest"` // it must have started by then; zero: not worked back
	Waits   string    `json:"waits_for,omitempty"`
	Machine bool      `json:"-"`
}

// Placed is a run that makes the release's sheets.
type Placed struct {
	Run     runs.Run  `json:"run"`
	New     bool      `json:"new"`              // not in the plan in force
	Behind  int       `json:"behind"`           // number, in the plan in force, of the run before it; 0: first
	With    int       `json:"with,omitempty"`   // number of the run it joins
	Upgrade bool      `json:"upgrade"`          // on a better grade than ordered
	Frozen  bool      `json:"frozen,omitempty"` // stands inside the corrugator's freeze
	Start   time.Time `json:"start"`
	End     time.Time `json:"end"`
}

// Moved is another release that comes later than it would.
type Moved struct {
	Release ident.Release    `json:"release"`
	Late    quantity.Minutes `json:"late_min"`
	Was     quantity.Minutes `json:"was_late_min"`
}

// Sooner is a way to have it earlier.
type Sooner struct {
	At     time.Time        `json:"at"`
	Gain   quantity.Minutes `json:"gain_min"`
	Cost   quantity.Money   `json:"cost"`  // more than the answer's
	Means  []string         `json:"means"` // overtime, other machine, other web, upgrade, ahead of others, break of freeze
	Runs   []Placed         `json:"runs,omitempty"`
	Others []Moved          `json:"others,omitempty"`
}

// Chance is how likely the release is there by its due time, from the plant's
// own scatter of run and job times.
type Chance struct {
	Known   bool         `json:"known"`
	P       float64      `json:"p,omitempty"`
	Low     float64      `json:"p_low,omitempty"`  // nine in ten samples of the same size give between
	High    float64      `json:"p_high,omitempty"` // these two
	By90    time.Time    `json:"by_90,omitzero"`   // nine times in ten it is there by then
	Samples []SampleSize `json:"samples,omitempty"`
	Why     string       `json:"why,omitempty"` // why it is not known, or is to be taken with caution
}

// SampleSize is how many ended runs or jobs a station's scatter rests on.
type SampleSize struct {
	Station string `json:"station"`
	N       int    `json:"n"`
}
