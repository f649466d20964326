package desk_test

import (
	"errors"
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// called is J1001 with two call-offs more of the same line, of 1,000 boxes each.
func called(t *testing.T, h *house) []ident.Release {
	t.Helper()
	l := lineOf(t, h.snapshot(t), "J1001")
	keys := []ident.Release{l.Key}
	for n := 2; n <= 3; n++ {
		next := l
		next.Key.Release, next.Quantity, next.Due = fmt.Sprint(n), 1000, l.Due.AddDate(0, 0, n)
		if err := h.SaveLine(t.Context(), next, 0, "Ana", ""); err != nil {
			t.Fatal(err)
		}
		keys = append(keys, next.Key)
	}
	return keys
}

func made(t *testing.T, h *house, id string, key ident.Release, boxes int) {
	t.Helper()
	record(t, h, trace.Fact{ID: ident.Fact(id), At: demo.Now, Kind: trace.UnitFound, Source: "desk", Release: key, Unit: ident.Unit("U" + id), Good: boxes})
}

// Hand: of 18,000 ordered 18,600 are made, within the 5 % that the customer takes.
// 600 are over; 400 go to the next call-off, 150 to stock, 50 stay.
func TestOversGoWhereAPersonSays(t *testing.T) {
	h := demoHouse(t)
	keys := called(t, h)
	made(t, h, "1", keys[0], 18_600)
	overs, err := h.Overs(t.Context())
	if err != nil || len(overs) != 1 || overs[0].Boxes != 600 || overs[0].Beyond != 0 || len(overs[0].Next) != 2 || overs[0].Next[0].Key != keys[1] || overs[0].Next[0].Lacks != 1000 {
		t.Fatalf("%+v, %v", overs, err)
	}
	give := desk.Overrun{Of: keys[0], Version: 1, Boxes: 400, To: keys[1], By: "Ana", Why: "next week's"}
	for source, bad := range map[string]func(*desk.Overrun){
		"nobody": func(o *desk.Overrun) { o.By = "" }, "too many": func(o *desk.Overrun) { o.Boxes = 601 }, "none": func(o *desk.Overrun) { o.Boxes = 0 },
		"another item": func(o *desk.Overrun) { o.To = j1002 }, "itself": func(o *desk.Overrun) { o.To = keys[0] },
	} {
		o := give
		bad(&o)
		if _, err := h.GiveOver(t.Context(), o); !errors.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", source, err)
		}
	}
	if _, err := h.GiveOver(t.Context(), give); err != nil {
		t.Fatal(err)
	}
	if _, err := h.GiveOver(t.Context(), give); !errors.Is(err, fault.Invalid) && !errors.Is(err, fault.Conflict) {
		t.Errorf("sent twice: %v", err)
	}
	give.Version, give.Boxes, give.To = 2, 150, ident.Release{}
	in, err := h.GiveOver(t.Context(), give)
	if err != nil {
		t.Fatal(err)
	}
	g, err := h.Goods(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if g.Lines[keys[0]].Have != 18_050 || g.Lines[keys[1]].Have != 400 || g.Lines[in].Free != 150 || g.Lines[keys[1]].FromStock != 150 {
		t.Errorf("%+v", g.Lines)
	}
	if over, ok, _ := h.OverOf(t.Context(), keys[0]); !ok || over.Boxes != 50 {
		t.Errorf("%+v", over)
	}
	if taken := lineOfKey(t, h.snapshot(t), keys[1]).Taken; len(taken) != 1 || taken[0].Other != keys[0] || taken[0].Boxes != 400 || taken[0].By != "Ana" {
		t.Errorf("the call-off does not show where its boxes come from: %+v", taken)
	}
}

// Hand: a line that is closed with 600 of 18,600 still there has 600 over; one of
// which no delivery was told has none: nobody knows what left.
func TestOversOfAClosedLine(t *testing.T) {
	for shipped, want := range map[int]int{18_000: 600, 0: 0} {
		h := demoHouse(t)
		made(t, h, "1", j1001, 18_600)
		if shipped > 0 {
			if _, err := h.Deliver(t.Context(), j1001, desk.Delivery{ID: "d", Boxes: shipped}); err != nil {
				t.Fatal(err)
			}
		}
		if err := h.CloseLine(t.Context(), j1001, desk.Closing{Version: 1, Who: "Ana"}); err != nil {
			t.Fatal(err)
		}
		if got, _, err := h.OverOf(t.Context(), j1001); err != nil || got.Boxes != want {
			t.Errorf("%d shipped: %d over, want %d (%v)", shipped, got.Boxes, want, err)
		}
	}
}

func lineOfKey(t *testing.T, s *desk.Snapshot, key ident.Release) order.Line {
	t.Helper()
	l, ok := s.Line(key)
	if !ok {
		t.Fatalf("no line %s", key)
	}
	return l
}

// Law: whatever is given where, the boxes of an item in the house are those made,
// and what lies on a line is never less than nothing.
func TestOversNeitherMakeNorLoseABox(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		h := smallHouse(t)
		keys := called(t, h)
		total := 0
		for i := range rapid.IntRange(2, 6).Draw(rt, "steps") {
			if rapid.Bool().Draw(rt, "makes") {
				n := rapid.IntRange(1, 25_000).Draw(rt, "boxes")
				made(t, h, fmt.Sprint(i), rapid.SampledFrom(keys).Draw(rt, "of"), n)
				total += n
			}
			overs, err := h.Overs(t.Context())
			if err != nil {
				rt.Fatal(err)
			}
			for _, v := range overs {
				if v.Boxes > 0 && rapid.Bool().Draw(rt, "gives") {
					o := desk.Overrun{Of: v.Line.Key, Version: h.snapshot(t).Version(desk.KindLine, v.Line.Key.String()), Boxes: rapid.IntRange(1, v.Boxes).Draw(rt, "n"), By: "Ana"}
					if len(v.Next) > 0 && rapid.Bool().Draw(rt, "next") {
						o.To = v.Next[0].Key
					}
					if _, err := h.GiveOver(t.Context(), o); err != nil {
						rt.Fatal(err)
					}
					break // the others are of a state that is gone
				}
			}
			g, err := h.Goods(t.Context())
			if err != nil {
				rt.Fatal(err)
			}
			sum := 0
			for key, n := range g.Lines {
				if n.Have < 0 || n.Free < 0 || n.Free > n.Have {
					rt.Fatalf("%s: %+v", key, n)
				}
				sum += n.Have
			}
			if sum != total {
				rt.Fatalf("%d boxes on the lines, %d made", sum, total)
			}
		}
	})
}
