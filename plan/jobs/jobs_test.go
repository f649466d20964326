package jobs_test

import (
	"context"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"pgregory.net/rapid"
)

func exits(t testing.TB, p jobs.Problem) []jobs.Latest {
	t.Helper()
	l, err := jobs.LatestExits(p)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func solve(t testing.TB, p jobs.Problem, opt jobs.Options) jobs.Answer {
	t.Helper()
	a, err := jobs.Solve(context.Background(), p, opt)
	if err != nil {
		t.Fatal(err)
	}
	if err := jobs.Check(p, a); err != nil {
		t.Fatal(err)
	}
	return a
}

func demoTime(day, hour, minute int) time.Time {
	return time.Date(2031, time.March, day, hour, minute, 0, 0, time.UTC)
}

func TestLatestExitOnTheAgreedJumbo(t *testing.T) {
	p := problem(t, demo.Book())
	i := index(t, p, "J1039")
	p.Releases[i].Route = []ident.Machine{"FFG-3"} // as the demo plant's own routing has it
	got := exits(t, p)[i]
	// Planning handbook, scenario 2: due Tuesday 12:00 at the dock, 203 km at 60 km/h, load
	// forming and loading 45 min, press 27 + 22 min, cure 4 h: Tuesday 03:03. The press here
	// feeds 1,536 sheets, losses in them, for 1,500 boxes: up to a minute more.
	if d := demoTime(4, 3, 3).Sub(got.Exit); d < 0 || d > time.Minute {
		t.Errorf("J1039 must leave the corrugator by %v, want Tuesday 03:03 or up to a minute before", got.Exit)
	}
}

func TestLatestPressBeforeTheCrewLeaves(t *testing.T) {
	p := problem(t, demo.Book())
	l := exits(t, p)[index(t, p, "J1024")]
	if l.Route[0] != "FFG-1" || !l.Made.Equal(demoTime(3, 22, 0)) {
		t.Errorf("planning desk: J1024 must be pressed before FFG-1 stops on Monday 22:00; got %v by %v", l.Route, l.Made)
	}
	// Hand: 28,196 sheets at 13,500 an hour, 125:19 min, and 13 min of set-up.
	if want := demoTime(3, 22, 0).Add(-138*time.Minute - 19*time.Second); l.Press.Sub(want).Abs() > 2*time.Second {
		t.Errorf("latest press start %v, want %v", l.Press, want)
	}
	if l.Press.Sub(l.Exit) != 2*time.Hour {
		t.Errorf("single wall cures two hours, got %v", l.Press.Sub(l.Exit))
	}
}

func TestLatestSheets(t *testing.T) {
	p := problem(t, demo.Book())
	l := exits(t, p)
	for key, want := range map[string]int{"J1015": 1840, "J1001": 18136, "J1018": 5000, "J1027": 7161} {
		if got := l[index(t, p, key)]; got.Sheets != want || got.Refusal != "" {
			t.Errorf("%s wants %d sheets, got %d on %v %s", key, want, got.Sheets, got.Route, got.Refusal)
		}
	}
	if got := l[index(t, p, "J1027")].Route; !slices.Equal(got, []ident.Machine{"RDC-2", "SFG-1"}) {
		t.Errorf("J1027 passes %v", got)
	}
	if pad := l[index(t, p, "J1018")]; !pad.Press.IsZero() || !pad.Exit.Equal(pad.Made) {
		t.Errorf("a pad has no press and no cure: %+v", pad)
	}
}

func TestDemoBook(t *testing.T) {
	p := withRuns(t, problem(t, demo.Book()), 1)
	a := solve(t, p, jobs.Options{})
	if len(a.Refused) != 0 || len(a.Finishes) != 42 || len(a.Jobs) != 38+1 {
		t.Errorf("refused %v, %d finishes, %d jobs: want 38 converted releases, J1027 in two steps", a.Refused, len(a.Finishes), len(a.Jobs))
	}
	for _, j := range a.Jobs {
		if j.Release.Order == "J1016" && j.Start.Before(demoTime(4, 12, 0)) {
			t.Error("J1016 starts before its plate is back on Tuesday noon")
		}
		if j.Machine == "RDC-1" && j.Start.Before(demoTime(3, 10, 30)) && j.End.After(demoTime(3, 7, 30)) && j.End.Before(demoTime(3, 10, 30)) {
			t.Errorf("%v ends in RDC-1's maintenance", j)
		}
		if wants := j.Machine[:3] == "FFG"; j.Turn != wants && j.Release.Order != "J1027" && j.Release.Order != "J1009" && j.Release.Order != "J1011" {
			t.Errorf("%s on %s: turn %v; stacks come print side down, folder-gluers print above", j.Release, j.Machine, j.Turn)
		}
	}
	greedy := solve(t, p, jobs.Options{Rounds: -1})
	if a.Cost+a.LateCost > greedy.Cost+greedy.LateCost+1e-6 {
		t.Errorf("improving made it dearer: %.2f above %.2f", a.Cost+a.LateCost, greedy.Cost+greedy.LateCost)
	}
	t.Logf("machines %.0f, late %.0f, bound %.0f; greedy %.0f and %.0f", a.Cost, a.LateCost, a.Bound, greedy.Cost, greedy.LateCost)
	first, _ := json.Marshal(a)
	again, _ := json.Marshal(solve(t, p, jobs.Options{}))
	if string(first) != string(again) {
		t.Error("the same seed gives another answer")
	}
}

func TestRefusals(t *testing.T) {
	p := problem(t, demo.Book())
	wide := index(t, p, "J1003")
	p.Releases[wide].Route = []ident.Machine{"FFG-1"}
	gone := index(t, p, "J1016")
	for i := range p.Tools {
		if p.Tools[i].ID == "PL-0802" {
			p.Tools[i].BackAt = time.Time{}
		}
	}
	uncrewed := index(t, p, "J1027")
	for i := range p.Machines {
		if p.Machines[i].Code == "SFG-1" {
			p.Machines[i].Shifts = nil
		}
	}
	p = withRuns(t, p, 1)
	a := solve(t, p, jobs.Options{})
	for i, want := range map[int]string{wide: "feed 1,020 > 760 mm", gone: "PL-0802 is away", uncrewed: "no crew"} {
		key := p.Releases[i].Key
		at := slices.IndexFunc(a.Refused, func(r jobs.Refusal) bool { return r.Release == key })
		if at < 0 || !strings.Contains(a.Refused[at].Reason, want) {
			t.Errorf("%s: no refusal that says %q in %v", key, want, a.Refused)
		}
		if !a.Finishes[i].MadeAt.IsZero() || !strings.Contains(a.Finishes[i].WaitsFor, want) {
			t.Errorf("%s: finish %+v", key, a.Finishes[i])
		}
	}
}

func TestMachineDownMovesWork(t *testing.T) {
	b := demo.Book()
	b.Plant.Stops = append(b.Plant.Stops, plant.Stop{Machine: "FFG-1", From: demo.Now, Until: demo.Now.AddDate(20, 0, 0)})
	p := withRuns(t, problem(t, b), 1)
	a := solve(t, p, jobs.Options{})
	for _, j := range a.Jobs {
		if j.Machine == "FFG-1" {
			t.Fatalf("%s is on a machine that never runs", j.Release)
		}
	}
	// J1002 is 945 × 320 in B: only FFG-1 and FFG-2 take it.
	at := slices.IndexFunc(a.Jobs, func(j jobs.Job) bool { return j.Release.Order == "J1002" })
	if a.Jobs[at].Machine != "FFG-2" {
		t.Errorf("J1002 went to %s", a.Jobs[at].Machine)
	}
}

func TestSheetsOnTheFloorAndInParts(t *testing.T) {
	p := problem(t, demo.Book())
	p.Releases = p.Releases[index(t, p, "J1005") : index(t, p, "J1005")+1]
	r := &p.Releases[0]
	run := func(seq, sheets int) runs.Run {
		return runs.Run{Seq: seq, Grade: r.Grade, Length: (r.Sheet.Chop * 5000).Distance(), Lanes: []runs.Lane{{Order: r.Key.String(), Sheets: sheets, Chop: r.Sheet.Chop}}}
	}
	p.Runs = []runs.Run{run(1, 20000), run(2, 20000)}
	a := solve(t, p, jobs.Options{})
	if want := a.Runs[1].End.Add(2 * time.Hour); !a.Jobs[0].SheetsAt.Equal(want) {
		t.Errorf("22,154 sheets come with the second part at %v, got %v", want, a.Jobs[0].SheetsAt)
	}
	r.OnFloor = 3000
	a = solve(t, p, jobs.Options{})
	if want := a.Runs[0].End.Add(2 * time.Hour); !a.Jobs[0].SheetsAt.Equal(want) {
		t.Errorf("with 3,000 on the floor the first part is enough at %v, got %v", want, a.Jobs[0].SheetsAt)
	}
	r.OnFloor, p.Runs = 1000, nil
	a = solve(t, p, jobs.Options{})
	if j := a.Jobs[0]; j.Sheets != 1000 || j.Pieces != 973 || !j.Start.Equal(demo.Now) {
		t.Errorf("hand: 1,000 sheets on FFG-1 give 1,000·0.994 − 21 = 973 at once; got %+v", j)
	}
	r.OnFloor = 0
	a = solve(t, p, jobs.Options{})
	if f := a.Finishes[0]; len(a.Jobs) != 0 || !f.MadeAt.IsZero() || f.WaitsFor == "" {
		t.Errorf("no sheets: %+v", f)
	}
}

func TestPaperAndOverdue(t *testing.T) {
	p := withRuns(t, problem(t, demo.Book()), 1)
	truck := demoTime(4, 7, 0)
	p.PaperAt[2] = truck
	late := index(t, p, "J1001")
	p.Releases[late].Due = demo.Now.Add(-48 * time.Hour)
	a := solve(t, p, jobs.Options{})
	if a.Runs[1].Start.Before(truck) {
		t.Error("run 2 starts before its paper is there")
	}
	if f := a.Finishes[late]; !f.Overdue || f.Late < 48*60 || f.LateCost <= 0 {
		t.Errorf("an overdue order is late from its due time on: %+v", f)
	}
}

func TestCancelled(t *testing.T) {
	p := withRuns(t, problem(t, demo.Book()), 1)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	a, err := jobs.Solve(ctx, p, jobs.Options{})
	if err != nil || a.Status != jobs.Stopped {
		t.Fatalf("%v %v", a.Status, err)
	}
	if err := jobs.Check(p, a); err != nil {
		t.Error(err)
	}
}

func TestFaultyInput(t *testing.T) {
	p := problem(t, demo.Book())
	p.Machines[0].Shifts = []string{"dawn"}
	p.Releases[0].Grade = "X"
	_, err := jobs.LatestExits(p)
	if !errors.Is(err, fault.Invalid) || !strings.Contains(err.Error(), "dawn") || !strings.Contains(err.Error(), "J1001.grade") {
		t.Errorf("got %v", err)
	}
	p = withRuns(t, problem(t, demo.Book()), 1)
	p.Corrugator.Shifts = nil
	if _, err := jobs.Corrugate(p); !errors.Is(err, fault.Infeasible) {
		t.Errorf("a corrugator without a crew: %v", err)
	}
}

// TestEveryAnswerPassesCheck draws books, stops and tools away.
func TestEveryAnswerPassesCheck(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64().Draw(rt, "seed")
		p := problem(t, demo.Generated(demo.Size{Lines: rapid.IntRange(1, 60).Draw(rt, "lines"), Seed: seed}))
		for range rapid.IntRange(0, 3).Draw(rt, "stops") {
			from := demo.Now.Add(time.Duration(rapid.IntRange(-10, 60).Draw(rt, "from")) * time.Hour)
			m := rapid.SampledFrom(p.Machines).Draw(rt, "machine").Code
			p.Stops = append(p.Stops, plant.Stop{Machine: m, From: from, Until: from.Add(time.Duration(rapid.IntRange(0, 30).Draw(rt, "hours")) * time.Hour)})
		}
		p = withRuns(t, p, seed)
		a, err := jobs.Solve(context.Background(), p, jobs.Options{Rounds: 500, Seed: seed})
		if err != nil {
			rt.Fatal(err)
		}
		if err := jobs.Check(p, a); err != nil {
			rt.Fatal(err)
		}
	})
}

