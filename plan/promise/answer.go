package promise

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plant/order"
)

// answer writes what the chosen way gives.
func (s *solver) answer(out *Result, w worked) {
	r := s.ask()
	out.At = w.at
	out.Float = quantity.InMinutes(r.Due.Sub(w.at))
	out.Yes = out.Float >= 0
	out.Extra = w.cost(s.plainCost())
	out.Plan, out.Clock = w.runs, w.clock
	out.Runs = s.placed(w)
	out.Others = s.moved(w)
	out.Steps, out.Waits = s.way(w)
}

// placed lists the runs that make the release.
func (s *solver) placed(w worked) (out []Placed) {
	for _, i := range w.mine {
		p := Placed{Run: w.runs[i], New: w.was[i] == 0, Frozen: i < s.Front, Start: w.clock.Runs[i].Start, End: w.clock.Runs[i].End}
		if w.joins != 0 && w.was[i] == w.joins {
			p.With = w.joins
		}
		for k := i - 1; k >= 0 && p.Behind == 0; k-- {
			p.Behind = w.was[k]
		}
		for _, l := range w.runs[i].Lanes {
			p.Upgrade = p.Upgrade || l.Order == s.order.Order && w.runs[i].Grade != s.order.Grade
		}
		out = append(out, p)
	}
	return out
}

// moved lists the other releases that come later than in the plan in force.
func (s *solver) moved(w worked) (out []Moved) {
	for _, f := range w.clock.Finishes {
		if was := s.late[f.Release]; f.Release != s.ask().Key && f.Late > was+1 {
			out = append(out, Moved{f.Release, f.Late, was})
		}
	}
	slices.SortStableFunc(out, func(a, b Moved) int { return cmp.Compare(b.Late-b.Was, a.Late-a.Was) })
	return out
}

// way writes the steps of the chosen way with their latest hours, and what lies between them.
func (s *solver) way(w worked) (steps []Step, waits []Wait) {
	var mine []jobs.Job
	for _, j := range w.clock.Jobs {
		if j.Release == s.ask().Key {
			mine = append(mine, j)
		}
	}
	slices.SortFunc(mine, func(a, b jobs.Job) int { return a.Step - b.Step })
	last := s.workedBack(mine)
	at := s.Clock.Now
	add := func(c Cause, what string, until time.Time) {
		if until.After(at) {
			waits = append(waits, Wait{c, what, quantity.InMinutes(until.Sub(at))})
			at = until
		}
	}
	for _, i := range w.mine {
		run := w.clock.Runs[i]
		ready := w.ready[i+1]
		if ready.at.After(s.Clock.Now) {
			steps = append(steps, Step{What: "paper", Where: ready.what, Start: ready.at, End: ready.at, Latest: last.Exit.Add(-run.End.Sub(run.Start))})
			add(Paper, ready.what, ready.at)
		}
		add(Slot, fmt.Sprintf("run %d", i+1), run.Start)
		add(Work, "corrugator", run.End)
		steps = append(steps, Step{What: "corrugator", Where: fmt.Sprintf("run %d", i+1), Start: run.Start, End: run.End, Latest: last.Exit.Add(-run.End.Sub(run.Start)), Waits: ready.what})
	}
	for k, j := range mine {
		if k == 0 && len(w.mine) > 0 && j.SheetsAt.After(at) {
			steps = append(steps, Step{What: "cure", Start: at, End: j.SheetsAt, Latest: last.Exit})
			add(Cure, "", j.SheetsAt)
		}
		if off := s.unmanned(w, j.Machine, at, j.Start); cause(j.WaitsFor) == Tool {
			add(Tool, j.WaitsFor, j.Start)
		} else {
			add(Press, j.WaitsFor, j.Start.Add(-off))
			add(Crew, s.whyOff(j.Machine, at, j.Start), j.Start)
		}
		if off := s.unmanned(w, j.Machine, j.Start, j.End); off > time.Minute {
			add(Crew, s.whyOff(j.Machine, j.Start, j.End), j.Start.Add(off))
		}
		add(Work, string(j.Machine), j.End)
		steps = append(steps, Step{What: "press", Where: string(j.Machine), Start: j.Start, End: j.End, Latest: last.step(k), Waits: j.WaitsFor, Machine: true})
	}
	fin := w.clock.Finishes[s.Ask]
	add(Work, "", fin.MadeAt)
	steps = append(steps, Step{What: "load", Start: fin.MadeAt, End: fin.AtGate, Latest: last.Made})
	add(Work, "load forming and loading", fin.AtGate)
	if s.ask().DueAt != order.AtGate && fin.AtDock.After(fin.AtGate) {
		steps = append(steps, Step{What: "road", Start: fin.AtGate, End: fin.AtDock, Latest: s.ask().Due.Add(-fin.AtDock.Sub(fin.AtGate))})
		add(Road, "", fin.AtDock)
	}
	slices.SortStableFunc(steps, func(a, b Step) int { return a.Start.Compare(b.Start) })
	slices.SortStableFunc(waits, func(a, b Wait) int { return cmp.Compare(b.Length, a.Length) })
	return steps, waits
}

