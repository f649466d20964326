package trace_test

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/trace"
)

// floors draws ledgers that speak of stacks, rolls, stops and runs as well, in
// the order they arrived.
func floors(t *rapid.T) []trace.Fact {
	out := ledgers(t)
	n := rapid.IntRange(0, 15).Draw(t, "more")
	for i := range n {
		f := trace.Fact{
			ID: ident.Fact(fmt.Sprint("g", i)), At: at(rapid.IntRange(0, 6).Draw(t, "minute")),
			Kind:    rapid.SampledFrom([]trace.Kind{trace.WasteBooked, trace.StackMoved, trace.RollCame, trace.RollMounted, trace.RollOff, trace.RollFound, trace.Stopped, trace.Running, trace.Held, trace.Released, trace.RunStarted}).Draw(t, "kind"),
			Stack:   rapid.SampledFrom([]ident.Stack{"S1", "S2"}).Draw(t, "stack"),
			Roll:    rapid.SampledFrom([]ident.Roll{"R1", "R2"}).Draw(t, "roll"),
			Machine: rapid.SampledFrom([]ident.Machine{"RDC-1", "FFG-1"}).Draw(t, "machine"),
			Place:   rapid.SampledFrom([]string{"A", "B", ""}).Draw(t, "place"),
			Length:  quantity.FromMetres(float64(rapid.IntRange(0, 3).Draw(t, "length"))),
			Plan:    1, Run: rapid.IntRange(1, 2).Draw(t, "run"),
		}
		if f.Kind == trace.WasteBooked {
			f.Release, f.Waste = ident.NewRelease("J1", "", ""), rapid.IntRange(0, 60).Draw(t, "waste")
			f.Machine = rapid.SampledFrom([]ident.Machine{"", "FFG-1"}).Draw(t, "at")
		}
		out = append(out, f)
	}
	return out
}

// seen is all that a floor says, in words that can be compared.
func seen(f trace.Floor) string {
	return fmt.Sprint(f.Stacks, f.Rolls, f.RunOn != nil, f.RunSince, f.JobsOn, f.Stops, f.RunsDone, f.Jobs)
}

func TestTheFloorIsTheSameInAnyArrivalOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		facts := floors(t)
		mixed := append(slices.Clone(facts), facts[:len(facts)/2]...)
		rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "shuffle"), 1)).Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
		a, b := trace.FloorOf(facts, along), trace.FloorOf(mixed, along)
		if seen(a) != seen(b) || !reflect.DeepEqual(a.RunOn, b.RunOn) {
			t.Fatalf("in order %s\nmixed    %s", seen(a), seen(b))
		}
	})
}

// Facts that arrive one by one, each read with the facts of its own subjects
// alone, give the state that all facts at once give.
func TestOneByOneIsAllAtOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		facts := floors(t)
		var state trace.State
		for i, f := range facts {
			state = state.With(touchedBy(facts[:i+1], f), facts[:i+1], along)
		}
		whole := trace.StateOf(facts, along)
		if a, b := seen(state.Floor()), seen(whole.Floor()); a != b {
			t.Fatalf("one by one %s\nat once    %s", a, b)
		}
		for r, a := range whole.Accounts {
			if b := state.Accounts[r]; b == nil || !reflect.DeepEqual(*a, *b) {
				t.Fatalf("%s at once %+v, one by one %+v", r, *a, b)
			}
		}
	})
}

// touchedBy follows a correction up to what it takes back, as a store does.
func touchedBy(known []trace.Fact, f trace.Fact) []trace.Subject {
	out := trace.SubjectsOf(f)
	done := map[ident.Fact]bool{}
	for f.Kind == trace.Correction && !done[f.ID] {
		done[f.ID] = true
		i := slices.IndexFunc(known, func(k trace.Fact) bool { return k.ID == f.Corrects })
		if i < 0 {
			break
		}
		f = known[i]
		out = append(out, trace.SubjectsOf(f)...)
	}
	return out
}

// No sheet is created or lost: what was made stands on the floor or was fed,
// whatever facts arrive; what was fed without being there is said as owed.
func TestEverySheetIsSomewhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for r, a := range trace.StateOf(floors(t), along).Accounts {
			stands := 0
			for _, s := range a.Stacks {
				if s.Sheets <= 0 {
					t.Fatalf("%s: a stack of %d sheets", r, s.Sheets)
				}
				stands += s.Sheets
			}
			c := a.Counts
			if a.SheetsMade != stands+c.Fed+c.Lost-c.Owed {
				t.Fatalf("%s: %d made, but %d stand, %d fed, %d thrown away, %d of these owed", r, a.SheetsMade, stands, c.Fed, c.Lost, c.Owed)
			}
			if c.Owed < 0 || c.Unset < 0 || c.Between < 0 {
				t.Fatalf("%s: %+v", r, c)
			}
			if made := max(c.Knife, c.ToFloor); a.SheetsMade < made+c.Opening+c.Recount {
				t.Fatalf("%s: %d made of %+v", r, a.SheetsMade, c)
			}
		}
	})
}

