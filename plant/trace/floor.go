package trace

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// Floor is what stands and runs in the plant now, by the facts: where every
// plan starts from. Counts per release are Quantities.
type Floor struct {
	Stacks   []Stack                     `json:"stacks,omitempty"` // not yet fed, by lane and position
	Rolls    map[ident.Roll]RollState    `json:"rolls,omitempty"`  // those that facts speak of
	RunOn    *Run                        `json:"run_on,omitempty"` // started and not ended
	RunSince time.Time                   `json:"run_since,omitzero"`
	JobsOn   map[ident.Machine]JobState  `json:"jobs_on,omitempty"` // started and not ended
	Stops    map[ident.Machine]StopState `json:"stops,omitempty"`   // stopped and not running again
	RunsDone map[Run]Progress            `json:"-"`
	Jobs     map[Job]Progress            `json:"-"` // what each machine has counted of each release
}

// StacksOf returns the stacks of one release that may be fed: those not on hold.
func (f Floor) StacksOf(r ident.Release) []Stack {
	var out []Stack
	for _, s := range f.Stacks {
		if s.Release == r && !s.Held {
			out = append(out, s)
		}
	}
	return out
}

// Stack is sheets of one release standing on the floor.
type Stack struct {
	ID      ident.Stack   `json:"stack"`
	Release ident.Release `json:"release"`
	Sheets  int           `json:"sheets"`
	Place   string        `json:"place"` // lane, or lane-position
	Made    time.Time     `json:"made"`
	Held    bool          `json:"held,omitempty"`

	placed time.Time // when Place was told
}

// RollState is what facts say of a roll: newer than what the book states.
type RollState struct {
	Place  string            `json:"place,omitempty"`
	Stand  string            `json:"stand,omitempty"` // mounted there
	Length quantity.Distance `json:"length_m,omitempty"`
	Known  bool              `json:"known"` // Length was told; 0 is a roll used up
	At     time.Time         `json:"at"`

	Came     time.Time       `json:"came,omitzero"` // received then, off Inbound; the rest as measured
	Inbound  string          `json:"inbound,omitempty"`
	Paper    ident.Paper     `json:"paper,omitempty"`
	Width    quantity.Length `json:"width_mm,omitempty"`
	Mass     quantity.Mass   `json:"mass_kg,omitempty"`
	Diameter quantity.Length `json:"diameter_mm,omitempty"`
	Moisture float64         `json:"moisture_pct,omitempty"`
}

// JobState is a job in progress.
type JobState struct {
	Release ident.Release `json:"release"`
	Since   time.Time     `json:"since"`
	Good    int           `json:"good"`
	Waste   int           `json:"waste"`
}

// StopState is a machine that stands still.
type StopState struct {
	Since time.Time `json:"since"`
	Until time.Time `json:"until,omitzero"` // expected; zero: not told
	Cause string    `json:"cause,omitempty"`
}
