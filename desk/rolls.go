package desk

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/roll"
)

// Arrival is a roll as it was measured at the gate.
type Arrival struct {
	Delivery string
	Roll     ident.Roll
	Mass     quantity.Mass
	Diameter quantity.Length // 0: not measured
	Moisture float64         // percent; 0: not measured
	Place    string
	Hold     string // why it is held at once; "": it is free
}

// Receipt is what came with one truck.
type Receipt struct {
	Rolls []Arrival
	Whole []string // deliveries of which nothing more comes
}

// OddRoll is a roll whose measures do not agree.
type OddRoll struct {
	Row  int // of the receipt, from 0
	Roll ident.Roll
	Why  []string
}

// Received is what a receipt did.
type Received struct {
	Taken int       // rolls that were new
	Held  int       // of these, on hold
	Odd   []OddRoll // taken all the same
	Notes []string  // which deliveries are complete with it, and which brought more than was called off
}

// moistureBand is how many points a roll may be off its paper's moisture before
// it is listed, where the paper states no band (common practice, no published source).
const moistureBand = 2.0

// usualCore is the core that a diameter is read with where none is known: 100 mm
// (4 in; common practice, no published source).
const usualCore = 100 * quantity.Millimetre

// Receive takes rolls off one delivery and says which measures do not agree; see ReceiveTruck.
func (d *Desk) Receive(ctx context.Context, delivery string, list []Arrival, who string) (taken int, odd []string, err error) {
	list = slices.Clone(list)
	for i := range list {
		list[i].Delivery = delivery
	}
	if _, err := d.expected(ctx, delivery); err != nil {
		return 0, nil, err
	}
	done, err := d.ReceiveTruck(ctx, Receipt{Rolls: list}, who)
	for _, o := range done.Odd {
		for _, why := range o.Why {
			odd = append(odd, fmt.Sprintf("%s %s", o.Roll, why))
		}
	}
	return done.Taken, odd, err
}

func (d *Desk) expected(ctx context.Context, delivery string) (roll.Inbound, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return roll.Inbound{}, err
	}
	in, known := s.InboundOf(delivery)
	if !known {
		return in, fmt.Errorf("delivery %s: %w", delivery, fault.NotFound)
	}
	return in, nil
}

// ReceiveTruck takes the rolls of a truck into the house, all or none, in one
// transaction. Rolls whose measures do not agree are taken all the same, and
// named. A roll that came before is passed over, so that a list sent twice
// counts once. A delivery of which nothing more comes counts no longer as on its
// way: it is kept with the rolls that came, or as cancelled where none did. It
// returns fault.Violations, with the row, for what cannot be.
func (d *Desk) ReceiveTruck(ctx context.Context, r Receipt, who string) (Received, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return Received{}, err
	}
	g := receiving{s: s, at: d.Clock(), who: who, seen: map[ident.Roll]bool{}, came: map[string]int{}}
	for i, a := range r.Rolls {
		g.take(i, a)
	}
	for i, f := range g.facts {
		kept, more := d.factToKeep(ctx, s, f)
		g.facts[i] = kept
		g.vs = append(g.vs, more...)
	}
	c := Change{At: g.at, Who: named(who), Why: "received", Facts: g.facts}
	puts := putter{change: &c}
	for _, id := range r.Whole {
		g.whole(&puts, id)
	}
	g.beyond(r.Whole)
	if err := g.vs.Err(); err != nil {
		return Received{}, err
	}
	if puts.err != nil {
		return Received{}, puts.err
	}
	if len(c.Facts)+len(c.Puts) > 0 {
		if _, err := d.Store.Apply(ctx, c); err != nil {
			return Received{}, fmt.Errorf("receive: %w", err)
		}
	}
	return g.done, nil
}

// OddRolls says which rolls of a receipt do not agree with themselves, their
// delivery or their paper, before they are taken; fault.Violations as ReceiveTruck.
func (d *Desk) OddRolls(ctx context.Context, r Receipt) ([]OddRoll, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return nil, err
	}
	g := receiving{s: s, at: d.Clock(), seen: map[ident.Roll]bool{}, came: map[string]int{}}
	for i, a := range r.Rolls {
		g.take(i, a)
	}
	return g.done.Odd, g.vs.Err()
}

// atReceipt says what of a roll does not agree with itself, its delivery or its paper.
func (s *Snapshot) atReceipt(r roll.Roll, in roll.Inbound) []string {
	p, _ := s.Paper(r.Paper)
	out := roll.CrossCheck(r, p.Caliper, p.Grammage)
	if off := 100 * (float64(r.Length)/float64(in.LengthEach) - 1); in.LengthEach > 0 && math.Abs(off) > 3 {
		out = append(out, fmt.Sprintf("holds %.0f m, the delivery states %.0f m (%+.1f %%)", r.Length.Metres(), in.LengthEach.Metres(), off))
	}
	if band := cmp.Or(p.MoistureBand, moistureBand); p.MoisturePct > 0 && r.MoisturePct > 0 && math.Abs(r.MoisturePct-p.MoisturePct) > band {
		out = append(out, fmt.Sprintf("has %.1f %% moisture, its paper has %.1f ± %.1f %%", r.MoisturePct, p.MoisturePct, band))
	}
	return out
}
