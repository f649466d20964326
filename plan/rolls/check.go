package rolls

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/board"
)

// Check judges an answer against the problem from the needs alone; it shares no
// code with Solve. Every run has one need a ply, no roll gives more than it
// holds less its splices, none on hold or still on the road is used, no roll
// stands on two stands at a time or moves between them faster than MoveTime, and
// the positions add up.
func Check(p Problem, a Answer) error {
	j := judge{p: p, rolls: map[body][]shift{}, spare: map[body]quantity.Distance{}}
	j.plies(a)
	j.bodies(a)
	j.times()
	j.sums(a)
	if len(j.faults) > 0 {
		return fmt.Errorf("%w: %s", fault.Infeasible, strings.Join(j.faults, "; "))
	}
	return nil
}

// body is one roll that can be held in the hand.
type body struct {
	roll  ident.Roll
	truck string
	nth   int
}

func (b body) String() string {
	if b.roll != "" {
		return "roll " + string(b.roll)
	}
	return fmt.Sprintf("roll %d of delivery %s", b.nth, b.truck)
}

// shift is a time that a roll spends on a stand.
type shift struct {
	run      int
	stand    string
	from, to float64 // minutes
}

type judge struct {
	p      Problem
	rolls  map[body][]shift
	spare  map[body]quantity.Distance // given, splices in it
	faults []string
}

func (j *judge) say(format string, args ...any) {
	j.faults = append(j.faults, fmt.Sprintf(format, args...))
}

// plies sets each run's plies against its grade: paper, web, and at least the
// run's own metres by take-up.
func (j *judge) plies(a Answer) {
	grades := map[ident.Grade][]board.Ply{}
	for _, g := range j.p.Grades {
		grades[g.Code] = g.Plies
	}
	at := 0
	for _, r := range j.p.Runs {
		for k, ply := range grades[r.Grade] {
			if at == len(a.Needs) {
				j.say("%d plies are answered, the runs have more", at)
				return
			}
			n := a.Needs[at]
			at++
			least := r.Length.Metres()
			if ply.Flute != "" {
				least *= j.p.Catalogue.Flutes[ply.Flute].TakeUp
			}
			if n.Run != r.Seq || n.Ply != k+1 || n.Paper != ply.Paper || n.Web != r.Web || n.Metres.Metres() < least-1e-6 {
				j.say("run %d ply %d: %s of %s at %s answered, it draws at least %.0f m of %s at %s", r.Seq, k+1, n.Metres, n.Paper, n.Web, least, ply.Paper, r.Web)
			}
		}
	}
	if at != len(a.Needs) {
		j.say("%d plies are answered, the runs have %d", len(a.Needs), at)
	}
}

// bodies sees that each piece comes from a roll that may give it, and when it stands where.
func (j *judge) bodies(a Answer) {
	for _, n := range a.Needs {
		given := quantity.Distance(0)
		web := 0.0
		for _, r := range j.p.Runs {
			if r.Seq == n.Run {
				web = j.web(r.Seq)
			}
		}
		through := quantity.Distance(0)
		for _, u := range n.Rolls {
			given += u.Metres
			b := body{u.Roll, u.Truck, u.Nth}
			j.spare[b] += u.Metres
			if u.Splice {
				j.spare[b] += j.p.SpliceLoss
			}
			j.source(n, u)
			if u.At < through-tolerance || u.Metres < 0 {
				j.say("run %d ply %d: %s comes on at %s, before the one ahead is through", n.Run, n.Ply, b, u.At)
			}
			if n.Metres > 0 {
				through = u.At + quantity.Distance(float64(u.Metres)*web/float64(n.Metres))
				start, end := j.clock(n.Run)
				j.rolls[b] = append(j.rolls[b], shift{n.Run, n.Stand, start + (end-start)*float64(u.At)/web, start + (end-start)*float64(through)/web})
			}
		}
		if given > n.Metres || n.Metres <= 0 {
			j.say("run %d ply %d: %s given for %s", n.Run, n.Ply, given, n.Metres)
		}
	}
	for b, given := range j.spare {
		if have, known := j.holds(b); !known || given > have {
			j.say("%s gives %s of %s", b, given, have)
		}
	}
}

