package jobs_test

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
)

// padded is J1018, a pad that no machine converts, on one run that begins at 21:00
// of Monday on a corrugator whose late crew goes home at 22:00.
func padded(t *testing.T) jobs.Problem {
	p := problem(t, demo.Book())
	r := p.Releases[index(t, p, "J1018")]
	p.Now, p.Corrugator.Shifts = demoTime(3, 21, 0), []string{"early", "late"}
	p.Releases, p.Stops = []jobs.Release{r}, nil
	p.Releases[0].OnFloor, p.Releases[0].DueAt = 0, "gate"
	p.Prices.LatePctPerDay, p.Prices.LateEach = 0, 5000
	p.Runs = []runs.Run{{Seq: 1, Grade: r.Grade, Web: 2200 * quantity.Millimetre, Length: quantity.FromMetres(12_000),
		Lanes: []runs.Lane{{Order: r.Key.String(), Level: 1, Outs: 3, Slit: r.Sheet.Slit, Chop: r.Sheet.Chop, Cuts: 9000, Sheets: 27_000}}}}
	return p
}

// Hand: the run takes over an hour, so that the rest of it is for Tuesday morning
// and late. The crew stays on for what is left of it, at its own price, where that
// brings the release out in time; and goes home where it does not, or costs more.
func TestTheCorrugatorWorksOverWhereItPays(t *testing.T) {
	p := padded(t)
	alone := solve(t, p, jobs.Options{})
	run := alone.Runs[0]
	ends := p.Now.Add(run.Minutes.Duration()) // without a night between
	if !ends.After(demoTime(3, 22, 10)) || ends.After(demoTime(3, 23, 0)) || !run.End.After(demoTime(4, 6, 0)) {
		t.Fatalf("the run takes %.1f min and ends at %v: the case is not what it says", float64(run.Minutes), run.End)
	}
	behind := alone.Finishes[0].AtGate.Sub(run.End) // cure, load forming, loading
	p.Releases[0].Due = ends.Add(behind + 5*time.Minute)
	if late := solve(t, p, jobs.Options{}); late.LateCost != 5000 {
		t.Fatalf("late for %.0f without overtime", late.LateCost)
	}
	p.Overtime = plant.Overtime{PerHour: 1, Most: 120, Corrugator: 400}
	a := solve(t, p, jobs.Options{})
	if a.LateCost != 0 || len(a.Manning) != 1 {
		t.Fatalf("late for %.0f, manning %+v", a.LateCost, a.Manning)
	}
	m := a.Manning[0]
	if m.Machine != "CORR-1" || m.Shift != "late" || !m.Overtime || !m.From.Equal(demoTime(3, 22, 0)) || !m.Until.Equal(a.Runs[0].End) || a.Overtime != m.Cost ||
		m.Cost != 400*quantity.Money(m.Until.Sub(m.From).Hours()) {
		t.Errorf("%+v, run %+v, overtime %.2f", m, a.Runs[0], a.Overtime)
	}
	for source, o := range map[string]plant.Overtime{
		"none stated":           {PerHour: 1, Most: 120},
		"dearer than late":      {PerHour: 1, Most: 120, Corrugator: 1e6},
		"too short to be there": {PerHour: 1, Most: 5, Corrugator: 400},
	} {
		p.Overtime = o
		if got := solve(t, p, jobs.Options{}); got.Overtime != 0 || got.LateCost != 5000 {
			t.Errorf("%s: overtime for %.2f, late for %.0f", source, got.Overtime, got.LateCost)
		}
	}
}

// The plan in force has the crew stay on: it does again, and only as long as there is work.
func TestTheCorrugatorKeepsItsOvertime(t *testing.T) {
	p := padded(t)
	p.Overtime = plant.Overtime{Most: 120, Corrugator: 400}
	p.Releases[0].Due = demoTime(5, 6, 0) // nothing is late either way
	p.Manning = []jobs.Manning{
		{Machine: "CORR-1", Shift: "late", From: demoTime(3, 22, 0), Until: demoTime(4, 0, 0), Overtime: true, Cost: 800},
		{Machine: "CORR-1", Shift: "late", From: demoTime(4, 22, 0), Until: demoTime(4, 23, 0), Overtime: true, Cost: 400},
	}
	a := solve(t, p, jobs.Options{})
	if len(a.Manning) != 1 || !a.Manning[0].Until.Equal(a.Runs[0].End) || a.Runs[0].End.After(demoTime(4, 0, 0)) {
		t.Errorf("%+v, run ends %v", a.Manning, a.Runs[0].End)
	}
}

