package plan_test

import (
	"context"
	"encoding/json"
	"errors"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// rounds of the trim search: enough for every order, few enough for a test.
const rounds = 300

// monday is the demo book's plan, made once: tests that do not change it share it.
var monday = sync.OnceValues(func() (*plan.Plan, error) {
	return plan.Make(context.Background(), demo.Book(), plan.Options{Now: demo.Now, Rounds: rounds, Seed: 1})
})

func planOfMonday(t *testing.T) *plan.Plan {
	t.Helper()
	p, err := monday()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func made(t *testing.T, b plant.Book) *plan.Plan {
	t.Helper()
	p, err := plan.Make(context.Background(), b, plan.Options{Now: demo.Now, Rounds: rounds, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func demand(t *testing.T, p *plan.Plan, key string) plan.Demand {
	t.Helper()
	for _, d := range p.Demands {
		if d.Release.String() == key {
			return d
		}
	}
	t.Fatalf("no demand for %s", key)
	return plan.Demand{}
}

func runsOf(p *plan.Plan, key string) []runs.Run {
	var out []runs.Run
	for _, r := range p.Runs {
		for _, l := range r.Lanes {
			if l.Order == key {
				out = append(out, r)
			}
		}
	}
	return out
}

// TestDemoBookIsPlannedWhole: the invented plant's Monday, with its planted situations.
func TestDemoBookIsPlannedWhole(t *testing.T) {
	p := planOfMonday(t)
	if len(p.Unplanned) != 0 || len(p.Orders) != 42 {
		t.Fatalf("%d planned, left: %v", len(p.Orders), p.Unplanned)
	}
	for _, o := range p.Orders {
		if o.Planned < o.Wanted {
			t.Errorf("%s: %d sheets planned, %d wanted", o.Order, o.Planned, o.Wanted)
		}
	}
	if p.Totals.Bound <= 0 || p.Totals.Bound > p.Totals.Cost {
		t.Errorf("bound %v, cost %v", p.Totals.Bound, p.Totals.Cost)
	}
	for _, key := range []string{"J1007", "J1008", "J1032", "J1030", "J1015", "J1018", "J1039"} {
		if len(runsOf(p, key)) == 0 {
			t.Errorf("%s stands in no run", key)
		}
	}
	if p.Summary.Late != 0 {
		t.Errorf("%d orders late: the book can be made in time", p.Summary.Late)
	}
	if d := demand(t, p, "J1015"); d.Wanted != 1840 {
		t.Errorf("J1015 asks for %d sheets, 1,840 are wanted for 1,800 boxes", d.Wanted)
	}
}

// TestNothingRunsOnPaperThatIsOnTheRoad: TL140 at 2350 comes on Tuesday 07:00.
func TestNothingRunsOnPaperThatIsOnTheRoad(t *testing.T) {
	p := planOfMonday(t)
	truck := time.Date(2031, 3, 4, 7, 0, 0, 0, time.UTC)
	waits := 0
	drawing := []ident.Grade{"B-ST", "C-ST", "B-WH", "EB-WH", "BC-ST", "BC-HV"} // grades with TL140 in them
	for i, r := range p.Runs {
		if r.Web != 2350*quantity.Millimetre || !slices.Contains(drawing, r.Grade) {
			continue
		}
		waits++
		if start := p.Clock.Runs[i].Start; start.Before(truck) {
			t.Errorf("run %d of %s on 2350 mm starts at %s, before the truck", r.Seq, r.Grade, start)
		}
	}
	if waits == 0 {
		t.Error("no run uses the delivery: the test sees nothing")
	}
}

func TestStackingIsWarnedAbout(t *testing.T) {
	p := planOfMonday(t)
	for key, want := range map[string]string{"J1013": "fails", "J1024": "close", "J1001": "holds"} {
		if d := demand(t, p, key); d.Strength == nil || d.Strength.Verdict != want {
			t.Errorf("%s: %+v, want %s", key, d.Strength, want)
		}
	}
	text := ""
	for _, n := range p.Notices {
		text += n.Text + "\n"
	}
	for _, want := range []string{"J1013", "J1024", "R0076", "PL-0802", "D-202", "overhangs P1212 by 318 mm", "J1029, J1031, J1038, J1042"} {
		if !strings.Contains(text, want) {
			t.Errorf("no notice names %s", want)
		}
	}
}

// TestUrgentFishLeavesInTime: J1039 goes 203 km and must leave the corrugator by Tuesday 03:03.
func TestUrgentFishLeavesInTime(t *testing.T) {
	p := planOfMonday(t)
	for i, r := range p.Runs {
		for _, l := range r.Lanes {
			if end := p.Clock.Runs[i].End; l.Order == "J1039" && end.After(time.Date(2031, 3, 4, 3, 3, 0, 0, time.UTC)) {
				t.Errorf("J1039 leaves the corrugator at %s", end)
			}
		}
	}
	for _, f := range p.Clock.Finishes {
		if f.Release.Order == "J1039" && f.Late > 0 {
			t.Errorf("J1039 is %v min late", f.Late)
		}
	}
}

// TestPlanningStartsFromWhatIsDone: sheets on the floor and boxes in units are not made again.
func TestPlanningStartsFromWhatIsDone(t *testing.T) {
	b := demo.Book()
	whole := demand(t, planOfMonday(t), "J1002")
	key := ident.NewRelease("J1002", "", "")
	b.Done = map[ident.Release]trace.Quantities{key: {SheetsMade: 5000}}
	some := demand(t, made(t, b), "J1002")
	if some.Wanted != whole.Wanted-5000 || some.OnFloor != 5000 {
		t.Errorf("with 5,000 sheets on the floor %d more are wanted, without %d", some.Wanted, whole.Wanted)
	}
	b.Done[key] = trace.Quantities{SheetsMade: 20000}
	p := made(t, b)
	if d := demand(t, p, "J1002"); d.Wanted != 0 || len(runsOf(p, "J1002")) != 0 {
		t.Errorf("with every sheet on the floor %d are still wanted", d.Wanted)
	}
	pressed := false
	for _, j := range p.Clock.Jobs {
		pressed = pressed || j.Release == key
	}
	if !pressed {
		t.Error("sheets on the floor get no job")
	}
}

func TestABookThatCannotBePlanned(t *testing.T) {
	b := demo.Book()
	b.Lines = nil
	if _, err := plan.Make(context.Background(), b, plan.Options{Now: demo.Now}); !errors.Is(err, fault.Invalid) {
		t.Errorf("an empty book: %v", err)
	}
	b = demo.Book()
	b.Lines = b.Lines[:3]
	b.Lines[0].Item = "no such item"
	b.Lines[2].State = order.OnHold
	p := made(t, b)
	if len(p.Demands) != 2 || len(p.Unplanned) != 1 || !strings.Contains(p.Unplanned[0].Reason, "no such item") {
		t.Errorf("%d demands, unplanned %v", len(p.Demands), p.Unplanned)
	}
}

// TestCancelKeepsTheBest: a plan that is stopped at once is still a whole plan.
func TestCancelKeepsTheBest(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	p, err := plan.Make(ctx, demo.Book(), plan.Options{Now: demo.Now})
	if err != nil || len(p.Runs) == 0 || p.Totals.Status != runs.Stopped {
		t.Fatalf("%v, %+v", err, p)
	}
}

func TestSameSeedSamePlan(t *testing.T) {
	first, b := planOfMonday(t), made(t, demo.Book())
	copied := *first
	a := &copied
	a.Totals.Seconds, b.Totals.Seconds = 0, 0
	x, _ := json.Marshal(a)
	y, _ := json.Marshal(b)
	if at := differ(x, y); at >= 0 {
		t.Errorf("two plans of one book, seed and number of rounds differ: %s against %s", x[max(0, at-80):min(len(x), at+40)], y[max(0, at-80):min(len(y), at+40)])
	}
}

func differ(x, y []byte) int {
	for i := range max(len(x), len(y)) {
		if i >= len(x) || i >= len(y) || x[i] != y[i] {
			return i
		}
	}
	return -1
}

// TestCheckSeesWhatIsBroken breaks a good plan in one place at a time.
func TestCheckSeesWhatIsBroken(t *testing.T) {
	b := demo.Book()
	good := planOfMonday(t)
	raw, err := json.Marshal(good)
	if err != nil {
		t.Fatal(err)
	}
	for name, spoil := range map[string]func(*plan.Plan){
		"an order left out":       func(p *plan.Plan) { p.Orders = p.Orders[1:] },
		"a lane of another size":  func(p *plan.Plan) { p.Runs[0].Lanes[0].Slit += quantity.Millimetre },
		"runs over each other":    func(p *plan.Plan) { p.Clock.Runs[1].Start = p.Clock.Runs[0].Start },
		"a run without its time":  func(p *plan.Plan) { p.Clock.Runs = p.Clock.Runs[1:] },
		"paper before its truck":  func(p *plan.Plan) { early(p) },
		"a unit that holds less":  func(p *plan.Plan) { p.Loads[0].LastUnit-- },
		"another number of boxes": func(p *plan.Plan) { p.Loads[0].Boxes++ },
	} {
		var p plan.Plan
		if err := json.Unmarshal(raw, &p); err != nil {
			t.Fatal(err)
		}
		if err := plan.Check(b, &p); err != nil {
			t.Fatalf("the good plan: %v", err)
		}
		spoil(&p)
		if plan.Check(b, &p) == nil {
			t.Errorf("%s: not seen", name)
		}
	}
}

func early(p *plan.Plan) {
	for i := range p.Clock.Runs {
		p.Clock.Runs[i] = jobs.RunTime{Run: i + 1, Start: demo.Now, End: demo.Now}
	}
}

// TestDemoReference compares blanks, sheets and strength with figures worked out
// by the plain formulas for the invented plant.
func TestDemoReference(t *testing.T) {
	raw, err := os.ReadFile("../plant/demo/testdata/reference.json")
	if err != nil {
		t.Fatal(err)
	}
	var ref map[string]struct {
		Chop quantity.Length `json:"chop_mm"`
		Slit quantity.Length `json:"slit_mm"`
		Net  int             `json:"net_sheets"`
		BCT  float64         `json:"bct_n"` // with the constant 5.876
	}
	if err := json.Unmarshal(raw, &ref); err != nil {
		t.Fatal(err)
	}
	p := planOfMonday(t)
	for key, r := range ref {
		d := demand(t, p, key)
		if d.Sheet.Chop != r.Chop || d.Sheet.Slit != r.Slit || d.Net != r.Net {
			t.Errorf("%s: %s × %s, %d sheets net; reference %s × %s, %d", key, d.Sheet.Chop, d.Sheet.Slit, d.Net, r.Chop, r.Slit, r.Net)
		}
		if d.Strength != nil {
			if dev := float64(d.Strength.BCT)*5.876/5.87/r.BCT - 1; dev > .002 || dev < -.002 {
				t.Errorf("%s: strength %.0f N is %.2f %% off the reference %.0f N", key, float64(d.Strength.BCT), 100*dev, r.BCT)
			}
		}
	}
}