// The counts of each row follow by hand.
func TestAccount(t *testing.T) {
	type facts = []trace.Fact
	run := func(id string, minute int, kind trace.Kind, stack ident.Stack, good int) trace.Fact {
		return trace.Fact{ID: ident.Fact(id), At: at(minute), Kind: kind, Stack: stack, Good: good, Plan: 1, Run: 4, Place: "A"}
	}
	for _, c := range []struct {
		source string
		facts  facts
		made   int
		stands []int
		counts trace.Counts
	}{
		{"hand: stacks of a run in progress are made", facts{
			run("1", 1, trace.StackMade, "S1", 400), run("2", 2, trace.StackMade, "S2", 400),
		}, 800, []int{400, 400}, trace.Counts{ToFloor: 800}},
		{"hand: 20 good cuts were not set down", facts{
			run("1", 1, trace.StackMade, "S1", 400), run("2", 2, trace.StackMade, "S2", 400), run("3", 3, trace.RunEnded, "", 820),
		}, 820, []int{400, 400, 20}, trace.Counts{Knife: 820, ToFloor: 800, Unset: 20}},
		{"hand: the oldest is fed first, but a named one before it", facts{
			run("1", 1, trace.StackMade, "S1", 400), run("2", 2, trace.StackMade, "S2", 400),
			{ID: "3", At: at(3), Kind: trace.JobStarted, Machine: "FFG-1", Stack: "S2"},
			{ID: "4", At: at(4), Kind: trace.JobCounted, Machine: "FFG-1", Good: 440, Waste: 10},
		}, 800, []int{350}, trace.Counts{ToFloor: 800, Fed: 450, WasteFed: 10, PressGood: 440}},
		{"hand: a recount is of what is left", facts{
			run("1", 1, trace.StackMade, "S1", 500),
			{ID: "2", At: at(2), Kind: trace.JobCounted, Machine: "FFG-1", Good: 200},
			run("3", 3, trace.StackFound, "S1", 290),
		}, 490, []int{290}, trace.Counts{ToFloor: 500, Fed: 200, Recount: -10, PressGood: 200}},
		{"hand: found, then told as made by its run: once", facts{
			run("1", 1, trace.StackFound, "S1", 500), run("2", 2, trace.StackMade, "S1", 500),
		}, 500, []int{500}, trace.Counts{ToFloor: 500}},
		{"hand: more fed than made", facts{
			run("1", 1, trace.StackMade, "S1", 500),
			{ID: "2", At: at(2), Kind: trace.JobCounted, Machine: "FFG-1", Good: 540},
		}, 500, nil, trace.Counts{ToFloor: 500, Fed: 540, Owed: 40, PressGood: 540}},
		{"hand: fed before the stack was told", facts{
			{ID: "1", At: at(1), Kind: trace.JobCounted, Machine: "FFG-1", Good: 540}, run("2", 2, trace.StackMade, "S1", 600),
		}, 600, []int{60}, trace.Counts{ToFloor: 600, Fed: 540, PressGood: 540}},
		{"hand: sheets thrown away come off their stack; a machine's are reasons of its counts", facts{
			run("1", 1, trace.StackMade, "S1", 500), run("2", 2, trace.StackMade, "S2", 500),
			{ID: "3", At: at(3), Kind: trace.WasteBooked, Stack: "S2", Waste: 30, Reason: "truck"},
			{ID: "4", At: at(4), Kind: trace.WasteBooked, Waste: 5, Reason: "wet"},
			{ID: "5", At: at(5), Kind: trace.WasteBooked, Machine: "FFG-1", Waste: 9, Reason: "print"},
		}, 1000, []int{495, 470}, trace.Counts{
			ToFloor: 1000, Lost: 35, LostWhy: []trace.Share{{Why: "truck", Sheets: 30}, {Why: "wet", Sheets: 5}},
			WasteWhy: []trace.Share{{Why: "print", Machine: "FFG-1", Sheets: 9}},
		}},
		{"hand: counted again after sheets were thrown away: no sheet is missed twice", facts{
			run("1", 1, trace.StackMade, "S1", 500), {ID: "2", At: at(2), Kind: trace.WasteBooked, Waste: 5, Reason: "wet"},
			run("3", 3, trace.StackFound, "S1", 494),
		}, 499, []int{494}, trace.Counts{ToFloor: 500, Recount: -1, Lost: 5, LostWhy: []trace.Share{{Why: "wet", Sheets: 5}}}},
		{"hand: bundled and tagged boxes", facts{
			run("1", 1, trace.StackMade, "S1", 500),
			{ID: "3", At: at(3), Kind: trace.Bundled, Good: 60},
			{ID: "4", At: at(4), Kind: trace.UnitFound, Unit: "U1", Good: 40},
		}, 500, []int{500}, trace.Counts{ToFloor: 500, Bundled: 60, Tagged: 40, Early: 40}},
	} {
		for i := range c.facts {
			c.facts[i].Release = j1002
		}
		a := trace.AccountOf(c.facts, j1002, trace.Way{First: []ident.Machine{"FFG-1"}})
		var stands []int
		for _, s := range a.Stacks {
			stands = append(stands, s.Sheets)
		}
		if a.SheetsMade != c.made || !slices.Equal(stands, c.stands) || !reflect.DeepEqual(a.Counts, c.counts) {
			t.Errorf("%s: made %d, stands %v, %+v; want %d, %v, %+v", c.source, a.SheetsMade, stands, a.Counts, c.made, c.stands, c.counts)
		}
	}
}

