package waste_test

import (
	"context"
	"math"
	"testing"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plan/waste"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/corrugator"
	"github.com/flutewright/flutewright/plant/demo"
)

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*max(1, math.Abs(b)) }

func millimetres(n int) quantity.Length { return quantity.Length(n) * quantity.Millimetre }

// Hand: 1,000 m of 2,200 mm with 3 outs of 700 × 1,490 mm, 4 first cuts each: 671
// cuts are 999.79 m. Trim 0.1 × 1000; first cuts 3 × 4 × 1.043; ends 2.1 × 0.21;
// changes 2.2 × (1.6 + 18 + 12), all at 0.5 kg/m².
func TestRunByHand(t *testing.T) {
	r := runs.Run{Seq: 2, Grade: "B-ST", Web: millimetres(2200), Length: quantity.FromMetres(1000), Trim: millimetres(100),
		Lanes: []runs.Lane{{Order: "J1", Outs: 3, Slit: millimetres(700), Chop: millimetres(1490), Cuts: 671, Sheets: 3 * 667}}}
	limits := corrugator.Limits{RunChangeLoss: quantity.FromMetres(1.6), WebChangeLoss: quantity.FromMetres(18), GradeChangeLoss: quantity.FromMetres(12)}
	for _, c := range []struct {
		source  string
		before  *runs.Run
		changes float64
	}{
		{"hand, nothing before", nil, 2.2 * 1.6},
		{"hand, the same board and web", &r, 2.2 * 1.6},
		{"hand, another web", &runs.Run{Grade: "B-ST", Web: millimetres(2000)}, 2.2 * 19.6},
		{"hand, another web and grade", &runs.Run{Grade: "C-ST", Web: millimetres(2000)}, 2.2 * 31.6},
	} {
		want := map[string]float64{waste.Trim: 100, waste.FirstCuts: 12 * 1.043, waste.Ends: 2.1 * 0.21, waste.Changes: c.changes}
		got := waste.Run(r, c.before, limits, 0.5)
		if len(got) != len(want) {
			t.Errorf("%s: %+v", c.source, got)
		}
		for _, p := range got {
			if !near(float64(p.Area), want[p.What]) || !near(float64(p.Mass), want[p.What]/2) {
				t.Errorf("%s: %s %v m², %v kg, want %v m²", c.source, p.What, p.Area, p.Mass, want[p.What])
			}
			if sheets := map[string]float64{waste.FirstCuts: 12}[p.What]; p.Sheets != sheets {
				t.Errorf("%s: %s %v sheets, want %v", c.source, p.What, p.Sheets, sheets)
			}
		}
	}
}

// Law: the outside liner that the rolls are asked for is what the good sheets and
// the parts of the waste take, in every run of a plan.
func TestRunsUseTheirPaperUp(t *testing.T) {
	b := demo.Book()
	p, err := plan.Make(context.Background(), b, plan.Options{Now: demo.Now, Rounds: 20, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	drawn := map[int]float64{}
	for _, n := range p.Rolls.Needs {
		if n.Ply == 1 {
			drawn[n.Run] = n.Metres.Metres() * n.Web.Metres()
		}
	}
	if len(p.Runs) == 0 {
		t.Fatal("no runs")
	}
	for _, r := range p.Runs {
		sum := 0.0
		for _, l := range r.Lanes {
			sum += float64(l.Sheets) * l.Slit.Metres() * l.Chop.Metres()
		}
		for _, part := range waste.OfRun(b, p, r.Seq) {
			if part.Area < 0 {
				t.Errorf("run %d: %+v", r.Seq, part)
			}
			sum += float64(part.Area)
		}
		if math.Abs(sum-drawn[r.Seq]) > 0.01 { // metres of paper are whole millimetres
			t.Errorf("run %d: good sheets and waste take %.3f m², its liner is %.3f m²", r.Seq, sum, drawn[r.Seq])
		}
	}
	for _, j := range p.Clock.Jobs {
		if len(waste.OfJob(b, p, j.Release, j.Machine)) == 0 {
			t.Errorf("%s on %s: a job without any planned waste, though all machines state losses", j.Release, j.Machine)
		}
	}
	if waste.OfRun(b, p, 999) != nil || waste.OfJob(b, p, ident.NewRelease("J9", "", ""), "FFG-1") != nil {
		t.Error("waste of what is not in the plan")
	}
}

// Hand: 1,000 sheets of 2 × 0.4 m² fed; 15 + 2 × 6 sheets of set-up, 0.5 % of
// running; 0.01 m² out of each of 1,936 good pieces. A later step prints nothing
// and is fed pieces of 0.39 m².
func TestJobByHand(t *testing.T) {
	m := convert.Machine{Loss: convert.Loss{SetUpSheets: 15, PerColourSheets: 6, RunningPct: 0.5}}
	cut := waste.CutOut{What: waste.Skeleton, Area: 0.01}
	for _, c := range []struct {
		source string
		fed    waste.Fed
		sheets map[string]float64
		area   map[string]float64
	}{
		{"hand, first step", waste.Fed{Machine: m, Step: 1, Colours: 2, Sheets: 1000, Pieces: 1936, Piece: 0.4, PerFed: 2, Cut: cut},
			map[string]float64{waste.SetUpSheets: 27, waste.Running: 5}, map[string]float64{waste.SetUpSheets: 21.6, waste.Running: 4, waste.Skeleton: 19.36}},
		{"hand, second step", waste.Fed{Machine: m, Step: 2, Colours: 2, Sheets: 1936, Pieces: 1911, Piece: 0.39, PerFed: 1},
			map[string]float64{waste.SetUpSheets: 15, waste.Running: 9.68}, map[string]float64{waste.SetUpSheets: 5.85, waste.Running: 9.68 * 0.39}},
		{"hand, fewer sheets than a set-up", waste.Fed{Machine: m, Step: 2, Sheets: 10, Piece: 0.4},
			map[string]float64{waste.SetUpSheets: 10, waste.Running: 0.05}, map[string]float64{waste.SetUpSheets: 4, waste.Running: 0.02}},
	} {
		got := waste.Job(c.fed, 0.5)
		if len(got) != len(c.area) {
			t.Errorf("%s: %+v", c.source, got)
		}
		for _, p := range got {
			if !near(p.Sheets, c.sheets[p.What]) || !near(float64(p.Area), c.area[p.What]) || !near(float64(p.Mass), c.area[p.What]/2) {
				t.Errorf("%s: %+v", c.source, p)
			}
		}
	}
}

func TestTheDieCutterCuts(t *testing.T) {
	for _, c := range []struct {
		steps []convert.Kind
		want  int
	}{
		{nil, 0},
		{[]convert.Kind{convert.FolderGluer}, 1},
		{[]convert.Kind{convert.DieCutter, convert.SpecialtyFolderGluer}, 1},
		{[]convert.Kind{convert.FolderGluer, convert.DieCutter}, 2},
	} {
		if got := waste.CutsOn(c.steps); got != c.want {
			t.Errorf("%v: step %d, want %d", c.steps, got, c.want)
		}
	}
}
