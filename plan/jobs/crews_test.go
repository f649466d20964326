package jobs_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/trace"
	"pgregory.net/rapid"
)

func counted(early, late int) []plant.Crew {
	return []plant.Crew{{Shift: "early", Crews: early}, {Shift: "late", Crews: late}}
}

// pressed is a book whose sheets all stand on the floor and whose orders are
// wanted early: the presses are what makes some of them late.
func pressed(t testing.TB) jobs.Problem {
	p := problem(t, demo.Generated(demo.Size{Lines: 120, Seed: 7}))
	for i := range p.Releases {
		p.Releases[i].Due = demo.Now.Add(time.Duration(8+i%5*6) * time.Hour)
		p.Releases[i].OnFloor = 1_000_000
	}
	return p
}

// manAt is how many machines are manned in a minute, by the answer.
func manAt(a jobs.Answer, at time.Time) (n int) {
	for _, m := range a.Manning {
		if !m.Overtime && !at.Before(m.From) && at.Before(m.Until) {
			n++
		}
	}
	return n
}

// Crews, not machines, make capacity (the planning desk's rule 16): with three
// crews for the demo's six machines never more than three run, and the money
// is no less than with a crew for each.
func TestCrewsMakeCapacity(t *testing.T) {
	p := pressed(t)
	all := solve(t, p, jobs.Options{})
	p.Crews = counted(3, 2)
	few := solve(t, p, jobs.Options{})
	for h := range 24 * 14 {
		at := demo.Now.Add(time.Duration(h) * time.Hour / 2)
		most := 3
		if at.Hour() >= 14 {
			most = 2
		}
		if n := manAt(few, at); n > most {
			t.Errorf("%d machines manned at %v", n, at)
		}
	}
	if len(few.Jobs) != len(all.Jobs) || len(few.Refused) != len(all.Refused) {
		t.Errorf("%d jobs with few crews, %d with all; refused %v", len(few.Jobs), len(all.Jobs), few.Refused)
	}
	if few.Cost+few.LateCost < all.Cost+all.LateCost-1e-6 {
		t.Errorf("fewer crews came cheaper: %.2f under %.2f", few.Cost+few.LateCost, all.Cost+all.LateCost)
	}
	t.Logf("all crews %.0f + late %.0f; three and two %.0f + %.0f, %d stretches", all.Cost, all.LateCost, few.Cost, few.LateCost, len(few.Manning))
	p.Crews = append(counted(0, 0), plant.Crew{Shift: "early", Crews: 1, Can: []ident.Machine{"FFG-1"}}, plant.Crew{Shift: "early", Crews: 1, Can: []ident.Machine{"FFG-1", "FFG-2"}})
	narrow := solve(t, p, jobs.Options{})
	if !slices.ContainsFunc(narrow.Refused, func(r jobs.Refusal) bool { return strings.Contains(r.Reason, "RDC-1, as agreed: no crew") }) {
		t.Errorf("no crew can run RDC-1, and nothing says so: %v", narrow.Refused)
	}
	for _, j := range narrow.Jobs {
		if j.Machine != "FFG-1" && j.Machine != "FFG-2" {
			t.Errorf("%s runs on %s, which no crew can run", j.Release, j.Machine)
		}
	}
}

func TestOvertimeOnlyWhereItPays(t *testing.T) {
	p := pressed(t)
	p.Crews = counted(2, 2)
	plain := solve(t, p, jobs.Options{})
	p.Overtime = plant.Overtime{PerHour: 60, Most: 120}
	over := solve(t, p, jobs.Options{})
	if over.Cost+over.LateCost > plain.Cost+plain.LateCost+1e-6 {
		t.Errorf("overtime made it dearer: %.2f above %.2f", over.Cost+over.LateCost, plain.Cost+plain.LateCost)
	}
	if over.LateCost >= plain.LateCost || over.Overtime <= 0 {
		t.Errorf("overtime for %.2f saved no lateness: %.2f after %.2f", over.Overtime, over.LateCost, plain.LateCost)
	}
	p.Overtime.PerHour = 1e7
	if dear := solve(t, p, jobs.Options{}); dear.Overtime != 0 {
		t.Errorf("overtime at ten million an hour: %.2f", dear.Overtime)
	}
	t.Logf("late %.0f without overtime; %.0f with %.0f of it", plain.LateCost, over.LateCost, over.Overtime)
}