func TestFloorOf(t *testing.T) {
	j1005 := ident.NewRelease("J1005", "", "")
	facts := []trace.Fact{
		{ID: "a", At: at(1), Kind: trace.JobStarted, Release: j1002, Machine: "FFG-1"}, // never ended, but overtaken
		{ID: "b", At: at(3), Kind: trace.JobStarted, Release: j1005, Machine: "FFG-1"},
		{ID: "c", At: at(4), Kind: trace.JobCounted, Release: j1005, Machine: "FFG-1", Good: 300, Waste: 4},
		{ID: "d", At: at(1), Kind: trace.JobStarted, Release: j1002, Machine: "FFG-2"},
		{ID: "e", At: at(2), Kind: trace.JobEnded, Release: j1002, Machine: "FFG-2", Good: 10},
		{ID: "f", At: at(2), Kind: trace.Stopped, Machine: "FFG-2", Until: at(60), Reason: "belt"},
		{ID: "g", At: at(2), Kind: trace.Stopped, Machine: "RDC-1"}, {ID: "h", At: at(3), Kind: trace.Running, Machine: "RDC-1"},
		{ID: "i", At: at(1), Kind: trace.RollMounted, Roll: "R1", Place: "SF1-inner"},
		{ID: "j", At: at(2), Kind: trace.RollOff, Roll: "R2", Length: quantity.FromMetres(840), Place: "H3"},
		{ID: "k", At: at(1), Kind: trace.RollMounted, Roll: "R2", Place: "SF1-outer"},
		{ID: "l", At: at(2), Kind: trace.RunStarted, Plan: 7, Run: 2},
		{ID: "m", At: at(1), Kind: trace.RunStarted, Plan: 7, Run: 1},
		{ID: "n", At: at(3), Kind: trace.StackMade, Release: j1002, Stack: "S1", Good: 50, Place: "A"},
		{ID: "o", At: at(4), Kind: trace.StackMoved, Stack: "S1", Place: "B-2"}, // without its order
		{ID: "p", At: at(5), Kind: trace.Held, Stack: "S1", Reason: "wet"},
	}
	f := trace.FloorOf(facts, func(ident.Release) trace.Way { return trace.Way{} })
	if on := f.JobsOn; len(on) != 1 || on["FFG-1"] != (trace.JobState{Release: j1005, Since: at(3), Good: 300, Waste: 4}) {
		t.Errorf("jobs on: %+v", on)
	}
	if s := f.Stops; len(s) != 1 || s["FFG-2"] != (trace.StopState{Since: at(2), Until: at(60), Cause: "belt"}) {
		t.Errorf("stops: %+v", s)
	}
	if r := f.Rolls["R1"]; r.Stand != "SF1-inner" || r.Known {
		t.Errorf("R1: %+v", r)
	}
	if r := f.Rolls["R2"]; r.Stand != "" || r.Place != "H3" || r.Length != quantity.FromMetres(840) {
		t.Errorf("R2: %+v", r)
	}
	if f.RunOn == nil || *f.RunOn != (trace.Run{Plan: 7, Run: 2}) || f.RunSince != at(2) {
		t.Errorf("run on: %+v since %v", f.RunOn, f.RunSince)
	}
	if len(f.Stacks) != 1 || f.Stacks[0].Place != "B-2" || !f.Stacks[0].Held || len(f.StacksOf(j1002)) != 0 {
		t.Errorf("stacks: %+v", f.Stacks)
	}
	ended := append(facts, trace.Fact{ID: "z", At: at(6), Kind: trace.RunEnded, Plan: 7, Run: 2})
	if f := trace.FloorOf(ended, along); f.RunOn != nil {
		t.Errorf("an overtaken run is on: %+v", f.RunOn)
	}
}
