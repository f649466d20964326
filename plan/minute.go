package plan

import (
	"fmt"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plant/corrugator"
)

// Minute says which price a corrugator minute has in a plan. A minute is dear
// where the corrugator is the bottleneck, cheap where it waits for work, and
// worth nothing where its crew and heat are paid for whatever it makes.
type Minute string

const (
	MinuteStated     Minute = ""           // as the plant says of its corrugator
	MinuteBottleneck Minute = "bottleneck" // CostPerHour
	MinuteIdle       Minute = "idle"       // IdleCostPerHour
	MinuteFree       Minute = "free"       // paper alone is weighed
)

// Minutes lists the choices.
func Minutes() []Minute { return []Minute{MinuteStated, MinuteBottleneck, MinuteIdle, MinuteFree} }

// at returns the corrugator with the minute priced as chosen.
func (m Minute) at(c corrugator.Corrugator) (corrugator.Corrugator, error) {
	switch m {
	case MinuteStated:
	case MinuteBottleneck:
		c.Bottleneck = true
	case MinuteIdle:
		c.Bottleneck = false
	case MinuteFree:
		c.Bottleneck, c.IdleCostPerHour = false, 0
	default:
		return c, fault.Violations{{Field: "minute", Value: string(m), Rule: fmt.Sprintf("must be one of %q", Minutes())}}
	}
	return c, nil
}
