package plan

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/trace"
)

// AreaCorrugator and AreaTrucks are areas that freeze beside the converting
// machines, whose codes are areas of their own.
const (
	AreaCorrugator = "corrugator"
	AreaTrucks     = "trucks"
)

// Front is what a new plan keeps of the plans in force: the runs and jobs inside
// the freeze horizons, in their sequence.
type Front struct {
	Runs []runs.Run
	Jobs []jobs.Kept

	Done   []int     // runs of the corrugator's plan that have ended, by the facts
	Begun  time.Time // the first run is in progress since then; zero: it is not
	Broken []string  // areas whose freeze a named person breaks
	By     string    // who agreed to that
}

// FrontOf takes the frozen front of the plans in force by area at a moment: what
// by its plan begins before the area's horizon ends, and is not done by the
// facts. swaps are the facts of crews that swapped runs of the corrugator's
// plan. Areas that are broken freeze nothing; what is in progress stays all the same.
func FrontOf(book plant.Book, now time.Time, inForce map[string]*Plan, ids map[string]ident.Plan, swaps []trace.Fact, broken []string, by string) Front {
	f := Front{Broken: slices.Clone(broken), By: by}
	ahead := map[string]time.Time{}
	for _, z := range book.Plant.Freezes {
		if !slices.Contains(broken, z.Area) {
			ahead[z.Area] = now.Add(z.Minutes.Duration())
		}
	}
	if p := inForce[AreaCorrugator]; p != nil {
		f.runs(book, p, ids[AreaCorrugator], swaps, now, ahead[AreaCorrugator])
	}
	for _, m := range book.Plant.Machines {
		if p := inForce[string(m.Code)]; p != nil {
			f.jobs(p, m.Code, now, ahead[string(m.Code)])
		}
	}
	return f
}

func (f *Front) runs(book plant.Book, p *Plan, id ident.Plan, swaps []trace.Fact, now, until time.Time) {
	starts := map[int]jobs.RunTime{}
	for _, t := range p.Clock.Runs {
		starts[t.Run] = t
	}
	for _, r := range Swapped(p.Runs, id, swaps) {
		key := trace.Run{Plan: id, Run: r.Seq}
		on := book.Floor.RunOn != nil && *book.Floor.RunOn == key
		done, told := book.Floor.RunsDone[key]
		t := starts[r.Seq]
		switch {
		case told && !done.Ended.IsZero():
			f.Done = append(f.Done, r.Seq)
		case on:
			f.Runs = append([]runs.Run{r}, f.Runs...)
			f.Begun = book.Floor.RunSince
		case t.Start.Before(until) && t.End.After(now):
			f.Runs = append(f.Runs, r)
		}
	}
}

func (f *Front) jobs(p *Plan, m ident.Machine, now, until time.Time) {
	for _, j := range p.Clock.Jobs {
		if j.Machine == m && j.Start.Before(until) && j.End.After(now) {
			f.Jobs = append(f.Jobs, jobs.Kept{Release: j.Release, Step: j.Step, Machine: m})
		}
	}
}

// Swapped returns the runs in the sequence in which the crews ran them or say
// they will: each fact of a swap puts its other run before its run.
func Swapped(list []runs.Run, id ident.Plan, swaps []trace.Fact) []runs.Run {
	out := slices.Clone(list)
	for _, s := range trace.Standing(swaps) {
		if s.Kind != trace.RunsSwapped || s.Plan != id {
			continue
		}
		at := func(seq int) int { return slices.IndexFunc(out, func(r runs.Run) bool { return r.Seq == seq }) }
		first, second := at(s.Run), at(s.Other)
		if first < 0 || second <= first {
			continue
		}
		other := out[second]
		out = slices.Delete(out, second, second+1)
		out = slices.Insert(out, first, other)
	}
	return out
}

// settle leaves out of the front what can no longer be: runs of orders that want
// no more sheets, and gives the runs their new numbers. It returns what was left
// out, in words.
func (f *Front) settle(wanted map[string]bool) (left []string) {
	var keep []runs.Run
	for i, r := range f.Runs {
		gone := slices.IndexFunc(r.Lanes, func(l runs.Lane) bool { return !wanted[l.Order] })
		if gone >= 0 {
			left = append(left, fmt.Sprintf("the run of %s, since %s wants no more sheets", lanesOf(r), r.Lanes[gone].Order))
			if i == 0 {
				f.Begun = time.Time{}
			}
			continue
		}
		r.Seq = len(keep) + 1
		keep = append(keep, r)
	}
	f.Runs = keep
	return left
}

func lanesOf(r runs.Run) string {
	var names []string
	for _, l := range r.Lanes {
		if !slices.Contains(names, l.Order) {
			names = append(names, l.Order)
		}
	}
	return strings.Join(names, " and ")
}
