package desk_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plan/waste"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/trace"
)

// Hand: a run of two orders with 4 × 3 and 2 × 3 first cuts. Of 40 sheets wasted of
// the first, 10 are booked for warp, 12 were planned and 18 have no reason; of 4 of
// the second all were planned. Trim 0.1 × 1,000 m² at 0.4353 kg/m².
func TestWasteOfARun(t *testing.T) {
	h := demoHouse(t)
	p := planOf(1, "J1001", "J1002")
	mm := quantity.Millimetre
	p.Runs = p.Runs[:1]
	p.Runs[0].Trim = 100 * mm
	p.Runs[0].Lanes = []runs.Lane{
		{Order: "J1001", Level: 1, Outs: 4, Slit: 300 * mm, Chop: 1000 * mm, Cuts: 1000, Sheets: 3988},
		{Order: "J1002", Level: 1, Outs: 2, Slit: 450 * mm, Chop: 1000 * mm, Cuts: 1000, Sheets: 1994},
	}
	h.make = answers(p)
	id := start(t, h, desk.PlanOptions{})
	last(t, h, id)
	ended := func(id string, r ident.Release, plan ident.Plan, good, wasted int) trace.Fact {
		return trace.Fact{ID: ident.Fact(id), At: demo.Now, Kind: trace.RunEnded, Source: "desk", Plan: plan, Run: 1, Release: r, Good: good, Waste: wasted}
	}
	record(t, h, ended("e1", j1001, id, 3960, 40))
	record(t, h, ended("e2", j1002, id, 1996, 4))
	record(t, h, trace.Fact{ID: "w", At: demo.Now, Kind: trace.WasteBooked, Source: "desk", Plan: id, Run: 1, Release: j1001, Machine: "CORR-1", Waste: 10, Reason: "warp"})
	wrong := ended("e3", j1002, id, 1, 500)
	record(t, h, wrong)
	record(t, h, trace.Fact{ID: "c", At: demo.Now.Add(time.Minute), Kind: trace.Correction, Source: "desk", Corrects: "e3"})
	foreseen, got, err := h.RunWaste(t.Context(), trace.Run{Plan: id, Run: 1})
	if err != nil {
		t.Fatal(err)
	}
	if len(foreseen) != 3 || foreseen[1].What != waste.FirstCuts || foreseen[1].Sheets != 18 {
		t.Errorf("foreseen %+v", foreseen)
	}
	sheets := map[string]int{"warp": 10, waste.FirstCuts: 12 + 4, desk.WasteUntold: 18, waste.Trim: 0, waste.Changes: 0}
	for _, r := range got.Rows {
		want, there := sheets[r.Reason]
		if !there || r.Sheets != want || r.Place != "CORR-1" || r.Planned == (r.Reason == "warp" || r.Reason == desk.WasteUntold) {
			t.Errorf("%+v, want %d sheets", r, want)
		}
		if r.Reason == waste.Trim && math.Abs(float64(r.Mass)-100*0.4353) > 1e-9 {
			t.Errorf("trim %+v", r)
		}
		delete(sheets, r.Reason)
	}
	if len(sheets) > 0 || got.Sheets != 28 || got.Untold != 18 {
		t.Errorf("%+v; missing %v", got, sheets)
	}
	_, by, err := h.WasteBySource(t.Context(), demo.Now.Add(-time.Hour), demo.Now.Add(time.Hour))
	if err != nil || len(by) != 1 || by[0].Run.Run != 1 || math.Abs(float64(by[0].Rest-got.Rest)) > 1e-9 {
		t.Errorf("by source %+v, %v", by, err)
	}
}

// Hand: waste is what the item was when the job was made. A sheet approved twice
// as long a day later changes nothing of it; a job before and one after differ.
func TestWasteIsOfTheItemAsItWas(t *testing.T) {
	h := demoHouse(t)
	wasted := func(id string) quantity.Mass {
		f := of(j1002, 0, told(id, trace.JobEnded, 0))
		f.At, f.Waste, f.Reason = h.clock(), 100, "jam "+id
		record(t, h, f)
		_, got, err := h.JobWaste(t.Context(), 0, j1002, "FFG-1")
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range got.Rows {
			if r.Reason == f.Reason {
				return r.Mass
			}
		}
		t.Fatalf("no waste for %s: %+v", f.Reason, got)
		return 0
	}
	approve := func(chop quantity.Length) {
		s := h.snapshot(t)
		l, _ := s.Line(j1002)
		i, _ := s.Item(l.Item)
		i.Sheet = &box.Sheet{Chop: chop, Slit: 500 * quantity.Millimetre}
		if err := h.SaveItem(t.Context(), i, s.Version(desk.KindItem, string(i.Code)), "Ana", ""); err != nil {
			t.Fatal(err)
		}
	}
	approve(quantity.Metre)
	before := wasted("1")
	h.later(24 * time.Hour)
	approve(2 * quantity.Metre)
	h.later(time.Hour)
	if after := wasted("2"); math.Abs(float64(after/before)-2) > 1e-9 {
		t.Errorf("%v kg before, %v kg of a sheet twice as long", before, after)
	}
	if again, _, _ := h.JobWaste(t.Context(), 0, j1002, "FFG-1"); again != nil {
		t.Errorf("foreseen without a plan: %+v", again)
	}
	_, got, _ := h.JobWaste(t.Context(), 0, j1002, "FFG-1")
	for _, r := range got.Rows {
		if r.Reason == "jam 1" && r.Mass != before {
			t.Errorf("the first job weighs %v kg now, %v before the change", r.Mass, before)
		}
	}
}

// Law: every sheet that a machine counted as waste stands under one reason, once:
// one told with the count, one booked for it, planned set-up, or none. What the
// runs and jobs wasted is what the days did.
func TestNoWastedSheetIsLostOrDoubled(t *testing.T) {
	for seed := range uint64(8) {
		h := demoHouse(t)
		rnd := rand.New(rand.NewPCG(seed, 5))
		counted, open := 0, map[ident.Release]int{} // open: not told with the count
		for i := range 30 {
			f := trace.Fact{ID: ident.Fact(fmt.Sprint("f", i)), At: demo.Now.Add(-time.Duration(rnd.IntN(40)) * time.Minute), Kind: trace.JobCounted, Source: "desk",
				Machine: "FFG-1", Release: []ident.Release{j1001, j1002}[rnd.IntN(2)], Good: rnd.IntN(50), Waste: 1 + rnd.IntN(40)}
			switch rnd.IntN(3) {
			case 0:
				f.Reason = "jam"
				counted += f.Waste
			case 1:
				open[f.Release] += f.Waste
				counted += f.Waste
			default:
				if open[f.Release] == 0 {
					continue
				}
				f.Kind, f.Reason, f.Waste, f.Good = trace.WasteBooked, "print", 1+rnd.IntN(open[f.Release]), 0
				open[f.Release] -= f.Waste
			}
			record(t, h, f)
		}
		rows, by, err := h.WasteBySource(t.Context(), demo.Now.Add(-6*time.Hour), demo.Now.Add(time.Hour))
		if err != nil {
			t.Fatal(err)
		}
		sheets, mass := 0, quantity.Mass(0)
		for _, r := range rows {
			sheets += r.Sheets
			mass += r.Mass
		}
		for _, v := range by {
			mass -= v.Planned + v.Rest
		}
		if sheets != counted || math.Abs(float64(mass)) > 1e-6 {
			t.Errorf("seed %d: %d sheets wasted, %d counted; %v kg of the days are no job's", seed, sheets, counted, mass)
		}
	}
}