// web is a run's web with its change losses.
func (j *judge) web(seq int) float64 {
	for i, r := range j.p.Runs {
		if r.Seq != seq {
			continue
		}
		sum := r.Length + j.p.RunChangeLoss
		if i > 0 && j.p.Runs[i-1].Web != r.Web {
			sum += j.p.WebChangeLoss
		}
		if i > 0 && j.p.Runs[i-1].Grade != r.Grade {
			sum += j.p.GradeChangeLoss
		}
		return float64(sum)
	}
	return 0
}

func (j *judge) clock(seq int) (start, end float64) {
	for _, t := range j.p.Times {
		if t.Run == seq {
			return t.Start.Sub(j.p.Now).Minutes(), t.End.Sub(j.p.Now).Minutes()
		}
	}
	return 0, 0
}

func (j *judge) holds(b body) (quantity.Distance, bool) {
	for _, r := range j.p.Rolls {
		if r.ID == b.roll && b.roll != "" {
			return r.Length, true
		}
	}
	for _, in := range j.p.Inbound {
		if in.ID == b.truck && b.roll == "" && b.nth >= 1 && b.nth <= in.Rolls {
			return in.LengthEach, true
		}
	}
	return 0, false
}

// source sees that a piece is of the ply's paper and width, free, and here.
func (j *judge) source(n PlyNeed, u RollUse) {
	for _, r := range j.p.Rolls {
		if u.Roll != "" && r.ID == u.Roll && (r.Hold || r.Paper != n.Paper || r.Width != n.Web) {
			j.say("run %d: roll %s is on hold or another paper", n.Run, r.ID)
		}
	}
	start, _ := j.clock(n.Run)
	for _, in := range j.p.Inbound {
		late := in.ETA.Sub(j.p.Now).Minutes() > start
		if u.Roll == "" && in.ID == u.Truck && (in.Paper != n.Paper || in.Width != n.Web || late) {
			j.say("run %d: delivery %s is another paper or not there yet", n.Run, in.ID)
		}
	}
}

// times sees that no roll is in two places at once.
func (j *judge) times() {
	const slack = 1e-6 // minutes
	for b, list := range j.rolls {
		slices.SortFunc(list, func(x, y shift) int {
			if x.from != y.from {
				return int(math.Copysign(1, x.from-y.from))
			}
			return int(math.Copysign(1, x.to-y.to))
		})
		for i := 1; i < len(list); i++ {
			x, y := list[i-1], list[i]
			switch timed := x.to > x.from || y.to > y.from; {
			case x.stand == y.stand:
			case x.run == y.run && !timed:
				j.say("run %d: %s stands on two stands at once", y.run, b)
			case y.from < x.to+float64(j.p.MoveTime)-slack:
				j.say("run %d: %s stands at the %s less than %.0f min after the %s", y.run, b, y.stand, float64(j.p.MoveTime), x.stand)
			}
		}
	}
}

// sums sees that positions, rests and totals follow from the needs.
func (j *judge) sums(a Answer) {
	need := map[string]quantity.Distance{}
	uncovered, splices := quantity.Distance(0), 0
	for _, n := range a.Needs {
		need[string(n.Paper)+n.Web.String()] += n.Metres
		uncovered += n.Metres
		for _, u := range n.Rolls {
			uncovered -= u.Metres
			if u.Splice {
				splices++
			}
		}
	}
	if d := uncovered - a.Uncovered; d > tolerance || d < -tolerance {
		j.say("uncovered %s stated, the needs leave %s", a.Uncovered, uncovered)
	}
	if a.LeastUncovered > uncovered+tolerance {
		j.say("uncovered is %s, and %s was to be the least", uncovered, a.LeastUncovered)
	}
	if a.LeastCost > a.Cost+1e-6 || splices != a.Splices {
		j.say("%d splices and a cost of %.2f stated, the needs have %d and %.2f was to be the least", a.Splices, float64(a.Cost), splices, float64(a.LeastCost))
	}
	for _, pos := range a.Positions {
		if got := need[string(pos.Paper)+pos.Web.String()]; math.Abs(float64(pos.Need-got)) > 1 {
			j.say("%s at %s: need %s stated, the runs need %s", pos.Paper, pos.Web, pos.Need, got)
		}
	}
	for _, r := range a.Rests {
		b := body{r.Roll, r.Truck, r.Nth}
		if have, _ := j.holds(b); have-j.spare[b] != r.Left {
			j.say("%s has %s left, %s stated", b, have-j.spare[b], r.Left)
		}
	}
}