// One crew for two machines goes first where it is due first (hand): the
// die cutter's job is due on Monday night, the folder-gluer's on Wednesday.
func TestTheCrewGoesWhereItIsDue(t *testing.T) {
	p := problem(t, demo.Book())
	soon, later := p.Releases[index(t, p, "J1024")], p.Releases[index(t, p, "J1025")]
	for _, first := range []bool{true, false} {
		a, b := soon, later
		if !first {
			a, b = later, soon
		}
		a.OnFloor, b.OnFloor, a.Pieces, b.Pieces = 1_000_000, 1_000_000, 20_000, 20_000
		a.DueAt, b.DueAt = "gate", "gate"
		a.Due, b.Due = demoTime(3, 16, 0), demoTime(5, 16, 0)
		p.Releases, p.Runs, p.Crews = []jobs.Release{a, b}, nil, counted(1, 0)
		got := solve(t, p, jobs.Options{})
		for _, j := range got.Jobs {
			if j.Release == a.Key && !j.Start.Equal(demo.Now) || j.Release == b.Key && j.Start.Equal(demo.Now) {
				t.Errorf("%s starts at %v on %s", j.Release, j.Start, j.Machine)
			}
		}
		if got.LateCost > 0 || len(got.Jobs) != 2 || got.Jobs[0].Machine == got.Jobs[1].Machine {
			t.Errorf("late %.0f, jobs %+v", got.LateCost, got.Jobs)
		}
	}
}

// A job that just misses its due time is saved by the quarter hours it lacks, no more (hand).
func TestOvertimeIsAsLongAsNeeded(t *testing.T) {
	p := problem(t, demo.Book())
	i := index(t, p, "J1024")
	r := p.Releases[i]
	r.Route, r.OnFloor, r.Pieces = []ident.Machine{"FFG-1"}, 1_000_000, 27_000
	p.Releases, p.Runs = []jobs.Release{r}, nil
	start := demoTime(3, 21, 0)
	p.Now, p.Prices.LatePctPerDay, p.Prices.LateEach = start, 0, 5000
	// From 21:00 the job takes over two hours and the shift ends at 22:00; the rest is for 06:00 of Tuesday.
	alone := solve(t, p, jobs.Options{})
	work := alone.Jobs[0].SetUp + alone.Jobs[0].Run
	p.Releases[0].DueAt, p.Releases[0].Due = "gate", start.Add(work.Duration()+(p.Dispatch.LoadForming+p.Dispatch.Loading).Duration()+20*time.Minute)
	p.Overtime = plant.Overtime{PerHour: 100, Most: 240}
	a := solve(t, p, jobs.Options{})
	if a.LateCost != 0 || len(a.Manning) != 1 || !a.Manning[0].From.Equal(demoTime(3, 22, 0)) || a.Manning[0].Shift != "late" {
		t.Fatalf("late %.0f, manning %+v", a.LateCost, a.Manning)
	}
	if m := a.Manning[0]; !m.Until.Equal(a.Jobs[0].End) || a.Jobs[0].Overtime != quantity.InMinutes(m.Until.Sub(m.From)) {
		t.Errorf("overtime until %v for a job that ends at %v, %.1f min of it", m.Until, a.Jobs[0].End, a.Jobs[0].Overtime)
	}
	p.Overtime.Most = 30 // not enough to be in time: none is worked
	if short := solve(t, p, jobs.Options{}); short.Overtime != 0 {
		t.Errorf("half an hour saves nothing and costs %.2f", short.Overtime)
	}
}

