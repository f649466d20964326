package trace

import (
	"cmp"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
)

// FloorOf returns what stands and runs by the facts; way says how each release
// goes through the machines. The order of facts and repeats change nothing.
func FloorOf(facts []Fact, way func(ident.Release) Way) Floor { return StateOf(facts, way).Floor() }

// Floor returns what stands and runs. A job or run that was started and never
// ended is on only while no later fact of its machine speaks of another.
func (s State) Floor() Floor {
	f := Floor{Rolls: s.Rolls, Stops: s.Stops, RunsDone: s.Runs, Jobs: map[Job]Progress{}}
	last := map[ident.Machine]time.Time{}
	for r, a := range s.Accounts {
		for _, st := range a.Stacks {
			f.Stacks = append(f.Stacks, s.standing(st))
		}
		for m, p := range a.Jobs {
			f.Jobs[Job{r, m}] = p
			f.jobOn(last, m, a, p)
		}
	}
	slices.SortFunc(f.Stacks, func(a, b Stack) int {
		return cmp.Or(cmp.Compare(a.Place, b.Place), a.Made.Compare(b.Made), ident.Compare(a.Release, b.Release),
			cmp.Compare(a.ID, b.ID), cmp.Compare(a.Sheets, b.Sheets))
	})
	f.runOn()
	return f
}

// standing returns the stack where it stands now, and whether it is held.
func (s State) standing(st Stack) Stack {
	if m, moved := s.Moves[st.ID]; moved && st.ID != "" && !m.At.Before(st.placed) {
		st.Place = m.Place
	}
	_, held := s.Holds.Stacks[st.ID]
	_, all := s.Holds.Releases[st.Release]
	st.Held = held || all
	return st
}

// jobOn keeps for each machine what its latest fact speaks of.
func (f *Floor) jobOn(last map[ident.Machine]time.Time, m ident.Machine, a *Account, p Progress) {
	on, running := a.On[m]
	switch d := p.Last.Compare(last[m]); {
	case d < 0:
		return
	case d == 0:
		was, there := f.JobsOn[m]
		if !running || there && ident.Compare(was.Release, on.Release) <= 0 {
			return
		}
	}
	last[m] = p.Last
	if !running {
		delete(f.JobsOn, m)
		return
	}
	if f.JobsOn == nil {
		f.JobsOn = map[ident.Machine]JobState{}
	}
	f.JobsOn[m] = on
}

// runOn finds the run that was started last, where it has not ended.
func (f *Floor) runOn() {
	var newest Run
	var since time.Time
	for r, p := range f.RunsDone {
		if p.Started.IsZero() {
			continue
		}
		later := p.Started.Compare(since)
		if later > 0 || later == 0 && (r.Plan > newest.Plan || r.Plan == newest.Plan && r.Run > newest.Run) {
			newest, since = r, p.Started
		}
	}
	if p := f.RunsDone[newest]; !since.IsZero() && p.Ended.IsZero() {
		f.RunOn, f.RunSince = &newest, since
	}
}
