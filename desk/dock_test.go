package desk_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan/loads"
	"github.com/flutewright/flutewright/plan/trucks"
	"github.com/flutewright/flutewright/plant/trace"
)

// TestAtTheDock loads units one by one on a plan with two trucks: truck 1 takes
// both units of J1001, truck 2 the one of J1002.
func TestAtTheDock(t *testing.T) {
	h := demoHouse(t)
	a, b := ident.NewRelease("J1001", "", ""), ident.NewRelease("J1002", "", "")
	p := planOf(100, "J1001", "J1002")
	p.Loads = []loads.Load{{Release: a, Units: 2, PerUnit: 500, LastUnit: 200}, {Release: b, Units: 1, PerUnit: 300, LastUnit: 300}}
	p.Trucks.Trucks = []trucks.Truck{
		{Number: 1, Customer: "C01", Parts: []trucks.Part{{Release: a, From: 1, Units: 2}}, Units: 2},
		{Number: 2, Customer: "C02", Parts: []trucks.Part{{Release: b, From: 1, Units: 1}}, Units: 1},
	}
	h.make = answers(p)
	id := start(t, h, desk.PlanOptions{})
	last(t, h, id)
	code := func(r ident.Release, units, k int) string {
		n, err := h.NumberUnits(t.Context(), r, units, "Ana")
		if err != nil {
			t.Fatal(err)
		}
		tag, err := h.snapshot(t).Plant.Tags.Number(n.First + int64(k) - 1)
		if err != nil {
			t.Fatal(err)
		}
		return tag.Text
	}
	first, second, other := code(a, 2, 1), code(a, 2, 2), code(b, 1, 1)
	if _, err := h.Record(t.Context(), trace.Fact{ID: "hold", At: h.Now(), Kind: trace.Held, Source: "desk", Release: b, Reason: "gap over 12 mm"}); err != nil {
		t.Fatal(err)
	}
	for i, c := range []struct {
		source, code string
		truck        int
		same         bool // the same form again
		says         string
		boxes        int
	}{
		{"hand: the first unit", first, 1, false, "", 500},
		{"hand: its form sent twice", first, 1, true, "", 500},
		{"hand: scanned twice", first, 1, false, "was loaded already", 0},
		{"hand: the wrong truck", second, 2, false, "does not go on truck 2", 0},
		{"hand: on hold", other, 2, false, "is on hold", 0},
		{"hand: the last unit holds fewer", second, 1, false, "", 200},
		{"hand: no number of ours", "pallet", 1, false, "unit", 0},
	} {
		if !c.same {
			i++
		}
		u, err := h.LoadUnit(t.Context(), desk.Scan{ID: ident.Fact(fmt.Sprint("scan ", i)), Code: c.code, Plan: id, Truck: c.truck, Who: "Bo"})
		if c.says == "" && (err != nil || u.Boxes != c.boxes || u.New == c.same) {
			t.Errorf("%s: %+v, %v", c.source, u, err)
		}
		if c.says != "" && (err == nil || !strings.Contains(err.Error(), c.says)) {
			t.Errorf("%s: %v", c.source, err)
		}
	}
	on, err := h.OnTruck(t.Context(), id, p.Trucks.Trucks[0])
	if err != nil || len(on) != 2 {
		t.Errorf("on truck 1: %d, %v", len(on), err)
	}
	if q := h.snapshot(t).Done[a]; q.Shipped != 700 {
		t.Errorf("shipped %d boxes, want 700", q.Shipped)
	}
}
