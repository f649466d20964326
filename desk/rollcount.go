package desk

import (
	"fmt"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/roll"
	"github.com/flutewright/flutewright/plant/trace"
)

// countOf is the fact that goes with an edit of a roll: where the edit states
// another length or place than the book did, someone has looked at the roll, and
// that is newer than all facts told before. An edit of anything else, a hold say,
// tells nothing of these. A mounted roll stays on its stand unless the edit names
// another, or none.
func (s *Snapshot) countOf(before, after roll.Roll, version int, at time.Time, who string) (trace.Fact, bool) {
	f := trace.Fact{
		ID: ident.Fact(fmt.Sprintf("roll %s counted, version %d, %s", after.ID, version+1, at.UTC().Format(time.RFC3339Nano))),
		At: at.UTC().Round(0), Kind: trace.RollFound, Source: "desk", Who: named(who), Roll: after.ID,
	}
	if after.Length != before.Length {
		if f.Length = after.Length; f.Length == 0 {
			f.Length = s.lengthOf(after)
		}
		f.Mass, f.Diameter = after.Mass, after.Diameter
	}
	if after.Location != before.Location {
		f.Place = after.Location
	}
	stand := s.Floor.Rolls[after.ID].Stand
	if after.Stand != before.Stand {
		stand = after.Stand
	}
	if f.Length == 0 && f.Place == "" && after.Stand == before.Stand {
		return f, false
	}
	if stand != "" {
		f.Kind, f.Place = trace.RollMounted, stand
	}
	return f, true
}
