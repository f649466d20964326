package floor

import (
	"cmp"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plant/trace"
)

// feed is one first-step job's taking of sheets, evenly from From to Until.
type feed struct {
	from, until time.Time
	sheets      int
}

// going says when each stack is taken off the floor: when the first machine
// feeds its first sheet, and not before it stands there.
func (g Given) going(p *Problem) {
	feeds := g.feeds()
	gate := map[ident.Release]time.Time{}
	for _, f := range g.Clock.Finishes {
		gate[f.Release] = f.AtGate
	}
	held := map[ident.Stack]bool{}
	for _, s := range g.Floor.Stacks {
		held[s.ID] = held[s.ID] || s.Held
	}
	of := map[ident.Release][]*Stack{}
	for i := range p.Stacks {
		if s := &p.Stacks[i]; s.Run > 0 || !held[s.Name] {
			of[s.Release] = append(of[s.Release], s)
		}
	}
	for release, stacks := range of {
		slices.SortStableFunc(stacks, func(a, b *Stack) int { return cmp.Or(a.In.Compare(b.In), cmp.Compare(a.Name, b.Name)) })
		if len(feeds[release]) == 0 {
			for _, s := range stacks {
				if at := gate[release]; at.After(s.In) && !g.converted(release) {
					s.Out = at
				}
			}
			continue
		}
		fed := 0
		for _, s := range stacks {
			if at := when(feeds[release], fed); !at.IsZero() {
				s.Out = later(at, s.In)
			}
			fed += s.Sheets
		}
	}
}

// when is the moment a machine takes the sheet of a number, from 0; zero where none does.
func when(feeds []feed, sheet int) time.Time {
	for _, f := range feeds {
		if sheet < f.sheets {
			return f.from.Add(time.Duration(float64(f.until.Sub(f.from)) * float64(sheet) / float64(f.sheets)))
		}
		sheet -= f.sheets
	}
	return time.Time{}
}

// converted reports whether a release has a job at all.
func (g Given) converted(r ident.Release) bool {
	return slices.ContainsFunc(g.Clock.Jobs, func(j jobs.Job) bool { return j.Release == r })
}

// feeds lists the first-step jobs still to be done, as late as facts make them.
func (g Given) feeds() map[ident.Release][]feed {
	told := g.ToldJobs()
	list := slices.Clone(g.Clock.Jobs)
	slices.SortStableFunc(list, func(a, b jobs.Job) int { return cmp.Or(cmp.Compare(a.Machine, b.Machine), cmp.Compare(a.Seq, b.Seq)) })
	free := map[ident.Machine]time.Time{}
	out := map[ident.Release][]feed{}
	for _, j := range list {
		from, until, sheets := j.Start.Add(j.SetUp.Duration()), j.End, j.Sheets
		if told {
			on, running := g.Floor.JobsOn[j.Machine]
			done, begun := g.Floor.Jobs[trace.Job{Release: j.Release, Machine: j.Machine}]
			switch {
			case running && on.Release == j.Release:
				sheets = max(0, j.Sheets-(done.Good[j.Release]+done.Waste)/max(1, g.Pieces[j.Release]))
				from = g.Now
				until = from.Add(time.Duration(float64(j.Run.Duration()) * float64(sheets) / float64(max(1, j.Sheets))))
			case begun && done.Ended.After(g.Made):
				continue
			default:
				if late := later(g.Now, free[j.Machine]).Sub(j.Start); late > 0 {
					from, until = from.Add(late), until.Add(late)
				}
			}
			free[j.Machine] = later(free[j.Machine], until)
		}
		if j.Step == 1 && sheets > 0 {
			out[j.Release] = append(out[j.Release], feed{from, until, sheets})
		}
	}
	for _, fs := range out {
		slices.SortStableFunc(fs, func(a, b feed) int { return a.from.Compare(b.from) })
	}
	return out
}
