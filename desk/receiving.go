package desk

import (
	"fmt"
	"maps"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/roll"
	"github.com/flutewright/flutewright/plant/trace"
)

// receiving gathers the facts of a receipt.
type receiving struct {
	s     *Snapshot
	at    time.Time
	who   string
	seen  map[ident.Roll]bool
	came  map[string]int // by delivery, with this receipt
	facts []trace.Fact
	vs    fault.Violations
	done  Received
}

func (g *receiving) take(i int, a Arrival) {
	in, known := g.s.InboundOf(a.Delivery)
	state, told := g.s.Floor.Rolls[a.Roll]
	_, stated := g.s.Roll(a.Roll)
	row := fmt.Sprintf("row %d: ", i+1)
	switch {
	case !known:
		g.vs.Add("rolls", a.Delivery, row+"is no delivery that is expected", "")
		return
	case told && !state.Came.IsZero() && state.Inbound == a.Delivery:
		return
	case told || stated || g.seen[a.Roll]:
		g.vs.Add("rolls", string(a.Roll), row+"is a roll of the house already", "give it another number")
		return
	case a.Roll == "":
		g.vs.Add("rolls", "", row+"names no roll", "")
		return
	case !(a.Mass > 0 || a.Diameter > usualCore):
		g.vs.Add("rolls", string(a.Roll), row+"must state a mass or a diameter, or its length is not known", "")
		return
	}
	g.seen[a.Roll] = true
	g.came[a.Delivery]++
	f := trace.Fact{
		ID: ident.Fact("roll " + string(a.Roll) + " received off " + a.Delivery), At: g.at, Kind: trace.RollCame, Source: "desk", Who: g.who,
		Roll: a.Roll, Inbound: a.Delivery, Paper: in.Paper, Width: in.Width, Mass: a.Mass, Diameter: a.Diameter, Moisture: a.Moisture, Place: a.Place,
	}
	r := roll.Roll{ID: a.Roll, Paper: in.Paper, Width: in.Width, Mass: a.Mass, Diameter: a.Diameter, Core: usualCore, MoisturePct: a.Moisture}
	r.Length = g.s.lengthOf(r)
	f.Length = r.Length
	if why := g.s.atReceipt(r, in); len(why) > 0 {
		g.done.Odd = append(g.done.Odd, OddRoll{i, a.Roll, why})
	}
	g.facts = append(g.facts, f)
	g.done.Taken++
	if a.Hold != "" {
		g.done.Held++
		g.facts = append(g.facts, trace.Fact{ID: f.ID + " and held", At: g.at, Kind: trace.Held, Source: "desk", Who: g.who, Roll: a.Roll, Reason: a.Hold})
	}
}

// whole ends a delivery with the rolls that came of it.
func (g *receiving) whole(puts *putter, id string) {
	in, known := g.s.InboundOf(id)
	if !known {
		g.vs.Add("whole", id, "is no delivery that is expected", "")
		return
	}
	called, came := in.Rolls, g.cameOf(id)
	if came == called || in.State == roll.Cancelled {
		return
	}
	words := fmt.Sprintf("%s is complete with %d of %d rolls", id, came, called)
	if in.Rolls = came; came == 0 {
		in.Rolls, in.State, words = called, roll.Cancelled, id+" brings nothing"
	}
	puts.add(KindInbound, id, in, g.s.Version(KindInbound, id))
	g.done.Notes = append(g.done.Notes, words)
}

// cameOf is how many rolls of a delivery have come, with this receipt.
func (g *receiving) cameOf(id string) int {
	came := g.came[id]
	for _, st := range g.s.Floor.Rolls {
		if !st.Came.IsZero() && st.Inbound == id {
			came++
		}
	}
	return came
}

// beyond notes the deliveries, but those that are whole, of which more came than was called off.
func (g *receiving) beyond(whole []string) {
	for _, id := range slices.Sorted(maps.Keys(g.came)) {
		in, _ := g.s.InboundOf(id)
		if came := g.cameOf(id); came > in.Rolls && !slices.Contains(whole, id) {
			g.done.Notes = append(g.done.Notes, fmt.Sprintf("%s has brought %d rolls, %d were called off", id, came, in.Rolls))
		}
	}
}
