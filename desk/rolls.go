package desk

import (
	"context"
	"fmt"
	"math"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/roll"
	"github.com/flutewright/flutewright/plant/trace"
)

// Arrival is a roll as it was measured at the gate.
type Arrival struct {
	Roll     ident.Roll
	Mass     quantity.Mass
	Diameter quantity.Length // 0: not measured
	Moisture float64         // percent; 0: not measured
	Place    string
	Hold     string // why it is held at once; "": it is free
}

// moistureBand is how many points a roll may be off its paper's moisture before
// it is listed (common practice, no published source).
const moistureBand = 2.0

// usualCore is the core that a diameter is read with where none is known: 100 mm
// (4 in; common practice, no published source).
const usualCore = 100 * quantity.Millimetre

// Receive takes rolls off a delivery into the house, all or none, and says which
// measures do not agree; these rolls are taken all the same. A roll that came
// before is passed over, so that a list sent twice counts once. It returns
// fault.Violations, with the row, for what cannot be.
func (d *Desk) Receive(ctx context.Context, delivery string, list []Arrival, who string) (taken int, odd []string, err error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return 0, nil, err
	}
	in, known := s.InboundOf(delivery)
	if !known {
		return 0, nil, fmt.Errorf("delivery %s: %w", delivery, fault.NotFound)
	}
	var vs fault.Violations
	var facts []trace.Fact
	at := d.Clock()
	seen := map[ident.Roll]bool{}
	for i, a := range list {
		state, told := s.Floor.Rolls[a.Roll]
		_, stated := s.Roll(a.Roll)
		row := fmt.Sprintf("row %d: ", i+1)
		switch {
		case told && !state.Came.IsZero() && state.Inbound == delivery:
			continue
		case told || stated || seen[a.Roll]:
			vs.Add("rolls", string(a.Roll), row+"is a roll of the house already", "give it another number")
			continue
		case a.Roll == "":
			vs.Add("rolls", "", row+"names no roll", "")
			continue
		case !(a.Mass > 0 || a.Diameter > usualCore):
			vs.Add("rolls", string(a.Roll), row+"must state a mass or a diameter, or its length is not known", "")
			continue
		}
		seen[a.Roll] = true
		f := trace.Fact{
			ID: ident.Fact("roll " + string(a.Roll) + " received off " + delivery), At: at, Kind: trace.RollCame, Source: "desk", Who: who,
			Roll: a.Roll, Inbound: delivery, Paper: in.Paper, Width: in.Width, Mass: a.Mass, Diameter: a.Diameter, Moisture: a.Moisture, Place: a.Place,
		}
		r := roll.Roll{ID: a.Roll, Paper: in.Paper, Width: in.Width, Mass: a.Mass, Diameter: a.Diameter, Core: usualCore, MoisturePct: a.Moisture}
		r.Length = s.lengthOf(r)
		f.Length = r.Length
		for _, why := range s.atReceipt(r, in) {
			odd = append(odd, fmt.Sprintf("%s %s", a.Roll, why))
		}
		facts = append(facts, f)
		taken++
		if a.Hold != "" {
			facts = append(facts, trace.Fact{ID: f.ID + " and held", At: at, Kind: trace.Held, Source: "desk", Who: who, Roll: a.Roll, Reason: a.Hold})
		}
	}
	for i, f := range facts {
		kept, more := d.factToKeep(ctx, s, f)
		facts[i] = kept
		vs = append(vs, more...)
	}
	if err := vs.Err(); err != nil {
		return 0, nil, err
	}
	if len(facts) > 0 {
		if _, err := d.Store.Apply(ctx, Change{At: at, Who: named(who), Facts: facts}); err != nil {
			return 0, nil, fmt.Errorf("receive %s: %w", delivery, err)
		}
	}
	return taken, odd, nil
}

// atReceipt says what of a roll does not agree with itself, its delivery or its paper.
func (s *Snapshot) atReceipt(r roll.Roll, in roll.Inbound) []string {
	p, _ := s.Paper(r.Paper)
	out := roll.CrossCheck(r, p.Caliper, p.Grammage)
	if off := 100 * (float64(r.Length)/float64(in.LengthEach) - 1); in.LengthEach > 0 && math.Abs(off) > 3 {
		out = append(out, fmt.Sprintf("holds %.0f m, the delivery states %.0f m (%+.1f %%)", r.Length.Metres(), in.LengthEach.Metres(), off))
	}
	if p.MoisturePct > 0 && r.MoisturePct > 0 && math.Abs(r.MoisturePct-p.MoisturePct) > moistureBand {
		out = append(out, fmt.Sprintf("has %.1f %% moisture, its paper has %.1f %%", r.MoisturePct, p.MoisturePct))
	}
	return out
}
