package desk_test

import (
	"fmt"
	"reflect"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// A change of an item, a line or a machine, a plan or a fact leaves a snapshot
// that says what one read from nothing says: a law of the desk, no source.
func TestASnapshotThatMovedOnIsTheOneReadAfresh(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		h := smallHouse(t)
		for i := range rapid.IntRange(4, 10).Draw(rt, "changes") {
			h.changeSomething(t, rt, i)
			moved, err := h.Snapshot(t.Context())
			if err != nil {
				rt.Fatal(err)
			}
			fresh, err := h.another(t).Snapshot(t.Context())
			if err != nil {
				rt.Fatal(err)
			}
			sameSnapshot(rt, moved, fresh)
		}
	})
}

// smallHouse is the demo plant with two of its lines and their items.
func smallHouse(t *testing.T) *house {
	h := emptyHouse(t)
	b := demo.Book()
	b.Lines, b.Rolls, b.Done = b.Lines[:2], b.Rolls[:3], nil
	b.Items = slices.DeleteFunc(b.Items, func(i order.Item) bool {
		return !slices.ContainsFunc(b.Lines, func(l order.Line) bool { return l.Item == i.Code })
	})
	if err := h.SetUp(t.Context(), b, "Ana"); err != nil {
		t.Fatal(err)
	}
	return h
}

func (h *house) changeSomething(house *testing.T, t *rapid.T, i int) {
	s, err := h.Snapshot(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	switch rapid.SampledFrom([]string{"fact", "fact", "fact", "item", "item", "machine", "line", "plan"}).Draw(t, "what") {
	case "item":
		l := rapid.SampledFrom(s.Lines).Draw(t, "of")
		v, _ := s.Item(l.Item)
		v.PiecesPerSheet = rapid.IntRange(1, 4).Draw(t, "pieces")
		v.Route = rapid.SampledFrom([][]ident.Machine{nil, {"RDC-1"}, {"FFG-1"}, {"RDC-1", "FFG-2"}}).Draw(t, "route")
		err = h.SaveItem(t.Context(), v, s.Version(desk.KindItem, string(v.Code)), "Ana", "")
	case "machine":
		p := s.Plant
		p.Machines = slices.Clone(p.Machines)
		k := slices.IndexFunc(p.Machines, func(m convert.Machine) bool { return m.Code == "FFG-3" })
		p.Machines[k].Kind = rapid.SampledFrom([]convert.Kind{convert.FolderGluer, convert.DieCutter}).Draw(t, "kind")
		err = h.SavePlant(t.Context(), p, s.Version(desk.KindPlant, desk.PlantKey), "Ana", "")
	case "line":
		l := rapid.SampledFrom(s.Lines).Draw(t, "line")
		l.Item = rapid.SampledFrom(s.Lines).Draw(t, "other").Item
		err = h.SaveLine(t.Context(), l, s.Version(desk.KindLine, l.Key.String()), "Ana", "")
	case "plan":
		h.make = answers(planOf(quantity.Money(i), s.Lines[0].Key.Order))
		last(house, h, start(house, h, desk.PlanOptions{}))
	default:
		_, err = h.Record(t.Context(), someFact(t, s, i))
	}
	if err != nil {
		t.Fatal(err)
	}
}

func someFact(t *rapid.T, s *desk.Snapshot, i int) trace.Fact {
	f := trace.Fact{
		ID: ident.Fact(fmt.Sprint("f", i)), At: demo.Now.Add(-time.Duration(rapid.IntRange(0, 90).Draw(t, "ago")) * time.Minute), Source: "desk",
		Kind: rapid.SampledFrom([]trace.Kind{trace.JobCounted, trace.JobCounted, trace.StackFound, trace.JobStarted, trace.JobEnded, trace.UnitFound,
			trace.WasteBooked, trace.Bundled, trace.UnitShipped, trace.Correction}).Draw(t, "kind"),
		Release: rapid.SampledFrom(s.Lines).Draw(t, "about").Key,
		Machine: rapid.SampledFrom([]ident.Machine{"RDC-1", "FFG-1", "FFG-3"}).Draw(t, "on"),
		Good:    rapid.IntRange(1, 3000).Draw(t, "good"), Waste: rapid.IntRange(1, 50).Draw(t, "waste"), Reason: "jam", Unit: "U1",
		Stack: rapid.SampledFrom([]ident.Stack{"S1", "S2"}).Draw(t, "stack"), Place: "A",
	}
	if f.Kind == trace.Correction { // of a fact that is there, or comes later
		f.Corrects = ident.Fact(fmt.Sprint("f", (i+rapid.IntRange(1, 13).Draw(t, "corrects"))%14))
	}
	return f
}

func sameSnapshot(t *rapid.T, moved, fresh *desk.Snapshot) {
	same := func(what string, a, b any) { // in words: an empty map and none say the same
		if fmt.Sprintf("%+v", a) != fmt.Sprintf("%+v", b) {
			t.Fatalf("%s %+v, afresh %+v", what, a, b)
		}
	}
	same("counts", moved.Done, fresh.Done)
	same("floor", moved.Floor, fresh.Floor)
	for _, l := range fresh.Lines {
		a, _ := moved.Account(l.Key)
		b, _ := fresh.Account(l.Key)
		same("account of "+l.Key.String(), a, b)
	}
	bookOf := func(s *desk.Snapshot) plant.Book { b := s.Book; b.Floor, b.Done = trace.Floor{}, nil; return b }
	if !reflect.DeepEqual(bookOf(moved), bookOf(fresh)) {
		t.Fatal("the book that moved on is not the one read afresh")
	}
}
