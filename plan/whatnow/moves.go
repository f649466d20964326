package whatnow

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
)

// little is how far a start may shift without being called a shift.
const little = time.Minute

// moves compares a plan with the one of doing nothing: what stands elsewhere,
// what is new and what is gone, runs first; and how many only start at another time.
func (w words) moves(nothing, p *plan.Plan) (out []Move, shifted int) {
	r, n := w.runMoves(nothing, p)
	j, k := w.jobMoves(nothing, p)
	return append(r, j...), n + k
}

// runKey names what a run makes, however it is numbered.
func runKey(r runs.Run) string {
	lanes := make([]string, len(r.Lanes))
	for i, l := range r.Lanes {
		lanes[i] = fmt.Sprintf("%s×%d", l.Order, l.Outs)
	}
	slices.Sort(lanes)
	return fmt.Sprintf("%s %d %d %s", r.Grade, r.Web, r.Length, strings.Join(lanes, "+"))
}

func ordersOf(r runs.Run) (out []ident.Release) {
	for _, l := range r.Lanes {
		if k, err := ident.ParseRelease(l.Order); err == nil {
			out = append(out, k)
		}
	}
	return out
}

func startsOf(p *plan.Plan) map[int]time.Time {
	at := map[int]time.Time{}
	for _, t := range p.Clock.Runs {
		at[t.Run] = t.Start
	}
	return at
}

func (w words) runMoves(nothing, p *plan.Plan) (out []Move, shifted int) {
	was, is := startsOf(nothing), startsOf(p)
	var before, after []string
	for _, r := range nothing.Runs {
		before = append(before, runKey(r))
	}
	for _, r := range p.Runs {
		after = append(after, runKey(r))
	}
	keptA, keptB := common(before, after)
	left := map[string][]runs.Run{}
	for i, r := range nothing.Runs {
		if !keptA[i] {
			left[before[i]] = append(left[before[i]], r)
		}
	}
	for i, r := range p.Runs {
		if keptB[i] {
			continue
		}
		m := Move{What: MovedRun, Orders: ordersOf(r), To: w.width(r.Web), Is: is[r.Seq]}
		if old := left[after[i]]; len(old) > 0 {
			left[after[i]] = old[1:]
			m.From, m.Was = w.width(old[0].Web), was[old[0].Seq]
			m.Words = fmt.Sprintf("%s runs at %s, not at %s", w.lanes(r), w.clock(m.Is), w.clock(m.Was))
		} else {
			m.Words = fmt.Sprintf("%s, %s on %s: a new run at %s", w.lanes(r), w.metres(r.Length), w.width(r.Web), w.clock(m.Is))
		}
		out = append(out, m)
	}
	for i, r := range nothing.Runs {
		k := before[i]
		if keptA[i] || len(left[k]) == 0 {
			continue
		}
		left[k] = left[k][1:]
		out = append(out, Move{What: MovedRun, Orders: ordersOf(r), From: w.width(r.Web), Was: was[r.Seq],
			Words: fmt.Sprintf("%s, %s on %s at %s: falls away", w.lanes(r), w.metres(r.Length), w.width(r.Web), w.clock(was[r.Seq]))})
	}
	return out, shiftedRuns(nothing, p, keptA, keptB, was, is)
}

func shiftedRuns(nothing, p *plan.Plan, keptA, keptB []bool, was, is map[int]time.Time) (n int) {
	var a, b []time.Time
	for i, r := range nothing.Runs {
		if keptA[i] {
			a = append(a, was[r.Seq])
		}
	}
	for i, r := range p.Runs {
		if keptB[i] {
			b = append(b, is[r.Seq])
		}
	}
	for i := range min(len(a), len(b)) {
		if apart(a[i], b[i]) {
			n++
		}
	}
	return n
}

func apart(a, b time.Time) bool { d := a.Sub(b); return d > little || d < -little }

type jobKey struct {
	release ident.Release
	step    int
}

func (w words) jobMoves(nothing, p *plan.Plan) (out []Move, shifted int) {
	old := map[jobKey]jobs.Job{}
	for _, j := range nothing.Clock.Jobs {
		old[jobKey{j.Release, j.Step}] = j
	}
	still := stillInSequence(nothing, p)
	seen := map[jobKey]bool{}
	for _, j := range p.Clock.Jobs {
		k := jobKey{j.Release, j.Step}
		seen[k] = true
		was, known := old[k]
		m := Move{What: MovedJob, Orders: []ident.Release{j.Release}, To: string(j.Machine), Is: j.Start, SetUp: j.SetUp, Run: j.Run}
		switch {
		case !known:
			m.Words = fmt.Sprintf("%s on %s at %s: %s set-up, %s run", j.Release, j.Machine, w.clock(j.Start), minutes(j.SetUp), minutes(j.Run))
		case was.Machine != j.Machine:
			m.From, m.Was = string(was.Machine), was.Start
			m.Words = fmt.Sprintf("%s goes from %s to %s at %s: %s set-up, %s run", j.Release, was.Machine, j.Machine, w.clock(j.Start), minutes(j.SetUp), minutes(j.Run))
		case !still[k]:
			m.From, m.Was = string(was.Machine), was.Start
			m.Words = fmt.Sprintf("%s takes another place on %s: %s, not %s", j.Release, j.Machine, w.clock(j.Start), w.clock(was.Start))
		default:
			if apart(was.Start, j.Start) {
				shifted++
			}
			continue
		}
		out = append(out, m)
	}
	for _, j := range nothing.Clock.Jobs {
		if !seen[jobKey{j.Release, j.Step}] {
			out = append(out, Move{What: MovedJob, Orders: []ident.Release{j.Release}, From: string(j.Machine), Was: j.Start,
				Words: fmt.Sprintf("%s on %s at %s falls away", j.Release, j.Machine, w.clock(j.Start))})
		}
	}
	return out, shifted
}

// stillInSequence are the jobs that stand on the machine they stood on, and in
// the same sequence as the others that do.
func stillInSequence(nothing, p *plan.Plan) map[jobKey]bool {
	out := map[jobKey]bool{}
	a, b := byMachine(nothing), byMachine(p)
	for m, list := range b {
		_, kept := common(a[m], list)
		for i, k := range list {
			if kept[i] {
				out[k] = true
			}
		}
	}
	return out
}

func byMachine(p *plan.Plan) map[ident.Machine][]jobKey {
	out := map[ident.Machine][]jobKey{}
	for _, j := range p.Clock.Jobs { // by machine, then seq
		out[j.Machine] = append(out[j.Machine], jobKey{j.Release, j.Step})
	}
	return out
}

// common marks the members of a longest common subsequence of a and b, by the
// textbook table in len(a) × len(b) steps.
func common[T comparable](a, b []T) (inA, inB []bool) {
	n, m := len(a), len(b)
	inA, inB = make([]bool, n), make([]bool, m)
	longest := make([][]int32, n+1)
	for i := range longest {
		longest[i] = make([]int32, m+1)
	}
	for i := n - 1; i >= 0; i-- {
		for j := m - 1; j >= 0; j-- {
			if a[i] == b[j] {
				longest[i][j] = longest[i+1][j+1] + 1
			} else {
				longest[i][j] = max(longest[i+1][j], longest[i][j+1])
			}
		}
	}
	for i, j := 0, 0; i < n && j < m; {
		switch {
		case a[i] == b[j]:
			inA[i], inB[j] = true, true
			i, j = i+1, j+1
		case longest[i+1][j] >= longest[i][j+1]:
			i++
		default:
			j++
		}
	}
	return inA, inB
}