// unmanned is the time between two moments in which the machine has no crew or stands.
func (s *solver) unmanned(w worked, m ident.Machine, from, until time.Time) time.Duration {
	clock, err := calendar.Compile(s.Clock.Calendar)
	if err != nil || !until.After(from) {
		return 0
	}
	manned := s.mannedBy(clock, w.clock, m)
	if manned == nil {
		return 0
	}
	return until.Sub(from) - manned.Between(from, until)
}

// whyOff names the stop in whose time the machine stands, or says that no shift mans it.
func (s *solver) whyOff(m ident.Machine, from, until time.Time) string {
	for _, stop := range s.Clock.Stops {
		if stop.Machine == m && stop.From.Before(until) && stop.Until.After(from) {
			return fmt.Sprintf("%s stands: %s", m, cmp.Or(stop.Cause, "no cause stated"))
		}
	}
	return string(m) + " is not manned"
}

// cause reads what a job waits for.
func cause(words string) Cause {
	switch {
	case strings.Contains(words, "plate"), strings.Contains(words, "die "), strings.Contains(words, "the tool"):
		return Tool
	case strings.Contains(words, "crew"), strings.Contains(words, "stands"):
		return Crew
	case strings.Contains(words, "machine"):
		return Press
	}
	return Press
}

// back is the latest hours on the machines chosen.
type back struct{ jobs.Latest }

func (b back) step(k int) time.Time {
	if k < len(b.Steps) {
		return b.Steps[k]
	}
	return time.Time{}
}

// workedBack works the latest hours back on the machines of the jobs.
func (s *solver) workedBack(mine []jobs.Job) back {
	one := s.Clock
	r := s.ask()
	if len(mine) > 0 && mine[0].Step == 1 {
		r.Route = nil
		for _, j := range mine {
			r.Route = append(r.Route, j.Machine)
		}
	}
	one.Releases, one.Runs = []jobs.Release{r}, nil
	l, err := jobs.LatestExits(one)
	if err != nil || l[0].Refusal != "" {
		return back{s.latest}
	}
	return back{l[0]}
}

// sooner keeps, of the ways tried that have it earlier, those that no other
// beats in time and price both, and names the cheapest that gains a day.
func (s *solver) sooner(out *Result, best worked) {
	plain := s.plainCost()
	list := slices.DeleteFunc(slices.Clone(s.tried), func(w worked) bool { return !w.at.Before(best.at.Add(-time.Minute)) })
	slices.SortStableFunc(list, func(a, b worked) int {
		return cmp.Or(cmp.Compare(a.cost(plain), b.cost(plain)), a.at.Compare(b.at))
	})
	earliest := best.at
	for _, w := range list {
		if !w.at.Before(earliest.Add(-time.Minute)) {
			continue
		}
		earliest = w.at
		out.Sooner = append(out.Sooner, Sooner{
			At: w.at, Gain: quantity.InMinutes(best.at.Sub(w.at)), Cost: w.cost(plain) - best.cost(plain), Means: s.means(w, best), Runs: s.placed(w), Others: s.moved(w),
		})
	}
	for i := range out.Sooner {
		if o := &out.Sooner[i]; o.Gain >= 24*60 && (out.DaySooner == nil || o.Cost < out.DaySooner.Cost) {
			out.DaySooner = o
		}
		if o := &out.Sooner[i]; !out.Yes && !o.At.After(out.Due) && (out.InTime == nil || o.Cost < out.InTime.Cost) {
			out.InTime = o
		}
	}
}

