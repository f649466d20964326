// Package floor stands sheet stacks on the lanes of the sheet floor: where each
// one lies, how full the floor is over the next hours, when it is full, and
// which run is best deferred then. Lanes are of the through kind: stacks enter
// at one end and leave at the other, so that a stack that is fed before those
// ahead of it has to be dug out.
package floor

import (
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// Problem is a floor, what stands on it at From, and what comes and goes until Until. It is not changed.
type Problem struct {
	From, Until time.Time
	Lanes       []Lane
	Stacks      []Stack // standing and coming, in any order
	Runs        []Run   // coming runs, which may be deferred
}

// Lane is one lane.
type Lane struct {
	Name   string
	Length quantity.Distance
	BySlit bool            // stacks lie with their slit along it, else with their chop
	Gap    quantity.Length // kept between stacks
}

// Takes returns the length of the lane that a stack takes, its gap in it.
func (l Lane) Takes(s Stack) quantity.Distance {
	if l.BySlit {
		return (s.Across + l.Gap).Distance()
	}
	return (s.Chop + l.Gap).Distance()
}

// Stack stands on the floor from In to Out; a zero Out is beyond Until.
type Stack struct {
	Name    ident.Stack     `json:"stack,omitempty"`
	Release ident.Release   `json:"release"`
	Sheets  int             `json:"sheets"`
	Run     int             `json:"run,omitempty"` // 0: no run of the plan
	Stated  string          `json:"stated_lane,omitempty"`
	Chop    quantity.Length `json:"chop_mm"`
	Across  quantity.Length `json:"across_mm"` // its piles side by side
	In      time.Time       `json:"in"`        // not after From: it stands, and In is its order in the lane
	Out     time.Time       `json:"out,omitzero"`
}

// Run is a run that has not begun: it brings stacks from Start on and is late after Latest.
type Run struct {
	Run    int
	Start  time.Time
	Latest time.Time // the latest start without making an order late; zero: none
}

// Options of Solve; the zero value works.
type Options struct {
	Seed       uint64
	Rounds     int // ways of choosing lanes that are tried; 0: 12
	OnProgress func(round int, outside quantity.Distance)
}

// Status says why Solve ended.
type Status string

const (
	Optimal    Status = "optimal"     // nothing is dug out and no more stands outside than must
	RoundLimit Status = "round limit" // all ways tried
	Stopped    Status = "stopped"     // the context ended: the best so far
)

// Placed is where a stack lies.
type Placed struct {
	Stack
	Lane   string    `json:"lane"`                   // "": no lane takes it; it stands outside
	Waits  time.Time `json:"outside_until,omitzero"` // it stands outside until a lane has room then; zero: it did not wait
	DugOut bool      `json:"dug_out,omitempty"`      // it leaves before one that stands ahead of it
}

// Point of the fill curve: from At on, until the next.
type Point struct {
	At      time.Time         `json:"at"`
	Used    quantity.Distance `json:"used_m"` // of all stacks, those outside too
	Outside quantity.Distance `json:"outside_m,omitempty"`
}

// Deferral is a run put off so that the floor does not fill.
type Deferral struct {
	Run    int       `json:"run"`
	From   time.Time `json:"from"`    // its planned start
	To     time.Time `json:"to"`      // when there is room for it
	Latest time.Time `json:"latest"`  // its latest start without making an order late
	FullAt time.Time `json:"full_at"` // when the floor is full then; zero: not before Until
	Late   bool      `json:"late"`    // no run can be put off without lateness; this one is late the least
}

// Result is a floor over time.
type Result struct {
	Placed   []Placed          `json:"placed"` // indexed like Problem.Stacks
	Curve    []Point           `json:"curve"`
	Capacity quantity.Distance `json:"capacity_m"`
	Peak     quantity.Distance `json:"peak_m"`
	PeakAt   time.Time         `json:"peak_at"`
	FullAt   time.Time         `json:"full_at,omitzero"` // the first stack that no lane takes; zero: none until Until
	Outside  quantity.Distance `json:"outside_m"`        // the most that stands outside the lanes at once
	DugOut   int               `json:"dug_out"`
	Bound    quantity.Distance `json:"bound_m"` // no way of choosing lanes keeps less outside at once
	Defer    *Deferral         `json:"defer,omitempty"`
	Status   Status            `json:"status"`
}

// Capacity is the length of all lanes.
func (p Problem) Capacity() quantity.Distance {
	var sum quantity.Distance
	for _, l := range p.Lanes {
		sum += l.Length
	}
	return sum
}
