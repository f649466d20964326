package trace_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/trace"
)

var (
	morning = time.Date(2031, 3, 3, 6, 0, 0, 0, time.UTC)
	j1002   = ident.NewRelease("J1002", "", "")
)

func at(minute int) time.Time { return morning.Add(time.Duration(minute) * time.Minute) }

// The figures of each row follow from the counts by hand.
func TestFold(t *testing.T) {
	type facts = []trace.Fact
	way := trace.Way{PerSheet: 2, Before: []ident.Machine{"RDC-1"}}
	for _, c := range []struct {
		source string
		facts  facts
		way    trace.Way
		want   trace.Quantities
	}{
		{"hand: opening stock is made sheets and boxes in units", facts{
			{ID: "1", Kind: trace.StackFound, Stack: "S1", Good: 500}, {ID: "2", Kind: trace.StackFound, Good: 30},
			{ID: "3", Kind: trace.UnitFound, Unit: "U1", Good: 240},
		}, trace.Way{}, trace.Quantities{SheetsMade: 530, BoxesGood: 240, InUnits: 240}},
		{"hand: a stack counted again counts once, by the later count", facts{
			{ID: "1", At: at(9), Kind: trace.StackFound, Stack: "S1", Good: 480}, {ID: "2", At: at(1), Kind: trace.StackFound, Stack: "S1", Good: 500},
		}, trace.Way{}, trace.Quantities{SheetsMade: 480}},
		{"hand: a run, a job counted twice and ended", facts{
			{ID: "1", At: at(1), Kind: trace.RunEnded, Good: 11500, Waste: 20},
			{ID: "2", At: at(2), Kind: trace.JobStarted, Machine: "FFG-1"},
			{ID: "3", At: at(3), Kind: trace.JobCounted, Machine: "FFG-1", Good: 6000, Waste: 90},
			{ID: "4", At: at(4), Kind: trace.JobEnded, Machine: "FFG-1", Good: 5350, Waste: 60},
		}, trace.Way{}, trace.Quantities{SheetsMade: 11500, SheetsFed: 11500, BoxesGood: 11350, BoxesWaste: 150}},
		{"hand: the die cutter before the gluer makes no boxes, but its waste is fed", facts{
			{ID: "1", At: at(1), Kind: trace.RunEnded, Good: 1000},
			{ID: "2", At: at(2), Kind: trace.JobEnded, Machine: "RDC-1", Good: 1950, Waste: 50},
			{ID: "3", At: at(3), Kind: trace.JobCounted, Machine: "FFG-1", Good: 801, Waste: 10},
		}, way, trace.Quantities{SheetsMade: 1000, SheetsFed: 406 + 25, BoxesGood: 801, BoxesWaste: 10}},
		{"hand: a unit found after the press counted holds boxes that were counted", facts{
			{ID: "1", At: at(1), Kind: trace.UnitFound, Unit: "U1", Good: 200},
			{ID: "2", At: at(2), Kind: trace.JobCounted, Machine: "FFG-1", Good: 300},
			{ID: "3", At: at(3), Kind: trace.UnitFound, Unit: "U2", Good: 250},
		}, trace.Way{}, trace.Quantities{SheetsFed: 300, BoxesGood: 500, InUnits: 450}},
		{"hand: a shipped unit without boxes holds what was found in it", facts{
			{ID: "1", At: at(1), Kind: trace.UnitFound, Unit: "U1", Good: 200},
			{ID: "2", At: at(2), Kind: trace.UnitShipped, Unit: "U1"},
			{ID: "3", At: at(3), Kind: trace.UnitShipped, Good: 40},
		}, trace.Way{}, trace.Quantities{BoxesGood: 200, InUnits: 200, Shipped: 240}},
		{"hand: a correction takes back, its correction gives back", facts{
			{ID: "1", Kind: trace.RunEnded, Good: 900}, {ID: "2", Kind: trace.Correction, Corrects: "1"},
			{ID: "3", Kind: trace.RunEnded, Good: 90}, {ID: "4", Kind: trace.Correction, Corrects: "3"},
			{ID: "5", Kind: trace.Correction, Corrects: "4"},
		}, trace.Way{}, trace.Quantities{SheetsMade: 90}},
	} {
		for i := range c.facts {
			if c.facts[i].Kind != trace.Correction {
				c.facts[i].Release = j1002
			}
		}
		got := trace.FoldAlong(c.facts, func(ident.Release) trace.Way { return c.way })[j1002]
		if got != c.want {
			t.Errorf("%s: %+v, want %+v", c.source, got, c.want)
		}
	}
}