// means says by what w has the release earlier than the answer.
func (s *solver) means(w, best worked) (out []string) {
	if w.clock.Overtime > best.clock.Overtime {
		out = append(out, "overtime")
	}
	a, b := machinesOf(w, s.ask().Key), machinesOf(best, s.ask().Key)
	if a != b {
		out = append(out, "other machine: "+a)
	}
	if x, y := s.websOf(w), s.websOf(best); x != y && x != "" {
		out = append(out, "other web")
	}
	for _, i := range w.mine {
		if w.runs[i].Grade != s.order.Grade {
			out = append(out, "upgrade to "+string(w.runs[i].Grade))
			break
		}
	}
	if w.exit.Before(best.exit) {
		out = append(out, "earlier on the corrugator")
	}
	if w.ahead {
		out = append(out, "ahead of others at the press")
	}
	if w.thawed && (w.frozen && !w.asIs || s.beforeFrozen(w)) {
		out = append(out, "break of freeze")
	}
	return out
}

// beforeFrozen says whether the way puts the release's jobs among frozen ones.
func (s *solver) beforeFrozen(w worked) bool {
	for _, j := range w.clock.Jobs {
		frozen := 0
		for _, k := range s.Clock.Frozen {
			if k.Machine == j.Machine && k.Release != j.Release {
				frozen++
			}
		}
		if j.Release == s.ask().Key && j.Seq <= frozen {
			return true
		}
	}
	return false
}

func machinesOf(w worked, key ident.Release) string {
	var out []string
	for _, j := range w.clock.Jobs {
		if j.Release == key {
			out = append(out, fmt.Sprintf("%d %s", j.Step, j.Machine))
		}
	}
	slices.Sort(out)
	for i := range out {
		out[i] = out[i][strings.Index(out[i], " ")+1:]
	}
	return strings.Join(out, ", ")
}

func (s *solver) websOf(w worked) string {
	var out []string
	for _, i := range w.mine {
		out = append(out, w.runs[i].Web.String())
	}
	return strings.Join(out, ", ")
}

// notBefore is a time that no plan can beat: the first paper, its metres at full
// speed on as many outs as fit, the cure, each step at its quickest machine
// without a set-up, at any hour; then the load and the road.
func (s *solver) notBefore() time.Time {
	at := s.Clock.Now
	r := s.ask()
	board := s.Clock.Boards[r.Grade]
	if s.known {
		at = s.firstExit()
		wait := s.Clock.Cure.SingleWall
		if board.Walls > 1 {
			wait = s.Clock.Cure.DoubleWall
		}
		if board.White {
			wait = max(wait, s.Clock.Cure.White)
		}
		if len(s.latest.Steps) > 0 && s.order.Grade == r.Grade && s.order.UpgradeBarred {
			at = at.Add(wait.Duration().Truncate(time.Second))
		}
	}
	if n := len(s.latest.Steps); n > 0 {
		fastest := 0.0
		for _, m := range s.Clock.Machines {
			fastest = max(fastest, m.PlanSpeed)
		}
		pieces := float64(r.Pieces) / float64(max(r.PiecesPerSheet, 1))
		if fastest > 0 {
			at = at.Add(time.Duration(pieces / fastest * float64(time.Hour)).Truncate(time.Second))
		}
	}
	at = at.Add((s.Clock.Dispatch.LoadForming + s.Clock.Dispatch.Loading).Duration().Truncate(time.Second))
	if r.DueAt != order.AtGate && s.Clock.Dispatch.RoadSpeed > 0 {
		at = at.Add(time.Duration(r.Road.Metres() / float64(s.Clock.Dispatch.RoadSpeed) * float64(time.Second)).Truncate(time.Second))
	}
	return at
}

// firstExit is before any corrugator could have made the sheets wanted at least.
func (s *solver) firstExit() time.Time {
	best := time.Time{}
	sheets := float64(s.order.Sheets) * (1 - s.order.UnderPct/100)
	for _, g := range s.grades() {
		webs := g.Webs
		if webs == nil {
			webs = s.Trim.Corrugator.Webs
		}
		for _, web := range webs {
			at := s.Clock.Now
			for _, ply := range g.Plies {
				i := slices.IndexFunc(s.Paper, func(a Arrival) bool { return a.Paper == ply.Paper && a.Web == web })
				if i >= 0 { // the first: they stand by time
					at = later(at, s.Paper[i].At)
				}
			}
			outs := max(s.mostOuts(web), 1)
			metres := quantity.FromMetres(sheets / float64(outs) * s.order.Chop.Metres())
			at = at.Add(s.Clock.Corrugator.Speed(s.Clock.Boards[g.Grade], quantity.FromMetres(1e6)).RunMinutes(metres).Duration().Truncate(time.Second))
			if best.IsZero() || at.Before(best) {
				best = at
			}
		}
	}
	return later(best, s.Clock.Now)
}
