package desk_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/trace"
)

// TestWhatCarriesTheFault follows the demo's planted fault: 1,600 boxes of
// J1005, found on Tuesday 02:15, its next truck due at 08:00.
func TestWhatCarriesTheFault(t *testing.T) {
	h := weekendHouse(t)
	j1005 := ident.NewRelease("J1005", "", "")
	h.later(20*time.Hour + 15*time.Minute)
	h.told(t, trace.Fact{Kind: trace.StackFound, Release: j1005, Stack: "S1", Good: 22300, Place: "L1", At: demo.Now})
	h.told(t, trace.Fact{Kind: trace.JobEnded, Release: j1005, Machine: "FFG-2", Good: 22000, Waste: 300, At: demo.Now.Add(time.Hour)})
	q := desk.FaultyPart{Release: j1005, Boxes: 1600}
	f, err := h.Fault(t.Context(), q)
	if err != nil {
		t.Fatal(err)
	}
	if !f.Told || f.Made != 22000 || f.Bundle != 20 || f.Bundles != 80 { // planted: 1,600 = 80 bundles of 20
		t.Errorf("%d made, %d bundles of %d", f.Made, f.Bundles, f.Bundle)
	}
	held, goes := 0, 0
	for _, u := range f.Hold {
		held += u.Boxes
	}
	for _, u := range f.Goes {
		goes += u.Boxes
	}
	if held < 1600 || goes != f.Free || held+goes != f.Made {
		t.Errorf("%d held + %d free, want %d with at least 1,600 held", held, goes, f.Made)
	}
	if first, last := f.Hold[0], f.Goes[len(f.Goes)-1]; first.Number <= last.Number {
		t.Errorf("the last made carry it, yet unit %d is held and unit %d goes", first.Number, last.Number)
	}
	if len(f.Trace.Runs) == 0 || len(f.Trace.Rolls) < 3 || len(f.Trace.Jobs) != 1 || f.Trace.Jobs[0].Good != 22000 {
		t.Errorf("the way back: %+v", f.Trace)
	}
	for range 2 { // sent twice
		if n, err := h.HoldFault(t.Context(), q, "hold-1", "gap over 12 mm", "Ben"); err != nil || n != len(f.Hold) {
			t.Fatalf("%d on hold, want %d (%v)", n, len(f.Hold), err)
		}
	}
	h.refusesAtTheDock(t, q)
	roll, err := h.FaultOfRoll(t.Context(), f.Trace.Rolls[0].Roll)
	if err != nil {
		t.Fatal(err)
	}
	on := false
	for _, o := range roll.Orders {
		on = on || o.Release == j1005
	}
	if !on {
		t.Errorf("roll %s is not said to have gone into J1005", roll.Roll)
	}
}

