package trace_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/trace"
)

func mounted(id string, minute int, kind trace.Kind, roll ident.Roll, stand string) trace.Fact {
	return trace.Fact{ID: ident.Fact(id), At: at(minute), Kind: kind, Roll: roll, Place: stand}
}

// Hand: R1 is spliced out by R2 without a word; R2 moves to another stand; R3 is
// mounted by mistake and taken back; R4 is taken off.
func TestRollsOnStands(t *testing.T) {
	facts := []trace.Fact{
		mounted("a", 0, trace.RollMounted, "R1", "A"),
		mounted("b", 10, trace.RollMounted, "R2", "A"),
		mounted("b2", 12, trace.RollMounted, "R2", "A"),
		mounted("c", 20, trace.RollMounted, "R2", "B"),
		mounted("d", 15, trace.RollMounted, "R3", "A"),
		{ID: "e", At: at(30), Kind: trace.Correction, Corrects: "d"},
		mounted("f", 25, trace.RollMounted, "R4", "A"),
		mounted("g", 40, trace.RollOff, "R4", ""),
	}
	got := trace.MountingsOf(facts)
	want := []trace.Mounting{
		{Roll: "R1", Stand: "A", From: at(0), Until: at(10)},
		{Roll: "R2", Stand: "A", From: at(10), Until: at(20)},
		{Roll: "R2", Stand: "B", From: at(20)},
		{Roll: "R4", Stand: "A", From: at(25), Until: at(40)},
	}
	if !slices.Equal(got, want) {
		t.Errorf("%v\nwant %v", got, want)
	}
	if a, b, some := want[1].Within(at(5), at(15)); !some || !a.Equal(at(10)) || !b.Equal(at(15)) {
		t.Errorf("%v to %v, %v", a, b, some)
	}
	if _, _, some := want[1].Within(at(20), at(30)); some {
		t.Error("a roll that went at 20 is on a run that began then")
	}
	if _, b, some := want[2].Within(at(30), at(50)); !some || !b.Equal(at(50)) {
		t.Error("a roll that is still on is not on")
	}
}

// Law: facts in any order and told twice give the same mountings, and no roll is on two stands at once.
func TestRollsOnStandsInAnyOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var facts []trace.Fact
		for i := range rapid.IntRange(0, 12).Draw(t, "facts") {
			facts = append(facts, mounted(fmt.Sprint(i), rapid.IntRange(0, 30).Draw(t, "minute"),
				rapid.SampledFrom([]trace.Kind{trace.RollMounted, trace.RollMounted, trace.RollOff, trace.RollFound}).Draw(t, "kind"),
				rapid.SampledFrom([]ident.Roll{"R1", "R2", "R3"}).Draw(t, "roll"), rapid.SampledFrom([]string{"A", "B"}).Draw(t, "stand")))
		}
		mixed := append(slices.Clone(facts), facts...)
		rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "shuffle"), 1)).Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
		a, b := trace.MountingsOf(facts), trace.MountingsOf(mixed)
		if !slices.Equal(a, b) {
			t.Fatalf("%v\nmixed %v", a, b)
		}
		for i, m := range a {
			for _, n := range a[i+1:] {
				if m.Roll == n.Roll && m.Until.IsZero() || m.Roll == n.Roll && m.Until.After(n.From) {
					t.Fatalf("%v and %v at once", m, n)
				}
			}
		}
	})
}
