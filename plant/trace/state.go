package trace

import (
	"maps"
	"time"

	"github.com/flutewright/flutewright/base/ident"
)

// Subject is what a fact speaks of; exactly one field is set. The state of a
// subject follows from the facts of that subject alone, whatever else arrives.
type Subject struct {
	Release ident.Release
	Roll    ident.Roll
	Machine ident.Machine // its stops
	Stack   ident.Stack   // moved by a fact that names no release
	Run     Run
}

// SubjectsOf returns the subjects of a fact. Holds and corrections have none:
// holds are few and read as a whole, a correction speaks of what it takes back.
func SubjectsOf(f Fact) []Subject {
	var out []Subject
	switch f.Kind {
	case Held, Released, Correction:
		return nil
	case Stopped, Running:
		return []Subject{{Machine: f.Machine}}
	case RollCame, RollFound, RollMounted, RollOff:
		return []Subject{{Roll: f.Roll}}
	case StackMoved:
		if f.Release == (ident.Release{}) {
			return []Subject{{Stack: f.Stack}}
		}
	case RunStarted, RunEnded:
		if f.Run > 0 {
			out = append(out, Subject{Run: Run{f.Plan, f.Run}})
		}
	}
	if f.Release != (ident.Release{}) {
		out = append(out, Subject{Release: f.Release})
	}
	return out
}

// State is what all facts say, kept by subject, so that new facts ask only for
// the facts of their own subjects. It is a value: With returns a new one.
type State struct {
	Accounts map[ident.Release]*Account
	Rolls    map[ident.Roll]RollState
	Stops    map[ident.Machine]StopState
	Runs     map[Run]Progress
	Moves    map[ident.Stack]Move
	Holds    Holds
}

// Move is where a stack was moved to by a fact that named no release.
type Move struct {
	Place string
	At    time.Time
}

// StateOf folds all facts. Their order and repeats change nothing.
func StateOf(facts []Fact, way func(ident.Release) Way) State { return State{}.fold(facts, nil, way) }

// With returns the state after facts have changed what is known of the touched
// subjects: facts must hold all facts of these, all facts of holds, and what
// takes any of them back; others are passed over.
func (s State) With(touched []Subject, facts []Fact, way func(ident.Release) Way) State {
	set := make(map[Subject]bool, len(touched))
	for _, t := range touched {
		set[t] = true
	}
	return s.fold(facts, set, way)
}

// fold reads the facts of some subjects anew; touched nil means all.
func (s State) fold(facts []Fact, touched map[Subject]bool, way func(ident.Release) Way) State {
	standing := Standing(facts)
	by := map[Subject][]Fact{}
	for _, f := range standing {
		for _, sub := range SubjectsOf(f) {
			if touched == nil || touched[sub] {
				by[sub] = append(by[sub], f)
			}
		}
	}
	next := s
	next.Holds = holdsOf(standing)
	next.Accounts = renewed(s.Accounts, touched, by, func(t Subject) ident.Release { return t.Release }, func(r ident.Release, own []Fact) (*Account, bool) {
		a := accountOf(own, r, way(r))
		return &a, true
	})
	next.Rolls = renewed(s.Rolls, touched, by, func(t Subject) ident.Roll { return t.Roll }, rollOf)
	next.Stops = renewed(s.Stops, touched, by, func(t Subject) ident.Machine { return t.Machine }, stopOf)
	next.Moves = renewed(s.Moves, touched, by, func(t Subject) ident.Stack { return t.Stack }, moveOf)
	next.Runs = renewed(s.Runs, touched, by, func(t Subject) Run { return t.Run }, func(_ Run, own []Fact) (Progress, bool) {
		var p Progress
		for _, f := range own {
			p = p.with(f)
		}
		return p, true
	})
	return next
}

// renewed returns the map with what is said anew of the touched subjects of its
// kind; the old map where there are none.
func renewed[K comparable, V any](old map[K]V, touched map[Subject]bool, by map[Subject][]Fact,
	key func(Subject) K, read func(K, []Fact) (V, bool)) map[K]V {
	var none K
	var next map[K]V
	open := func() {
		if next == nil {
			if next = maps.Clone(old); next == nil {
				next = map[K]V{}
			}
		}
	}
	for t := range touched {
		if k := key(t); k != none {
			open()
			delete(next, k)
		}
	}
	for t, own := range by {
		k := key(t)
		if k == none {
			continue
		}
		open()
		if v, there := read(k, own); there {
			next[k] = v
		}
	}
	if next == nil {
		return old
	}
	return next
}

func rollOf(_ ident.Roll, own []Fact) (RollState, bool) {
	var s RollState
	for _, f := range own {
		s.At = f.At
		switch f.Kind {
		case RollMounted:
			s.Stand = f.Place
			if f.Length > 0 {
				s.Length, s.Known = f.Length, true
			}
			continue
		case RollOff:
			s.Stand, s.Length, s.Known = "", f.Length, true
		case RollFound:
			s.Stand = ""
		case RollCame:
			s.Came, s.Inbound, s.Paper, s.Width = f.At, f.Inbound, f.Paper, f.Width
		}
		if f.Place != "" {
			s.Place = f.Place
		}
		if f.Length > 0 {
			s.Length, s.Known = f.Length, true
		}
		s.measure(f)
	}
	return s, true
}

func (s *RollState) measure(f Fact) {
	if f.Mass > 0 {
		s.Mass = f.Mass
	}
	if f.Diameter > 0 {
		s.Diameter = f.Diameter
	}
	if f.Moisture > 0 {
		s.Moisture = f.Moisture
	}
}

// stopOf returns the stop that lasts: told and not followed by running.
func stopOf(_ ident.Machine, own []Fact) (s StopState, still bool) {
	for _, f := range own {
		switch {
		case f.Kind == Running:
			s, still = StopState{}, false
		case still: // told again: what was unknown may be known now
			if !f.Until.IsZero() {
				s.Until = f.Until
			}
			if f.Reason != "" {
				s.Cause = f.Reason
			}
		default:
			s, still = StopState{Since: f.At, Until: f.Until, Cause: f.Reason}, true
		}
	}
	return s, still
}

func moveOf(_ ident.Stack, own []Fact) (Move, bool) {
	last := own[len(own)-1]
	return Move{last.Place, last.At}, true
}
