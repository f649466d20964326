package plan

import (
	"time"

	"github.com/flutewright/flutewright/base/quantity"
)

// Options of Make; Now is needed, the rest works as zero.
type Options struct {
	Now        time.Time
	Seconds    float64 // wall-clock budget of the trim engine; 0: 3 s
	Seed       uint64
	OnProgress func(Progress)
}

// Progress of a plan being made.
type Progress struct {
	Stage   string         `json:"stage"` // sheets, runs, rolls, jobs, loads, checked
	Cost    quantity.Money `json:"cost"`  // of the best runs so far
	Bound   quantity.Money `json:"bound"`
	Seconds float64        `json:"seconds"`
}