func TestCheckFindsFaults(t *testing.T) {
	p := withRuns(t, problem(t, demo.Book()), 1)
	good := solve(t, p, jobs.Options{Rounds: -1})
	two := slices.IndexFunc(good.Jobs, func(j jobs.Job) bool { return j.Seq == 2 })
	spoil := map[string]func(a *jobs.Answer){
		"run too short":      func(a *jobs.Answer) { a.Runs[3].End = a.Runs[3].End.Add(-time.Minute) },
		"run without a crew": func(a *jobs.Answer) { a.Runs[0].Start = demo.Now.Add(-48 * time.Hour) },
		"jobs overlap":       func(a *jobs.Answer) { a.Jobs[two].Start = a.Jobs[two].Start.Add(-3 * time.Hour) },
		"sequence number":    func(a *jobs.Answer) { a.Jobs[two].Seq = 5 },
		"fed other than run": func(a *jobs.Answer) { a.Jobs[two].Sheets += 900 },
		"lateness hidden":    func(a *jobs.Answer) { a.Finishes[4].Late += 60 },
		"cost":               func(a *jobs.Answer) { a.Cost -= 10 },
		"a finish lost":      func(a *jobs.Answer) { a.Finishes = a.Finishes[1:] },
		"bound above cost":   func(a *jobs.Answer) { a.Bound = a.Cost + a.LateCost + 1 },
	}
	for name, f := range spoil {
		a := good
		a.Runs, a.Jobs, a.Finishes = slices.Clone(good.Runs), slices.Clone(good.Jobs), slices.Clone(good.Finishes)
		f(&a)
		if err := jobs.Check(p, a); !errors.Is(err, fault.Infeasible) {
			t.Errorf("%s: %v", name, err)
		}
	}
	fewer := p
	fewer.Runs = slices.Clone(p.Runs)
	fewer.Runs[0].Lanes = slices.Clone(p.Runs[0].Lanes)
	fewer.Runs[0].Lanes[0].Sheets -= 50
	wet := p
	wet.Cure.SingleWall += 600
	for name, q := range map[string]jobs.Problem{"fed more than there is": fewer, "fed uncured": wet} {
		if err := jobs.Check(q, good); !errors.Is(err, fault.Infeasible) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func BenchmarkSolve2500(b *testing.B) {
	p := withRuns(b, problem(b, demo.Generated(demo.Size{Lines: 2500, Seed: 1})), 1)
	for b.Loop() {
		a := solve(b, p, jobs.Options{})
		b.ReportMetric(float64(a.Cost+a.LateCost)/float64(a.Bound), "cost/bound")
	}
}
