package desk_test

import (
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
	"github.com/flutewright/flutewright/plant/trace"
)

var j1001 = ident.NewRelease("J1001", "", "")

// told is a fact typed at the desk.
func told(id string, kind trace.Kind, good int) trace.Fact {
	f := trace.Fact{ID: ident.Fact(id), At: demo.Now, Kind: kind, Source: "desk", Who: "Ana", Release: j1001, Good: good}
	if kind == trace.JobStarted || kind == trace.JobCounted || kind == trace.JobEnded {
		f.Machine = "FFG-1"
	}
	return f
}

func record(t *testing.T, h *house, f trace.Fact) desk.Recorded {
	t.Helper()
	r, err := h.Record(t.Context(), f)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestTypedProgressIsInTheNextSnapshot(t *testing.T) {
	h := demoHouse(t)
	if r := record(t, h, told("s1", trace.StackFound, 9000)); !r.New || len(r.Warnings) != 0 {
		t.Errorf("%+v", r)
	}
	record(t, h, told("j0", trace.JobStarted, 0))
	record(t, h, told("j1", trace.JobCounted, 4000))
	want := trace.Quantities{SheetsMade: 9000, SheetsFed: 4000, BoxesGood: 4000}
	if got := h.snapshot(t).Done[j1001]; got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	before := h.snapshot(t)
	if r := record(t, h, told("j1", trace.JobCounted, 4000)); r.New {
		t.Error("a repeat was taken as new")
	}
	if h.snapshot(t) != before {
		t.Error("a repeat made a new snapshot")
	}
	if _, err := h.Record(t.Context(), told("j1", trace.JobCounted, 4001)); !errors.Is(err, fault.Reused) {
		t.Errorf("the same id with another count: %v", err)
	}
	if r := record(t, h, trace.Fact{ID: "c1", At: demo.Now, Kind: trace.Correction, Source: "desk", Corrects: "j1"}); len(r.Warnings) != 0 {
		t.Errorf("a correction of what is there: %q", r.Warnings)
	}
	want = trace.Quantities{SheetsMade: 9000}
	if got := h.snapshot(t).Done[j1001]; got != want {
		t.Errorf("after the correction %+v, want %+v", got, want)
	}
	fresh, err := h.another(t).Snapshot(t.Context())
	if err != nil || !reflect.DeepEqual(fresh.Done, h.snapshot(t).Done) {
		t.Errorf("folded afresh: %v, %v", fresh.Done, err)
	}
	got, err := h.Facts(t.Context(), desk.FactQuery{Release: j1001})
	if err != nil || len(got) != 4 {
		t.Errorf("%v, %v", got, err)
	}
}

func TestOddFactsAreTakenWithAWarning(t *testing.T) {
	h := demoHouse(t)
	for _, c := range []struct {
		f       trace.Fact
		warning string
	}{
		{told("1", trace.JobCounted, 10), "without a start"},
		{told("2", trace.JobCounted, 30_000), "30,010 sheets fed, but none counted"},
		{told("3", trace.StackFound, 500), "30,010 sheets fed, but only 500 made"},
		{told("4", trace.UnitShipped, 90_000), "90,000 boxes shipped, but only 30,010"},
		{trace.Fact{ID: "5", At: demo.Now, Kind: trace.Correction, Source: "desk", Corrects: "none", Release: j1001}, "has not arrived yet"},
	} {
		r := record(t, h, c.f)
		if !r.New || !strings.Contains(strings.Join(r.Warnings, "\n"), c.warning) {
			t.Errorf("%s: %+v", c.f.Kind, r)
		}
	}
}

func TestFactsThatCannotBeAreRefused(t *testing.T) {
	h := demoHouse(t)
	h.make = answers(planOf(100, "J1001"))
	id := start(t, h, desk.PlanOptions{})
	last(t, h, id)
	run := func(seq int, p ident.Plan, order string) trace.Fact {
		f := told("r", trace.RunEnded, 10)
		f.Plan, f.Run, f.Release = p, seq, ident.NewRelease(order, "", "")
		return f
	}
	ahead := told("a", trace.StackFound, 1)
	ahead.At = demo.Now.Add(6 * time.Minute)
	machine := told("m", trace.JobCounted, 1)
	machine.Machine = "FFG-9"
	for field, f := range map[string]trace.Fact{
		"good":    told("g", trace.StackFound, -4),
		"order":   func() trace.Fact { f := told("o", trace.StackFound, 1); f.Release.Order = "J9999"; return f }(),
		"machine": machine,
		"at":      ahead,
		"run":     run(7, id, "J1001"),
		"plan":    run(1, 0, "J1001"),
	} {
		_, err := h.Record(t.Context(), f)
		var vs fault.Violations
		if !errors.As(err, &vs) || vs[0].Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
	if _, err := h.Record(t.Context(), run(1, 99, "J1001")); !errors.Is(err, fault.Invalid) {
		t.Errorf("an unknown plan: %v", err)
	}
	if _, err := h.Record(t.Context(), run(1, id, "J1002")); !errors.Is(err, fault.Invalid) {
		t.Errorf("an order that is not on the run: %v", err)
	}
	if got, _ := h.Facts(t.Context(), desk.FactQuery{}); len(got) != 0 {
		t.Errorf("a refused fact is in the ledger: %v", got)
	}
	if r := record(t, h, run(1, id, "J1001")); !r.New {
		t.Error("a rightful fact was not taken")
	}
	soon := told("b", trace.StackFound, 1)
	soon.At = demo.Now.Add(4 * time.Minute)
	record(t, h, soon)
}

func TestWhatFactsHoldIsOnHold(t *testing.T) {
	h := demoHouse(t)
	record(t, h, trace.Fact{ID: "h1", At: demo.Now, Kind: trace.Held, Source: "desk", Roll: "R0001", Reason: "wet edge"})
	record(t, h, trace.Fact{ID: "h2", At: demo.Now, Kind: trace.Held, Source: "desk", Release: j1001})
	at := func(s *desk.Snapshot) (roll.Roll, order.Line) {
		r := slices.IndexFunc(s.Rolls, func(r roll.Roll) bool { return r.ID == "R0001" })
		l := slices.IndexFunc(s.Lines, func(l order.Line) bool { return l.Key == j1001 })
		return s.Rolls[r], s.Lines[l]
	}
	s := h.snapshot(t)
	if r, l := at(s); !r.Hold || r.HoldReason != "wet edge" || l.State != order.OnHold {
		t.Errorf("%+v, %+v", r, l)
	}
	if r, _ := s.Roll("R0001"); r.Hold || lineOf(t, s, "J1001").State != order.Open {
		t.Error("a hold by a fact changed what people stated")
	}
	l := lineOf(t, s, "J1002") // another change leaves the holds
	l.Priority = 2
	if err := h.SaveLine(t.Context(), l, 1, "Ana", ""); err != nil {
		t.Fatal(err)
	}
	if r, l := at(h.snapshot(t)); !r.Hold || l.State != order.OnHold {
		t.Errorf("%+v, %+v", r, l)
	}
	h.later(time.Hour)
	record(t, h, trace.Fact{ID: "h3", At: demo.Now.Add(time.Hour), Kind: trace.Released, Source: "desk", Roll: "R0001"})
	record(t, h, trace.Fact{ID: "h4", At: demo.Now.Add(time.Hour), Kind: trace.Correction, Source: "desk", Corrects: "h2"})
	if r, l := at(h.snapshot(t)); r.Hold || l.State != order.Open {
		t.Errorf("%+v, %+v", r, l)
	}
}
