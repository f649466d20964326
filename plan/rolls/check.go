package rolls

import (
	"fmt"
	"math"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/board"
)

// Check judges an answer against the problem from the needs alone; it shares no
// code with Solve. Every run has one need a ply, no roll gives more than it
// holds, none on hold or still on the road is used, and the positions add up.
func Check(p Problem, a Answer) error {
	var faults []string
	say := func(format string, args ...any) { faults = append(faults, fmt.Sprintf(format, args...)) }
	plies := map[string]int{}
	for _, g := range p.Grades {
		plies[string(g.Code)] = len(g.Plies)
	}
	want, starts := 0, map[int]int64{}
	for _, r := range p.Runs {
		want += plies[string(r.Grade)]
	}
	for _, t := range p.Times {
		starts[t.Run] = t.Start.Unix()
	}
	if len(a.Needs) != want {
		say("%d plies are answered, the runs have %d", len(a.Needs), want)
	}
	used, trucks := map[ident.Roll]quantity.Distance{}, map[string]quantity.Distance{}
	need := map[string]quantity.Distance{}
	uncovered := quantity.Distance(0)
	for _, n := range a.Needs {
		given := quantity.Distance(0)
		need[string(n.Paper)+n.Web.String()] += n.Metres
		for _, u := range n.Rolls {
			given += u.Metres
			used[u.Roll] += u.Metres
			trucks[u.Truck] += u.Metres
			for _, r := range p.Rolls {
				if r.ID == u.Roll && u.Roll != "" && (r.Hold || r.Paper != n.Paper || r.Width != n.Web) {
					say("run %d: roll %s is on hold or another paper", n.Run, r.ID)
				}
			}
			for _, in := range p.Inbound {
				if at, timed := starts[n.Run]; in.ID == u.Truck && u.Truck != "" && (in.Paper != n.Paper || in.Width != n.Web || timed && in.ETA.Unix() > at) {
					say("run %d: delivery %s is another paper or not there yet", n.Run, in.ID)
				}
			}
		}
		if given > n.Metres || n.Metres <= 0 {
			say("run %d ply %d: %s given for %s", n.Run, n.Ply, given, n.Metres)
		}
		uncovered += n.Metres - given
	}
	for _, r := range p.Rolls {
		if used[r.ID] > r.Length {
			say("roll %s gives %s of %s", r.ID, used[r.ID], r.Length)
		}
	}
	for _, in := range p.Inbound {
		if trucks[in.ID] > in.LengthEach*quantity.Distance(in.Rolls) {
			say("delivery %s gives more than it brings", in.ID)
		}
	}
	if uncovered != a.Uncovered {
		say("uncovered %s stated, the needs leave %s", a.Uncovered, uncovered)
	}
	for _, pos := range a.Positions {
		if got := need[string(pos.Paper)+pos.Web.String()]; math.Abs(float64(pos.Need-got)) > 1 {
			say("%s at %s: need %s stated, the runs need %s", pos.Paper, pos.Web, pos.Need, got)
		}
	}
	faults = append(faults, p.judgePlies(a)...)
	if len(faults) > 0 {
		return fmt.Errorf("%w: %s", fault.Infeasible, strings.Join(faults, "; "))
	}
	return nil
}

// judgePlies sets each run's plies against its grade: paper, web, and at least
// the run's own metres by take-up; and no roll stands on two stands of a run.
func (p Problem) judgePlies(a Answer) (faults []string) {
	grades := map[ident.Grade][]board.Ply{}
	for _, g := range p.Grades {
		grades[g.Code] = g.Plies
	}
	at := 0
	for _, r := range p.Runs {
		on := map[ident.Roll]int{}
		for k, ply := range grades[r.Grade] {
			if at == len(a.Needs) {
				return faults
			}
			n := a.Needs[at]
			at++
			least := r.Length.Metres()
			if ply.Flute != "" {
				least *= p.Catalogue.Flutes[ply.Flute].TakeUp
			}
			if n.Run != r.Seq || n.Ply != k+1 || n.Paper != ply.Paper || n.Web != r.Web || n.Metres.Metres() < least-1e-6 {
				faults = append(faults, fmt.Sprintf("run %d ply %d: %s of %s at %s answered, it draws at least %.0f m of %s at %s", r.Seq, k+1, n.Metres, n.Paper, n.Web, least, ply.Paper, r.Web))
			}
			for _, u := range n.Rolls {
				if other, twice := on[u.Roll]; twice && u.Roll != "" && other != n.Ply {
					faults = append(faults, fmt.Sprintf("run %d: roll %s stands on two stands at once", r.Seq, u.Roll))
				}
				on[u.Roll] = n.Ply
			}
		}
	}
	return faults
}