// ledgers draws facts of two releases, with corrections of facts and of corrections.
func ledgers(t *rapid.T) []trace.Fact {
	kinds := trace.Kinds()
	n := rapid.IntRange(0, 25).Draw(t, "facts")
	out := make([]trace.Fact, n)
	for i := range out {
		f := trace.Fact{
			ID:   ident.Fact(fmt.Sprint("f", i)),
			At:   at(rapid.IntRange(0, 6).Draw(t, "minute")),
			Kind: rapid.SampledFrom(kinds).Draw(t, "kind"),
		}
		if f.Kind == trace.Correction {
			f.Corrects = ident.Fact(fmt.Sprint("f", rapid.IntRange(0, n).Draw(t, "corrects")))
		} else {
			f.Release = ident.NewRelease(rapid.SampledFrom([]string{"J1", "J2"}).Draw(t, "order"), "", "")
			f.Machine = rapid.SampledFrom([]ident.Machine{"RDC-1", "FFG-1"}).Draw(t, "machine")
			f.Good, f.Waste = rapid.IntRange(0, 99).Draw(t, "good"), rapid.IntRange(0, 9).Draw(t, "waste")
			f.Unit = rapid.SampledFrom([]ident.Unit{"", "U1", "U2"}).Draw(t, "unit")
			f.Stack = rapid.SampledFrom([]ident.Stack{"", "S1", "S2"}).Draw(t, "stack")
			f.Plan, f.Run = 1, rapid.IntRange(0, 2).Draw(t, "run")
		}
		out[i] = f
	}
	return out
}

func along(ident.Release) trace.Way {
	return trace.Way{PerSheet: 3, Before: []ident.Machine{"RDC-1"}}
}

func TestAnyArrivalOrderGivesTheSameState(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		facts := ledgers(t)
		seed := rapid.Uint64().Draw(t, "shuffle")
		mixed := append(slices.Clone(facts), facts[:len(facts)/2]...) // half of them arrive twice
		rand.New(rand.NewPCG(seed, 1)).Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
		if a, b := trace.FoldAlong(facts, along), trace.FoldAlong(mixed, along); !maps.Equal(a, b) {
			t.Fatalf("in order %v\nmixed    %v", a, b)
		}
		if a, b := trace.Standing(facts), trace.Standing(mixed); !slices.Equal(a, b) {
			t.Fatalf("standing facts differ: %v, %v", a, b)
		}
		if a, b := fmt.Sprint(trace.Runs(facts), trace.Jobs(facts), trace.HoldsOf(facts)), fmt.Sprint(trace.Runs(mixed), trace.Jobs(mixed), trace.HoldsOf(mixed)); a != b {
			t.Fatalf("runs, jobs, holds differ: %s, %s", a, b)
		}
	})
}

func TestACorrectionTakesBackExactlyOneFact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		facts := slices.DeleteFunc(ledgers(t), func(f trace.Fact) bool { return f.Kind == trace.Correction })
		if len(facts) == 0 {
			return
		}
		i := rapid.IntRange(0, len(facts)-1).Draw(t, "wrong")
		correction := trace.Fact{ID: "c", At: at(9), Kind: trace.Correction, Corrects: facts[i].ID}
		without := slices.Delete(slices.Clone(facts), i, i+1)
		after := trace.FoldAlong(append(slices.Clone(facts), correction), along)
		if want := trace.FoldAlong(without, along); !maps.Equal(after, want) {
			t.Fatalf("after the correction %v, without the fact %v", after, want)
		}
		again := trace.Fact{ID: "c2", At: at(9), Kind: trace.Correction, Corrects: "c"}
		back := trace.FoldAlong(append(slices.Clone(facts), again, correction), along)
		if want := trace.FoldAlong(facts, along); !maps.Equal(back, want) {
			t.Fatalf("after taking the correction back %v, want %v", back, want)
		}
	})
}

