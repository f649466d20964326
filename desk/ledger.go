package desk

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/trace"
)

// aheadMost is how far a fact's time may lie ahead of the desk's clock: clocks
// of machines and tablets differ by minutes (common practice, no published source).
const aheadMost = 5 * time.Minute

// Recorded is what became of a fact.
type Recorded struct {
	New      bool     `json:"new"`                // false: it was known, nothing changed
	Warnings []string `json:"warnings,omitempty"` // taken all the same
}

// FactQuery selects facts; zero fields select all.
type FactQuery struct {
	ID      ident.Fact
	Release ident.Release
	Plan    ident.Plan
	Run     int
	Machine ident.Machine
	Since   time.Time // at or after
	Rolls   bool      // facts of rolls alone: found, received, mounted, off; not beside Release
	Limit   int       // 0: 500
}

// Facts returns facts, the newest first.
func (d *Desk) Facts(ctx context.Context, q FactQuery) ([]trace.Fact, error) {
	if q.Limit <= 0 {
		q.Limit = 500
	}
	return d.Store.Facts(ctx, q)
}

// Record takes one fact into the ledger. A repeat of the same fact changes
// nothing; the same id with other content is fault.Reused. What cannot be
// (negative counts, an unknown order, a time ahead) is refused as
// fault.Violations; what is merely odd is taken and answered with warnings.
func (d *Desk) Record(ctx context.Context, f trace.Fact) (Recorded, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return Recorded{}, err
	}
	f, vs := d.factToKeep(ctx, s, f)
	if err := vs.Err(); err != nil {
		return Recorded{}, err
	}
	if err := mayShip(s, f); err != nil {
		return Recorded{}, err
	}
	before, err := d.factsAround(ctx, f)
	if err != nil {
		return Recorded{}, err
	}
	fresh, err := d.Store.Apply(ctx, Change{At: d.Clock(), Who: named(f.Who), Facts: []trace.Fact{f}})
	if err != nil {
		return Recorded{}, err // it names the fact
	}
	r := Recorded{New: fresh > 0}
	if r.New {
		r.Warnings = append(trace.OddOnes(before, f), tooMany(s, before, f)...)
	}
	return r, nil
}

// factsAround returns the ledger's facts that f must be read with.
func (d *Desk) factsAround(ctx context.Context, f trace.Fact) ([]trace.Fact, error) {
	switch {
	case f.Kind == trace.Correction:
		return d.Store.Facts(ctx, FactQuery{ID: f.Corrects, Limit: 1})
	case f.Release == (ident.Release{}):
		return nil, nil
	}
	return d.Store.Facts(ctx, FactQuery{Release: f.Release, Limit: 100_000})
}

// factToKeep returns the fact in the form that is kept, and why it cannot be.
func (d *Desk) factToKeep(ctx context.Context, s *Snapshot, f trace.Fact) (trace.Fact, fault.Violations) {
	f.At = f.At.UTC().Round(0)
	vs := trace.Check(f)
	now := d.Clock()
	if f.At.After(now.Add(aheadMost)) {
		at := func(t time.Time) string { return t.In(s.Zone()).Format("2006-01-02 15:04") }
		vs.Add("at", at(f.At), fmt.Sprintf("lies ahead of the desk's clock, %s, by more than %d min", at(now), int(aheadMost.Minutes())), "mend the time, or the clock that stamped it")
	}
	if f.Release != (ident.Release{}) {
		_, version, err := d.lineNow(ctx, s, f.Release)
		vs.Under("order", err)
		if err == nil && version == 0 {
			vs.Add("order", f.Release.String(), "is not in the book", "look the number up, or enter the order first")
		}
	}
	if _, ok := s.Machine(f.Machine); f.Machine != "" && !ok && f.Machine != s.Plant.Corrugator.Code {
		vs.Add("machine", string(f.Machine), "is not a machine of the plant", "name one of "+s.machineCodes())
	}
	if f.Run != 0 {
		d.checkRun(ctx, &vs, f)
	}
	return f, vs
}

func (d *Desk) checkRun(ctx context.Context, vs *fault.Violations, f trace.Fact) {
	if f.Plan == 0 {
		vs.Add("plan", "", "must be given where a run is", "")
		return
	}
	p, _, err := d.Plan(ctx, f.Plan)
	switch {
	case errors.Is(err, fault.NotFound), errors.Is(err, fault.Refused):
		vs.Add("plan", strconv.FormatInt(int64(f.Plan), 10), "holds no runs", "")
		return
	case err != nil:
		vs.Under("plan", err)
		return
	}
	for _, r := range p.Runs {
		if r.Seq != f.Run {
			continue
		}
		if f.Release == (ident.Release{}) {
			return
		}
		for _, l := range r.Lanes {
			if l.Order == f.Release.String() {
				return
			}
		}
		vs.Add("order", f.Release.String(), fmt.Sprintf("is not on run %d of plan %d", f.Run, f.Plan), "")
		return
	}
	vs.Add("run", strconv.Itoa(f.Run), fmt.Sprintf("is not in plan %d, which has %d runs", f.Plan, len(p.Runs)), "")
}

// tooMany warns where more is counted than there can be.
func tooMany(s *Snapshot, before []trace.Fact, f trace.Fact) []string {
	l, ok := s.Line(f.Release)
	if !ok || f.Kind == trace.Correction {
		return nil
	}
	way := func(ident.Release) trace.Way { return s.way(f.Release) }
	q := trace.FoldAlong(append(before, f), way)[f.Release]
	return trace.Excess(q, l.Quantity, max(s.way(f.Release).PerSheet, 1), l.OverPct)
}
