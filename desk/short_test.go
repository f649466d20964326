package desk_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

var j1002 = ident.NewRelease("J1002", "", "")

// of gives a told fact to another order, some minutes before now.
func of(key ident.Release, before int, f trace.Fact) trace.Fact {
	f.Release, f.At = key, demo.Now.Add(-time.Duration(before)*time.Minute)
	return f
}

// J1002 wants 12,000 boxes, 5 % under: 11,400 at least. 11,500 sheets were made;
// the figures follow by hand.
func TestShortsAreForetoldWhileAJobRuns(t *testing.T) {
	h := demoHouse(t)
	record(t, h, of(j1002, 60, told("s", trace.StackFound, 11_500)))
	record(t, h, of(j1002, 50, told("a", trace.JobStarted, 0)))
	count := of(j1002, 10, told("b", trace.JobCounted, 6000))
	count.Waste = 90
	record(t, h, count)
	shorts, err := h.Shorts(t.Context())
	if err != nil || len(shorts) != 1 {
		t.Fatalf("%+v, %v", shorts, err)
	}
	s := shorts[0] // 5,410 sheets left, 1.48 % of them lost: 5,330 good
	if s.Line.Key != j1002 || s.Least != 11_400 || s.Sheets != 5410 || s.Expect != 11_330 || s.Missing != 70 || s.On != "FFG-1" || s.Worst >= s.Expect {
		t.Errorf("%+v", s)
	}
	if s.Value <= 0 {
		t.Errorf("missing boxes are worth %v", s.Value)
	}
	record(t, h, of(j1002, 5, trace.Fact{ID: "h", Kind: trace.StackFound, Source: "desk", Stack: "S9", Good: 400}))
	if shorts, _ := h.Shorts(t.Context()); len(shorts) != 0 {
		t.Errorf("400 sheets more were found: %+v", shorts)
	}
	record(t, h, trace.Fact{ID: "hold", At: demo.Now, Kind: trace.Held, Source: "desk", Stack: "S9"})
	if shorts, _ := h.Shorts(t.Context()); len(shorts) != 1 || shorts[0].Held != 400 {
		t.Errorf("those on hold do not help: %+v", shorts)
	}
}

// Hand: 11,500 sheets on a way of two steps. RDC-1 has made 6,000 good of 6,060 and
// is set up; SFG-1 has not begun. The 5,440 before RDC-1 lose its stated 1 %
// and the 6,000 between the two nothing more before SFG-1: its 25 sheets of set-up,
// then 0.8 %.
func TestShortsAreForetoldBetweenTwoMachines(t *testing.T) {
	h := demoHouse(t)
	s := h.snapshot(t)
	l, _ := s.Line(j1002)
	i, _ := s.Item(l.Item)
	i.Route = []ident.Machine{"RDC-1", "SFG-1"}
	if err := h.SaveItem(t.Context(), i, s.Version(desk.KindItem, string(i.Code)), "Ana", ""); err != nil {
		t.Fatal(err)
	}
	record(t, h, of(j1002, 60, told("s", trace.StackFound, 11_500)))
	count := of(j1002, 10, told("b", trace.JobCounted, 6000))
	count.Waste, count.Machine = 60, "RDC-1"
	record(t, h, count)
	v, ok, err := h.ShortOf(t.Context(), j1002)
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	left := 5386 + 6000 - 25 // 5,440 × 0.99 is 5,386 to the nearest
	if v.Sheets != 11_440 || v.Expect != int(math.Round(float64(left)*0.992)) || v.Missing != max(0, 11_400-v.Expect) {
		t.Errorf("%+v, want %v expected", v, float64(left)*0.992)
	}
}

func TestShippingShortNeedsAName(t *testing.T) {
	h := demoHouse(t)
	var vs fault.Violations
	if err := h.ShipShort(t.Context(), j1002, 1, 11_350, "", "agreed by telephone"); !errors.As(err, &vs) || vs[0].Field != "by" {
		t.Errorf("without a name: %v", err)
	}
	if err := h.ShipShort(t.Context(), j1002, 1, 11_400, "Ana", ""); !errors.As(err, &vs) || vs[0].Field != "boxes" {
		t.Errorf("not short at all: %v", err)
	}
	if err := h.ShipShort(t.Context(), j1002, 1, 11_350, "Ana", "agreed by telephone"); err != nil {
		t.Fatal(err)
	}
	l, _ := h.snapshot(t).Line(j1002)
	edits, err := h.History(t.Context(), desk.KindLine, "J1002")
	if l.Least() != 11_350 || err != nil || edits[0].Who != "Ana" || !strings.Contains(edits[0].Why, "agreed by telephone") {
		t.Errorf("least %d, %+v, %v", l.Least(), edits, err)
	}
	var stale *desk.Stale
	if err := h.ShipShort(t.Context(), j1002, 1, 11_300, "Ben", ""); !errors.As(err, &stale) {
		t.Errorf("on an old version: %v", err)
	}
}

func TestAReMakeCarriesItsParent(t *testing.T) {
	h := demoHouse(t)
	key, err := h.MakeAgain(t.Context(), desk.Remake{Of: j1002, Version: 1, Boxes: 50, Cause: "run 5 ended 300 short", By: "Ana"})
	if err != nil {
		t.Fatal(err)
	}
	s := h.snapshot(t)
	parent, _ := s.Line(j1002)
	child, ok := s.Line(key)
	if !ok || child.Parent != "J1002" || child.Cause != "run 5 ended 300 short" || child.Quantity != 50 || child.State != order.Open {
		t.Fatalf("%+v", child)
	}
	if child.Due != parent.Due || child.ShipTo != parent.ShipTo || child.Customer != parent.Customer || child.Cost <= 0 {
		t.Errorf("child %+v, parent %+v", child, parent)
	}
	if parent.Least() != 11_350 {
		t.Errorf("the parent is complete with %d", parent.Least())
	}
	again, err := h.MakeAgain(t.Context(), desk.Remake{Of: j1002, Version: 2, Boxes: 20, Cause: "torn", By: "Ana"})
	if err != nil || again == key {
		t.Errorf("a second re-make: %v, %v", again, err)
	}
	if _, err := h.MakeAgain(t.Context(), desk.Remake{Of: j1002, Version: 3, Boxes: 20, By: "Ana"}); !errors.Is(err, fault.Invalid) {
		t.Errorf("without a cause: %v", err)
	}
}
