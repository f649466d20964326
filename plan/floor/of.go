package floor

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/trace"
)

// Given is what the sheet floor of a plan in force follows from.
type Given struct {
	Plant  plant.Plant
	Floor  trace.Floor
	Plan   ident.Plan // by which the facts of runs are known
	Runs   []runs.Run
	Clock  jobs.Answer
	Sheets map[ident.Release]box.Sheet // of every release that may stand there
	Pieces map[ident.Release]int       // pieces per sheet; none: 1
	Made   time.Time                   // when the plan was made
	Now    time.Time
	Ahead  time.Duration // 0: 24 h
}

// ToldRuns reports whether facts speak of the plan's own runs. Where they do
// not, what should have happened since the plan was made is taken as done at the
// planned hours; so it is with jobs.
func (g Given) ToldRuns() bool {
	if g.Floor.RunOn != nil && g.Floor.RunOn.Plan == g.Plan {
		return true
	}
	for r := range g.Floor.RunsDone {
		if r.Plan == g.Plan {
			return true
		}
	}
	return false
}

// ToldJobs reports whether facts speak of the plan's jobs since it was made.
func (g Given) ToldJobs() bool {
	for _, j := range g.Clock.Jobs {
		if p, told := g.Floor.Jobs[trace.Job{Release: j.Release, Machine: j.Machine}]; told && !p.Last.Before(g.Made) {
			return true
		}
	}
	return false
}

// Of states the floor: stacks that stand there by facts, those that runs bring
// hour by hour as the stacker sets them down, and when the first machine takes
// each of them, oldest first. Runs and jobs that facts call late move those
// after them. Sheets that no job takes stay; those of an order without
// converting go with its truck.
func Of(g Given) Problem {
	p := Problem{From: g.Now, Until: g.Now.Add(cmp.Or(g.Ahead, 24*time.Hour))}
	for _, l := range g.Plant.FloorLanes {
		p.Lanes = append(p.Lanes, Lane{Name: l.Lane, Length: l.Length, BySlit: l.Along == "slit", Gap: l.Gap})
	}
	for _, s := range g.Floor.Stacks {
		sheet := g.Sheets[s.Release]
		p.Stacks = append(p.Stacks, Stack{
			Name: s.ID, Release: s.Release, Sheets: s.Sheets, Stated: laneOf(s.Place, p.Lanes),
			Chop: sheet.Chop, Across: sheet.Slit, In: earlier(s.Made, g.Now),
		})
	}
	g.coming(&p)
	g.going(&p)
	p.Stacks = slices.DeleteFunc(p.Stacks, func(s Stack) bool { return !s.Out.IsZero() && !s.Out.After(g.Now) })
	return p
}

func earlier(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}

// laneOf reads the lane out of a place: its name, or its name, a dash and a position.
func laneOf(place string, lanes []Lane) string {
	for _, name := range []string{place, place[:max(0, strings.LastIndexByte(place, '-'))]} {
		if slices.ContainsFunc(lanes, func(l Lane) bool { return strings.EqualFold(l.Name, name) }) {
			return name
		}
	}
	return ""
}

// coming adds the stacks of the runs still to be made.
func (g Given) coming(p *Problem) {
	told, times := g.ToldRuns(), map[int]jobs.RunTime{}
	for _, t := range g.Clock.Runs {
		times[t.Run] = t
	}
	latest := map[string]time.Time{}
	for _, f := range g.Clock.Finishes {
		latest[f.Release.String()] = f.LatestExit
	}
	free := g.Now
	for _, r := range g.Runs {
		t, planned := times[r.Seq]
		if !planned {
			continue
		}
		start, made := t.Start, time.Time{} // made: stacks set down by then stand there by facts
		if told {
			key := trace.Run{Plan: g.Plan, Run: r.Seq}
			on := g.Floor.RunOn != nil && *g.Floor.RunOn == key
			switch done := g.Floor.RunsDone[key]; {
			case on:
				start, made = g.Floor.RunSince, g.Now
			case !done.Started.IsZero() || !done.Ended.IsZero():
				continue
			case start.Before(free):
				start = free
			}
		}
		end := start.Add(t.End.Sub(t.Start))
		if told && end.Before(g.Now) {
			end = g.Now // it should have ended: its last stacks come now
		}
		free = later(free, end)
		p.Stacks = append(p.Stacks, g.stacks(r, start, end, made)...)
		run := Run{Run: r.Seq, Start: start}
		for _, l := range r.Lanes {
			if exit := latest[l.Order]; !exit.IsZero() && (run.Latest.IsZero() || exit.Before(run.Latest)) {
				run.Latest = exit
			}
		}
		if !run.Latest.IsZero() {
			run.Latest = run.Latest.Add(-end.Sub(start))
		}
		p.Runs = append(p.Runs, run)
	}
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// stacks cuts a run's lanes into stacks and sets them down evenly over the run;
// those down by made are left out.
func (g Given) stacks(r runs.Run, start, end, made time.Time) []Stack {
	high := g.high(r.Grade)
	var out []Stack
	for _, l := range r.Lanes {
		release, err := ident.ParseRelease(l.Order)
		if err != nil || l.Outs < 1 || l.Sheets < 1 {
			continue
		}
		each := l.Sheets / l.Outs
		for from := 0; from < each; from += high {
			till := min(each, from+high)
			at := start.Add(time.Duration(float64(end.Sub(start)) * float64(till) / float64(each)))
			if !made.IsZero() && !at.After(made) {
				continue
			}
			out = append(out, Stack{
				Release: release, Sheets: (till - from) * l.Outs, Run: r.Seq,
				Chop: l.Chop, Across: l.Slit * quantity.Length(l.Outs), In: at,
			})
		}
	}
	return out
}

// high is how many sheets lie on each other in a stack of a grade.
func (g Given) high(grade ident.Grade) int {
	for _, b := range g.Plant.Grades {
		if b.Code != grade {
			continue
		}
		if c := b.Caliper(board.NewCatalogue(g.Plant.Papers, g.Plant.Flutes)); c > 0 {
			return max(1, int(g.Plant.Corrugator.StackHeightMax/c))
		}
	}
	return 1 << 30
}