// refusesAtTheDock holds that a held tag stays and a free one goes.
func (h *house) refusesAtTheDock(t *testing.T, q desk.FaultyPart) {
	t.Helper()
	f, err := h.Fault(t.Context(), q)
	if err != nil {
		t.Fatal(err)
	}
	held, free := f.Hold[0], f.Goes[0]
	if !held.Held || held.Why != "gap over 12 mm" || held.Unit == "" {
		t.Fatalf("after the hold: %+v", held)
	}
	today, err := h.Today(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if _, m := matter(t, today.Matters, "on hold since"); m.Release != q.Release && m.Roll == "" {
		t.Errorf("Today says of the hold: %s", m.Text)
	}
	_, head, err := h.ShippingPlan(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	scan := desk.Scan{ID: "scan-held", Code: string(held.Unit), Plan: head.ID, Truck: held.Truck, Who: "Ben"}
	if _, err := h.LoadUnit(t.Context(), scan); !errors.Is(err, fault.Refused) || !strings.Contains(err.Error(), "gap over 12 mm") {
		t.Errorf("the held tag at the dock: %v", err)
	}
	fact := trace.Fact{ID: "shipped-held", Source: "scanner", At: h.clock(), Kind: trace.UnitShipped, Release: q.Release, Unit: held.Unit, Good: held.Boxes}
	fact.At = fact.At.Add(time.Second)
	if _, err := h.Record(t.Context(), fact); !errors.Is(err, fault.Refused) {
		t.Errorf("the held tag by a program: %v", err)
	}
	scan = desk.Scan{ID: "scan-free", Code: string(free.Unit), Plan: head.ID, Truck: free.Truck, Who: "Ben"}
	if u, err := h.LoadUnit(t.Context(), scan); err != nil || !u.New {
		t.Errorf("the free tag at the dock: %+v, %v", u, err)
	}
}

func TestAFaultMoreThanThereIs(t *testing.T) {
	h := weekendHouse(t)
	for _, q := range []desk.FaultyPart{
		{Release: ident.NewRelease("J1005", "", ""), Boxes: 30000},
		{Release: ident.NewRelease("J1005", "", ""), Boxes: 10, From: 99},
	} {
		if _, err := h.Fault(t.Context(), q); !errors.Is(err, fault.Invalid) {
			t.Errorf("%+v: %v", q, err)
		}
	}
	if _, err := h.Fault(t.Context(), desk.FaultyPart{Release: ident.NewRelease("J9", "", "")}); !errors.Is(err, fault.NotFound) {
		t.Errorf("an order that is not there: %v", err)
	}
}

// Hand: on the double backer of a told run of one hour another roll is mounted than
// the plan names, and changed after 45 minutes: three quarters of the sheets are of
// the one, a quarter of the other, none of the plan's.
func TestTheRollThatWasReallyMounted(t *testing.T) {
	h := weekendHouse(t)
	p, head, err := h.Current(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	run := p.Runs[0]
	var need rolls.PlyNeed
	for _, n := range p.Rolls.Needs {
		if n.Run == run.Seq && n.Ply == 1 {
			need = n
		}
	}
	if len(need.Rolls) == 0 {
		t.Fatalf("run %d has no roll: %+v", run.Seq, need)
	}
	named := need.Rolls[0].Roll
	var others []ident.Roll
	for _, r := range h.snapshot(t).Rolls {
		if used := slices.ContainsFunc(p.Rolls.Needs, func(n rolls.PlyNeed) bool {
			return slices.ContainsFunc(n.Rolls, func(u rolls.RollUse) bool { return u.Roll == r.ID })
		}); !used && len(others) < 2 {
			others = append(others, r.ID)
		}
	}
	if len(others) < 2 {
		t.Fatal("no two rolls that the plan leaves alone")
	}
	began := demo.Now.Add(10 * time.Minute)
	h.later(3 * time.Hour)
	h.told(t, trace.Fact{Kind: trace.RollMounted, Roll: others[0], Place: need.Stand, At: began.Add(-time.Hour)})
	h.told(t, trace.Fact{Kind: trace.RunStarted, Plan: head.ID, Run: run.Seq, At: began})
	h.told(t, trace.Fact{Kind: trace.RollMounted, Roll: others[1], Place: strings.ToUpper(need.Stand), At: began.Add(45 * time.Minute)})
	for _, l := range run.Lanes {
		key, _ := ident.ParseRelease(l.Order)
		h.told(t, trace.Fact{Kind: trace.RunEnded, Plan: head.ID, Run: run.Seq, Release: key, Good: l.Sheets, At: began.Add(time.Hour)})
	}
	h.told(t, trace.Fact{Kind: trace.RollOff, Roll: others[1], At: began.Add(time.Hour)})
	for i, share := range []float64{0.75, 0.25} {
		f, err := h.FaultOfRoll(t.Context(), others[i])
		if err != nil {
			t.Fatal(err)
		}
		want := map[ident.Release]int{}
		for _, l := range run.Lanes {
			key, _ := ident.ParseRelease(l.Order)
			want[key] += int(math.Ceil(share * float64(l.Sheets)))
		}
		if !f.Told || len(f.Orders) != len(want) {
			t.Errorf("%+v", f)
		}
		for _, o := range f.Orders {
			if o.Sheets != want[o.Release] || !o.Told || !o.Begun || len(o.Runs) != 1 || !o.Runs[0].Mounted {
				t.Errorf("%s: %+v, want %d sheets", others[i], o, want[o.Release])
			}
		}
	}
	f, err := h.FaultOfRoll(t.Context(), named)
	if err != nil || !slices.Contains(f.Spared, run.Seq) {
		t.Errorf("the plan's roll %s is still said to be in run %d: %+v, %v", named, run.Seq, f, err)
	}
	key, _ := ident.ParseRelease(run.Lanes[0].Order)
	back, err := h.Fault(t.Context(), desk.FaultyPart{Release: key})
	if err != nil {
		t.Fatal(err)
	}
	told, listed := 0, 0
	for _, r := range back.Trace.Rolls {
		switch {
		case r.Run != run.Seq:
		case r.Told && slices.Contains(others, r.Roll):
			told++
		case r.Roll == named && r.Stand == need.Stand:
			t.Error("the roll that was not mounted is said to have gone into it")
		case !r.Told:
			listed++
		}
	}
	if told != 2 || listed == 0 {
		t.Errorf("%d rolls told and %d of the plan's list for the other stands: %+v", told, listed, back.Trace.Rolls)
	}
}