// Law: overtime of the corrugator never makes the whole dearer, and Check judges every plan.
func TestCorrugatorOvertimeLaws(t *testing.T) {
	base, over := problem(t, demo.Book()), 0
	rapid.Check(t, func(rt *rapid.T) {
		p := base
		p.Releases = rapid.SliceOfNDistinct(rapid.SampledFrom(base.Releases), 4, 16, func(r jobs.Release) ident.Release { return r.Key }).Draw(rt, "releases")
		p = withRuns(t, p, rapid.Uint64Range(0, 99).Draw(rt, "runs"))
		p.Corrugator.Shifts = rapid.SampledFrom([][]string{{"early"}, {"early", "late"}, {"late"}}).Draw(rt, "shifts")
		p.Prices.LateEach = quantity.Money(rapid.IntRange(0, 5000).Draw(rt, "late"))
		p.Now = demo.Now.Add(time.Duration(rapid.IntRange(0, 20).Draw(rt, "now")) * time.Hour)
		for i := range p.Releases {
			p.Releases[i].Due = p.Now.Add(time.Duration(rapid.IntRange(6, 40).Draw(rt, "due")) * time.Hour)
		}
		plain, err := jobs.Solve(t.Context(), p, jobs.Options{Rounds: 50})
		if err != nil {
			rt.Fatal(err)
		}
		p.Overtime = plant.Overtime{Most: quantity.Minutes(rapid.IntRange(1, 240).Draw(rt, "most")), PerHour: 1e7,
			Corrugator: quantity.Money(rapid.IntRange(1, 200).Draw(rt, "price"))}
		a, err := jobs.Solve(t.Context(), p, jobs.Options{Rounds: 50})
		if err != nil {
			rt.Fatal(err)
		}
		if err := jobs.Check(p, a); err != nil {
			rt.Fatal(err)
		}
		if a.Overtime > 0 {
			over++
		}
		if a.Cost+a.LateCost > plain.Cost+plain.LateCost+1e-6 {
			rt.Fatalf("%.2f with overtime, %.2f without", a.Cost+a.LateCost, plain.Cost+plain.LateCost)
		}
	})
	if over == 0 {
		t.Error("no plan works any overtime: the law was not tried")
	}
	t.Logf("%d plans with overtime", over)
}

// Hand: at 13:00, two pads on a crew that works from 14:00 to 22:00. The first is half an hour
// late unless the crew comes 45 min before; the second is late by a day unless it
// stays over an hour. With two hours a day in all both are in time; with 100 min one.
func TestTheCorrugatorKeepsTheDaysMost(t *testing.T) {
	p := padded(t)
	p.Now, p.Corrugator.Shifts = demoTime(3, 13, 0), []string{"late"}
	second, run := p.Releases[0], p.Runs[0]
	second.Key = ident.NewRelease("J9001", "", "")
	run.Seq, run.Lanes = 2, []runs.Lane{run.Lanes[0]}
	run.Lanes[0].Order = second.Key.String()
	p.Releases, p.Runs = append(p.Releases, second), append(p.Runs, run)
	p.Runs[0].Length, p.Runs[1].Length = quantity.FromMetres(61_000), quantity.FromMetres(22_000)
	alone := solve(t, p, jobs.Options{})
	behind := alone.Finishes[0].AtGate.Sub(alone.Runs[0].End)
	first := alone.Runs[0].End
	p.Releases[0].Due = first.Add(behind - 32*time.Minute)
	p.Releases[1].Due = first.Add(alone.Runs[1].Minutes.Duration() + behind + 5*time.Minute)
	p.Overtime = plant.Overtime{Most: 100, Corrugator: 400}
	if a := solve(t, p, jobs.Options{}); a.LateCost != 5000 || len(a.Manning) != 1 { // Check judges the day's most
		t.Errorf("100 min a day: late for %.0f, manning %+v", a.LateCost, a.Manning)
	}
	p.Overtime.Most = 120
	a := solve(t, p, jobs.Options{})
	if a.LateCost != 0 || len(a.Manning) != 2 || !a.Manning[0].Until.Equal(demoTime(3, 14, 0)) || !a.Manning[1].From.Equal(demoTime(3, 22, 0)) {
		t.Errorf("late for %.0f, runs %+v, manning %+v", a.LateCost, a.Runs, a.Manning)
	}
}