func TestJobInProgressGoesOnWithoutASecondSetUp(t *testing.T) {
	p := withRuns(t, problem(t, demo.Book()), 1)
	i := index(t, p, "J1005")
	p.Releases[i].OnFloor = 100_000
	tests := []struct {
		source string
		on     trace.JobState
		setUp  func(whole quantity.Minutes) quantity.Minutes
	}{
		{"hand: counted already, so set up", trace.JobState{Since: demo.Now.Add(-time.Hour), Good: 300}, func(quantity.Minutes) quantity.Minutes { return 0 }},
		{"hand: begun this moment", trace.JobState{Since: demo.Now}, func(w quantity.Minutes) quantity.Minutes { return w }},
		{"hand: begun before the shift, no crew then", trace.JobState{Since: demo.Now.Add(-time.Hour)}, func(w quantity.Minutes) quantity.Minutes { return w }},
	}
	for _, tt := range tests {
		tt.on.Release = p.Releases[i].Key
		p.On = nil
		var whole quantity.Minutes
		for _, j := range solve(t, p, jobs.Options{}).Jobs {
			if j.Release == tt.on.Release && j.Machine == "FFG-2" {
				whole = j.SetUp
			}
		}
		p.On = map[ident.Machine]trace.JobState{"FFG-2": tt.on}
		a := solve(t, p, jobs.Options{})
		found := false
		for _, j := range a.Jobs {
			if j.Release != tt.on.Release {
				continue
			}
			found = true
			if j.Machine != "FFG-2" || j.Seq != 1 || !j.Begun || !j.Start.Equal(demo.Now) {
				t.Errorf("%s: %+v", tt.source, j)
			}
			if whole > 0 && j.SetUp != tt.setUp(whole) && tt.on.Good > 0 {
				t.Errorf("%s: set-up %.1f min", tt.source, float64(j.SetUp))
			}
			if tt.on.Good > 0 && j.SetUp != 0 || tt.on.Good == 0 && j.SetUp <= 0 {
				t.Errorf("%s: set-up %.1f min", tt.source, float64(j.SetUp))
			}
		}
		if !found {
			t.Errorf("%s: the job has gone", tt.source)
		}
	}
}

func TestFrozenFrontKeepsItsSequence(t *testing.T) {
	p := withRuns(t, problem(t, demo.Book()), 1)
	a := solve(t, p, jobs.Options{})
	var front []jobs.Kept
	for _, j := range a.Jobs {
		if j.Machine == "FFG-2" && j.Seq <= 4 {
			front = append([]jobs.Kept{{Release: j.Release, Step: j.Step, Machine: j.Machine}}, front...) // the other way round
		}
	}
	p.Frozen = front
	got := solve(t, p, jobs.Options{}) // Check judges the sequence
	for k, f := range front {
		for _, j := range got.Jobs {
			if j.Release == f.Release && j.Step == f.Step && (j.Machine != "FFG-2" || j.Seq != k+1 || !j.Frozen) {
				t.Errorf("%s frozen at place %d stands on %s at %d", j.Release, k+1, j.Machine, j.Seq)
			}
		}
	}
	if got.Cost+got.LateCost < a.Bound-1e-6 {
		t.Error("a frozen front came cheaper than the bound of the free plan")
	}
}

func TestToolWear(t *testing.T) {
	p := withRuns(t, problem(t, demo.Book()), 1)
	i := index(t, p, "J1005")
	id := string(p.Releases[i].Plate)
	tests := []struct {
		source string
		tool   plant.Tool
		warned string
		refuse bool
	}{
		{"hand: 100 hits left", plant.Tool{ID: id, Hits: 999_900, Limit: 1_000_000}, "100 hits left", false},
		{"hand: worn out, and strict", plant.Tool{ID: id, Hits: 999_900, Limit: 1_000_000, Strict: true}, "", true},
		{"hand: plenty", plant.Tool{ID: id, Hits: 0, Limit: 1_000_000, Strict: true}, "", false},
	}
	for _, tt := range tests {
		p.Tools = []plant.Tool{tt.tool}
		a := solve(t, p, jobs.Options{Rounds: -1})
		refused := false
		for _, r := range a.Refused {
			refused = refused || r.Release == p.Releases[i].Key && strings.Contains(r.Reason, id)
		}
		if refused != tt.refuse {
			t.Errorf("%s: refused %v", tt.source, a.Refused)
		}
		for _, j := range a.Jobs {
			if j.Release == p.Releases[i].Key && !strings.Contains(j.Warning, tt.warned) {
				t.Errorf("%s: warning %q", tt.source, j.Warning)
			}
		}
	}
}