func TestProgressOfRunsAndJobs(t *testing.T) {
	facts := []trace.Fact{
		{ID: "3", At: at(50), Kind: trace.RunEnded, Plan: 4, Run: 2, Release: j1002, Good: 700, Waste: 6},
		{ID: "1", At: at(10), Kind: trace.RunStarted, Plan: 4, Run: 2},
		{ID: "4", At: at(60), Kind: trace.JobStarted, Release: j1002, Machine: "FFG-1"},
		{ID: "5", At: at(70), Kind: trace.JobCounted, Release: j1002, Machine: "FFG-1", Good: 400, Waste: 4},
	}
	run := trace.Runs(facts)[trace.Run{Plan: 4, Run: 2}]
	if !run.Started.Equal(at(10)) || !run.Ended.Equal(at(50)) || run.Good[j1002] != 700 || run.Waste != 6 {
		t.Errorf("run: %+v", run)
	}
	job := trace.Jobs(facts)[trace.Job{Release: j1002, Machine: "FFG-1"}]
	if !job.Started.Equal(at(60)) || !job.Ended.IsZero() || job.Good[j1002] != 400 {
		t.Errorf("job: %+v", job)
	}
}

func TestHolds(t *testing.T) {
	h := trace.HoldsOf([]trace.Fact{
		{ID: "3", At: at(3), Kind: trace.Held, Roll: "R0076", Reason: "moisture"},
		{ID: "2", At: at(2), Kind: trace.Released, Roll: "R0076"},
		{ID: "1", At: at(1), Kind: trace.Held, Release: j1002, Unit: "U1"},
		{ID: "4", At: at(4), Kind: trace.Released, Release: j1002, Unit: "U1"},
		{ID: "5", At: at(5), Kind: trace.Held, Release: j1002},
	})
	if h.Rolls["R0076"].Reason != "moisture" || len(h.Units) != 0 || len(h.Releases) != 1 {
		t.Errorf("%+v", h)
	}
}

func TestOddOnes(t *testing.T) {
	start := trace.Fact{ID: "1", At: at(1), Kind: trace.JobStarted, Release: j1002, Machine: "FFG-1"}
	end := trace.Fact{ID: "2", At: at(9), Kind: trace.JobEnded, Release: j1002, Machine: "FFG-1", Good: 9}
	count := trace.Fact{ID: "3", At: at(5), Kind: trace.JobCounted, Release: j1002, Machine: "FFG-1", Good: 9}
	late := count
	late.At = at(10)
	again := end
	again.ID = "4"
	for _, c := range []struct {
		name   string
		before []trace.Fact
		f      trace.Fact
		odd    int
	}{
		{"in order", []trace.Fact{start}, count, 0},
		{"a count that comes in after the end but happened before it", []trace.Fact{start, end}, count, 0},
		{"a count after the end", []trace.Fact{start, end}, late, 1},
		{"an end without a start", nil, end, 1},
		{"ended twice", []trace.Fact{start, end}, again, 1},
		{"a correction of what is not there", nil, trace.Fact{ID: "9", Kind: trace.Correction, Corrects: "1"}, 1},
		{"a correction of what is there", []trace.Fact{start}, trace.Fact{ID: "9", Kind: trace.Correction, Corrects: "1"}, 0},
	} {
		if got := trace.OddOnes(c.before, c.f); len(got) != c.odd {
			t.Errorf("%s: %q", c.name, got)
		}
	}
}

func TestCheck(t *testing.T) {
	good := trace.Fact{ID: "1", At: at(1), Kind: trace.JobCounted, Source: "desk", Release: j1002, Machine: "FFG-1", Good: 9}
	if vs := trace.Check(good); len(vs) > 0 {
		t.Fatal(vs)
	}
	for field, spoil := range map[string]func(*trace.Fact){
		"fact":     func(f *trace.Fact) { f.ID = "" },
		"at":       func(f *trace.Fact) { f.At = time.Time{} },
		"kind":     func(f *trace.Fact) { f.Kind = "run dreamt" },
		"source":   func(f *trace.Fact) { f.Source = "" },
		"good":     func(f *trace.Fact) { f.Good = -1 },
		"waste":    func(f *trace.Fact) { f.Waste = 1e9 },
		"order":    func(f *trace.Fact) { f.Release = ident.Release{} },
		"machine":  func(f *trace.Fact) { f.Machine = "" },
		"corrects": func(f *trace.Fact) { f.Kind, f.Corrects = trace.Correction, f.ID },
		"run":      func(f *trace.Fact) { f.Kind = trace.RunStarted },
		"roll":     func(f *trace.Fact) { f.Kind = trace.RollFound },
	} {
		f := good
		spoil(&f)
		vs := trace.Check(f)
		if len(vs) == 0 || vs[0].Field != field {
			t.Errorf("%s: %v", field, vs)
		}
	}
}
