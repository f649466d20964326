package plan

import (
	"slices"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/trace"
)

// Facts on J1002 (12,000 boxes, 5 % under: at least 11,400; one piece a sheet,
// on FFG-1) change what its demand asks for. The figures follow by hand.
func TestDemandStartsFromFacts(t *testing.T) {
	key := ident.NewRelease("J1002", "", "")
	fact := func(id string, kind trace.Kind, good int) trace.Fact {
		return trace.Fact{ID: ident.Fact(id), At: demo.Now.Add(time.Duration(len(id)) * time.Minute), Kind: kind, Release: key, Machine: "FFG-1", Good: good}
	}
	demand := func(facts ...trace.Fact) Demand {
		b := demo.Book()
		way := func(ident.Release) trace.Way { return trace.Way{First: []ident.Machine{"FFG-1"}} }
		b.Done, b.Floor = trace.FoldAlong(facts, way), trace.FloorOf(facts, way)
		for _, w := range wants(newIndex(b), demo.Now) {
			if w.Release == key {
				return w.Demand
			}
		}
		t.Fatal("J1002 asks for nothing")
		return Demand{}
	}
	whole := demand()
	held := trace.Fact{ID: "h", At: demo.Now, Kind: trace.Held, Stack: "S1"}
	stack := fact("s", trace.StackFound, 2000)
	stack.Stack, stack.Machine = "S1", ""
	if d := demand(stack); d.OnFloor != 2000 || d.Wanted != whole.Wanted-2000 {
		t.Errorf("2,000 sheets on the floor: %+v", d)
	}
	if d := demand(stack, held); d.OnFloor != 0 || d.Wanted != whole.Wanted {
		t.Errorf("on hold: %+v", d)
	}
	thrown := trace.Fact{ID: "w", At: demo.Now.Add(time.Hour), Kind: trace.WasteBooked, Release: key, Stack: "S1", Waste: 300, Reason: "truck"}
	if d := demand(stack, thrown); d.OnFloor != 1700 {
		t.Errorf("300 thrown away: %+v", d)
	}
	on := demand(fact("a", trace.JobStarted, 0))
	if set := whole.Wanted - on.Wanted; set <= 0 || set > 60 {
		t.Errorf("no second set-up: %d sheets less", set)
	}
	if d := demand(fact("a", trace.JobStarted, 0), fact("bb", trace.JobEnded, 11350)); d.ToMake != 650 || d.Within != 0 {
		t.Errorf("50 below the least: %+v", d)
	}
	if d := demand(fact("a", trace.JobStarted, 0), fact("bb", trace.JobEnded, 11450)); d.ToMake != 0 || d.Within != 550 || d.Wanted != 0 {
		t.Errorf("within the tolerance: %+v", d)
	}
	if d := demand(fact("a", trace.JobStarted, 0), fact("bb", trace.JobCounted, 11450)); d.ToMake != 550 {
		t.Errorf("still running: %+v", d)
	}
}

// Hand: J1002 with 11,300 sheets on the floor and FFG-1's losses gives less than
// its least of 11,400; with 300 made again its least is 11,100 and nothing is
// topped up. With no such order, or far too few sheets, it is.
func TestWhatIsMadeAgainIsNotToppedUpToo(t *testing.T) {
	key := ident.NewRelease("J1002", "", "")
	wanted := func(sheets int, again bool) (parent, child int) {
		b := demo.Book()
		stack := trace.Fact{ID: "s", At: demo.Now, Kind: trace.StackFound, Release: key, Stack: "S1", Good: sheets}
		way := func(ident.Release) trace.Way { return trace.Way{First: []ident.Machine{"FFG-1"}} }
		b.Done, b.Floor = trace.FoldAlong([]trace.Fact{stack}, way), trace.FloorOf([]trace.Fact{stack}, way)
		b.Lines = slices.Clone(b.Lines)
		for i, l := range b.Lines {
			if l.Key == key && again {
				b.Lines[i].UnderPct = 7.5 // 11,100 of 12,000
				l.Key.Release, l.Parent, l.Quantity, l.UnderPct = "1R1", key.String(), 300, 0
				b.Lines = append(b.Lines, l)
			}
		}
		for _, w := range wants(newIndex(b), demo.Now) {
			switch w.Release {
			case key:
				parent = w.Wanted
			case ident.NewRelease("J1002", "1", "1R1"):
				child = w.Wanted
			}
		}
		return parent, child
	}
	if parent, child := wanted(11_300, true); parent != 0 || child < 300 {
		t.Errorf("made again: %d sheets for the parent, %d for 300 boxes", parent, child)
	}
	if parent, _ := wanted(11_300, false); parent <= 0 {
		t.Error("an order that nobody makes again is topped up")
	}
	if parent, _ := wanted(8_000, true); parent < 4_000 {
		t.Errorf("with 8,000 sheets of 12,000 boxes there are %d more wanted", parent)
	}
}