// One plate is at one machine at a time: two releases of one item wait for each other.
func TestOneToolIsAtOnePlace(t *testing.T) {
	p := problem(t, demo.Book())
	i := index(t, p, "J1005")
	a, b := p.Releases[i], p.Releases[i]
	b.Key.Release = "2"
	a.OnFloor, b.OnFloor = 100_000, 100_000
	a.Route, b.Route = []ident.Machine{"FFG-1"}, []ident.Machine{"FFG-2"}
	p.Releases, p.Runs = []jobs.Release{a, b}, nil
	got := solve(t, p, jobs.Options{}) // Check judges it
	if len(got.Jobs) != 2 || !got.Jobs[1].Start.Equal(got.Jobs[0].End) && !got.Jobs[0].Start.Equal(got.Jobs[1].End) {
		t.Errorf("two jobs with plate %s: %+v", a.Plate, got.Jobs)
	}
	if w := got.Jobs[0].WaitsFor + got.Jobs[1].WaitsFor; !strings.Contains(w, "the tool") {
		t.Errorf("waits for %q", w)
	}
}

// TestCrewLaws draws crews, overtime, stops, jobs in progress and frozen fronts
// on the demo's machines; Check judges every plan.
func TestCrewLaws(t *testing.T) {
	base := problem(t, demo.Book())
	rapid.Check(t, func(rt *rapid.T) {
		p := base
		p.Releases = rapid.SliceOfNDistinct(rapid.SampledFrom(base.Releases), 2, 10, func(r jobs.Release) ident.Release { return r.Key }).Draw(rt, "releases")
		p = withRuns(t, p, rapid.Uint64Range(0, 99).Draw(rt, "runs"))
		p.Crews = counted(rapid.IntRange(0, 4).Draw(rt, "early"), rapid.IntRange(0, 4).Draw(rt, "late"))
		if rapid.Bool().Draw(rt, "can") {
			p.Crews = append(p.Crews, plant.Crew{Shift: "early", Crews: 1, Can: []ident.Machine{"FFG-3", "RDC-1"}})
		}
		p.Overtime = plant.Overtime{PerHour: quantity.Money(rapid.IntRange(0, 200).Draw(rt, "price")), Most: quantity.Minutes(rapid.IntRange(0, 180).Draw(rt, "most"))}
		from := demo.Now.Add(time.Duration(rapid.IntRange(-10, 40).Draw(rt, "stop")) * time.Hour)
		p.Stops = append(p.Stops[:len(p.Stops):len(p.Stops)], plant.Stop{Machine: rapid.SampledFrom(p.Machines).Draw(rt, "machine").Code, From: from, Until: from.Add(9 * time.Hour)})
		a, err := jobs.Solve(t.Context(), p, jobs.Options{Rounds: 100})
		if err != nil {
			rt.Fatal(err)
		}
		if err := jobs.Check(p, a); err != nil {
			rt.Fatal(err)
		}
		for _, j := range a.Jobs {
			if rapid.Bool().Draw(rt, "freeze") {
				p.Frozen = append(p.Frozen, jobs.Kept{Release: j.Release, Step: j.Step, Machine: j.Machine})
			}
		}
		again, err := jobs.Solve(t.Context(), p, jobs.Options{Rounds: 100, Start: a.Jobs})
		if err != nil {
			rt.Fatal(err)
		}
		if err := jobs.Check(p, again); err != nil {
			rt.Fatal(err)
		}
	})
}
