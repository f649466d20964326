package desk

import (
	"cmp"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
	"github.com/flutewright/flutewright/plant/trace"
)

// Account returns what facts say of a release: its counts at every stage, its
// stacks and jobs. It is shared and must not be changed.
func (s *Snapshot) Account(r ident.Release) (trace.Account, bool) {
	if a := s.state.Accounts[r]; a != nil {
		return *a, true
	}
	return trace.Account{}, false
}

// fill puts into the book what facts say: what is done, what stands on the
// floor, and the rolls as they are now. Facts of a line that is not in the book
// any more count for nothing.
func (s *Snapshot) fill() {
	s.Done = make(map[ident.Release]trace.Quantities, len(s.state.Accounts))
	for r, a := range s.state.Accounts {
		if _, there := s.Line(r); there {
			s.Done[r] = a.Quantities
		}
	}
	s.Floor = s.state.Floor()
	s.Floor.Stacks = slices.DeleteFunc(s.Floor.Stacks, func(st trace.Stack) bool {
		_, there := s.Line(st.Release)
		return !there
	})
	if len(s.Floor.Rolls) > 0 {
		s.Rolls = s.rollsNow()
		s.Inbound = s.stillComing()
	}
	cancelled := func(in roll.Inbound) bool { return in.State == roll.Cancelled }
	if slices.ContainsFunc(s.Inbound, cancelled) { // the shelf's own list stays whole
		s.Inbound = slices.DeleteFunc(slices.Clone(s.Inbound), cancelled)
	}
}

// rollsNow returns the rolls in the house: those that are stated and those
// that came, where facts put them, with what is left on them. A roll used up is gone.
func (s *Snapshot) rollsNow() []roll.Roll {
	out := make([]roll.Roll, 0, len(s.Rolls))
	for _, r := range s.Rolls {
		if st, told := s.Floor.Rolls[r.ID]; told {
			r = s.asTold(r, st)
			if st.Known && st.Length == 0 {
				continue
			}
		}
		out = append(out, r)
	}
	for id, st := range s.Floor.Rolls {
		if _, stated := s.Roll(id); stated || st.Came.IsZero() || st.Known && st.Length == 0 {
			continue
		}
		out = append(out, s.asTold(roll.Roll{ID: id, Paper: st.Paper, Width: st.Width, Received: st.Came}, st))
	}
	slices.SortFunc(out, func(a, b roll.Roll) int { return cmp.Compare(a.ID, b.ID) })
	return out
}

// asTold returns the roll as facts left it.
func (s *Snapshot) asTold(r roll.Roll, st trace.RollState) roll.Roll {
	r.Stand = st.Stand
	r.Location = cmp.Or(st.Place, r.Location)
	r.Mass, r.Diameter, r.MoisturePct = cmp.Or(st.Mass, r.Mass), cmp.Or(st.Diameter, r.Diameter), cmp.Or(st.Moisture, r.MoisturePct)
	switch {
	case st.Known:
		r.Length = st.Length
	case r.Length == 0:
		r.Length = s.lengthOf(r)
	}
	return r
}

// lengthOf works out the metres of a roll that came without them, by its mass
// or, failing that, its diameter; 0 where neither says.
func (s *Snapshot) lengthOf(r roll.Roll) quantity.Distance {
	p, known := s.Paper(r.Paper)
	if !known {
		return 0
	}
	if l := roll.LengthFromMass(r.Mass, r.Width, p.Grammage); l > 0 {
		return l
	}
	return roll.LengthFromDiameter(r.Diameter, r.Core, p.Caliper)
}

// way tells the fold how a line goes through the machines: by the kinds of
// machines on its item's agreed route, else by those its style needs. Which
// machine of a kind took the job does not matter.
func (s *Snapshot) way(r ident.Release) trace.Way {
	l, ok := s.Line(r)
	if !ok {
		return trace.Way{}
	}
	i, ok := s.Item(l.Item)
	if !ok {
		return trace.Way{}
	}
	w, steps := trace.Way{PerSheet: i.PiecesPerSheet}, s.steps(i)
	for _, m := range s.Plant.Machines {
		if !slices.Contains(steps, m.Kind) {
			continue
		}
		if m.Kind != steps[len(steps)-1] {
			w.Before = append(w.Before, m.Code)
		}
		if m.Kind == steps[0] {
			w.First = append(w.First, m.Code)
		}
	}
	return w
}

// steps are the kinds of machines on an item's way: of its agreed route, else those its style needs.
func (s *Snapshot) steps(i order.Item) []convert.Kind {
	if len(i.Route) == 0 {
		return convert.Steps(i.Style)
	}
	var steps []convert.Kind
	for _, code := range i.Route {
		m, _ := s.Machine(code)
		steps = append(steps, m.Kind)
	}
	return steps
}
