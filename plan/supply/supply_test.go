package supply_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plan/supply"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/roll"
)

func mm(v int) quantity.Length       { return quantity.Length(v) * quantity.Millimetre }
func metres(v int) quantity.Distance { return quantity.FromMetres(float64(v)) }

// problem draws 8,000 m of TL140 at 2350 on Wednesday at 10:00 from 2,000 m in the house.
func problem() supply.Problem {
	b := demo.Book()
	return supply.Problem{
		Draws:     []supply.Draw{{Run: 1, Paper: "TL140", Web: mm(2350), Metres: metres(8000), At: demo.Now.Add(52 * time.Hour)}},
		Rolls:     []roll.Roll{{ID: "A", Paper: "TL140", Width: mm(2350), Length: metres(2000), Butt: true}, {ID: "B", Paper: "TL140", Width: mm(1600), Length: metres(5900)}},
		Supplies:  []plant.Supply{{Paper: "TL140", Supplier: "Mill", Lead: 24 * 60, CallOffBy: "12:00", Truckload: 24000}},
		Catalogue: board.NewCatalogue(b.Plant.Papers, b.Plant.Flutes), Now: demo.Now,
	}
}

// TestLatestHourToCall: hand. Needed Wednesday 10:00, two hours from gate to use
// and a day of lead: Tuesday 08:00. That is before Tuesday's hour, so Monday 12:00 is the last.
func TestLatestHourToCall(t *testing.T) {
	p := problem()
	list := supply.Calls(p)
	if len(list.Calls) != 1 {
		t.Fatalf("%+v", list)
	}
	c := list.Calls[0]
	mass := 11800 * 2.35 * 0.140
	if c.Rolls != 2 || c.Short != metres(6000) || math.Abs(float64(c.Mass)-mass) > .01 || c.Truck != 1 || math.Abs(c.FullPct-mass/240) > .01 {
		t.Errorf("%+v", c)
	}
	if want := time.Date(2031, 3, 3, 12, 0, 0, 0, time.UTC); !c.By.Equal(want) || c.TooLate {
		t.Errorf("call by %s, wanted %s", c.By, want)
	}
	p.Supplies[0].CallOffBy = ""
	if c = supply.Calls(p).Calls[0]; !c.By.Equal(time.Date(2031, 3, 4, 8, 0, 0, 0, time.UTC)) {
		t.Errorf("without an hour: %s", c.By)
	}
	p.Closed = func(t time.Time) bool { return t.Weekday() == time.Tuesday }
	if c = supply.Calls(p).Calls[0]; !c.By.Equal(time.Date(2031, 3, 3, 8, 0, 0, 0, time.UTC)) {
		t.Errorf("closed on Tuesday: %s", c.By)
	}
	p.Supplies = nil
	if c = supply.Calls(p).Calls[0]; c.Supplier != "" || !c.By.IsZero() || !c.TooLate {
		t.Errorf("without a supplier: %+v", c)
	}
}

// TestAnotherWidthSparesTheCall, once: what it takes is not free for the next.
func TestAnotherWidthSparesTheCall(t *testing.T) {
	p := problem()
	p.Rolls = append(p.Rolls, roll.Roll{ID: "C", Paper: "TL140", Width: mm(2500), Length: metres(9000)})
	list := supply.Calls(p)
	if len(list.Calls) != 0 || len(list.Spared) != 1 || list.Spared[0].Other != mm(2500) {
		t.Errorf("%+v", list)
	}
	p.Draws = append(p.Draws, supply.Draw{Run: 1, Paper: "RM110", Web: mm(2350), Metres: metres(100), At: p.Draws[0].At})
	if list = supply.Calls(p); len(list.Spared) != 0 {
		t.Errorf("the run's medium is not free at 2500: %+v", list)
	}
}

// TestDeliveryEndsIt: what is on its way in time is not called again, and the curve says so.
func TestDeliveryEndsIt(t *testing.T) {
	p := problem()
	p.Inbound = []roll.Inbound{{ID: "T", ETA: demo.Now.Add(25 * time.Hour), Paper: "TL140", Width: mm(2350), Rolls: 2, LengthEach: metres(5900)}}
	if list := supply.Calls(p); len(list.Calls)+len(list.Spared) != 0 {
		t.Errorf("%+v", list)
	}
	for _, l := range supply.Levels(p) {
		if l.Web == mm(2350) && (len(l.Points) != 3 || l.Points[2].Stock != metres(5800) || l.Free != metres(2000)) {
			t.Errorf("%+v", l)
		}
	}
}

// TestStandIn: hand. TL170 for TL140 outside on B-ST at 2350: 30 g/m² more at 505
// a tonne are 0.01515 a m²; 3,000 m of it are 106.81. Its summed strength rises.
func TestStandIn(t *testing.T) {
	b := demo.Book()
	p := problem()
	p.Rolls = append(p.Rolls, roll.Roll{ID: "D", Paper: "TL170", Width: mm(2350), Length: metres(3000)})
	list := []plant.Substitute{{For: "TL140", Use: "TL170", Plies: []int{1}, Grades: []ident.Grade{"B-ST"}}, {For: "TL140", Use: "TL110"}}
	need := []rolls.PlyNeed{{Run: 1, Ply: 1, Paper: "TL140", Web: mm(2350), Metres: metres(8000)}}
	levels := supply.Levels(p)
	if at := slices.IndexFunc(levels, func(l supply.Level) bool { return l.Paper == "TL140" && l.Web == mm(2350) }); at < 0 || levels[at].Short == 0 {
		t.Fatalf("TL140 at 2350 is not short: %+v", levels)
	}
	got := supply.StandIns(p, levels, list, supply.Planned{Runs: []runs.Run{{Seq: 1, Grade: "B-ST", Web: mm(2350)}}, Needs: need, Items: func(int) []ident.Item { return nil }, Grades: b.Plant.Grades})
	if len(got) != 1 || got[0].Frees != metres(3000) || math.Abs(float64(got[0].Price)-106.81) > .01 || got[0].After <= got[0].Before {
		t.Errorf("%+v", got)
	}
}

// TestFreeLeavesNothingShort: whatever is drawn, taking Free at once makes no shortage deeper than it was.
func TestFreeLeavesNothingShort(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := problem()
		p.Draws = nil
		for i := range rapid.IntRange(0, 5).Draw(t, "draws") {
			p.Draws = append(p.Draws, supply.Draw{Run: i + 1, Paper: "TL140", Web: mm(2350), Metres: metres(rapid.IntRange(1, 1500).Draw(t, "m")), At: demo.Now.Add(time.Duration(rapid.IntRange(0, 99).Draw(t, "h")) * time.Hour)})
		}
		for _, l := range supply.Levels(p) {
			if l.Web != mm(2350) {
				continue
			}
			q := p
			q.Draws = append([]supply.Draw{{Run: 99, Paper: l.Paper, Web: l.Web, Metres: l.Free, At: p.Now}}, p.Draws...)
			for _, m := range supply.Levels(q) {
				if m.Web == l.Web && m.Short > l.Short+metres(1) {
					t.Fatalf("%s free, then %s short instead of %s", l.Free, m.Short, l.Short)
				}
			}
		}
	})
}
