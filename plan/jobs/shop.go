package jobs

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/corrugator"
	"github.com/flutewright/flutewright/plant/order"
)

// shop is a problem with its clocks wound up.
type shop struct {
	Problem
	clock *calendar.Clock
	corr  *calendar.Manned // its shifts less its stops, and overtime
	over  []Manning        // overtime of the corrugator
	press []press
	tools map[string]time.Time // tools that are away, and when they are back; zero: not known
}

type press struct {
	convert.Machine
	own     *calendar.Manned // its shifts less its stops, whatever crews there are
	base    *calendar.Manned // of own, the shifts whose crews are not counted
	manned  *calendar.Manned // own, as far as crews man it, and overtime
	crewing []Manning        // what manned is made of beside unlimited shifts
}

// newShop checks the problem's clocks. It returns fault.Violations.
func newShop(p Problem) (*shop, error) {
	var vs fault.Violations
	vs.Require(!p.Now.IsZero(), "now", "", "a moment to plan from is needed")
	clock, err := calendar.Compile(p.Calendar)
	vs.Under("calendar", err)
	if vs.Err() != nil {
		return nil, vs.Err()
	}
	s := &shop{Problem: p, clock: clock, tools: map[string]time.Time{}}
	s.corr, err = clock.Windows(p.Now, p.Corrugator.Shifts, s.stopsOf(p.Corrugator.Code))
	vs.Under("corrugator", err)
	for _, m := range p.Machines {
		manned, err := clock.Windows(p.Now, m.Shifts, s.stopsOf(m.Code))
		vs.Under(string(m.Code), err)
		vs.Require(m.PlanSpeed > 0, string(m.Code)+".plan_speed_per_h", fmt.Sprint(m.PlanSpeed), "must be positive")
		vs.Require(m.Loss.RunningPct >= 0 && m.Loss.RunningPct < 100, string(m.Code)+".loss.running_pct", fmt.Sprint(m.Loss.RunningPct), "must be from 0 to below 100")
		base, baseErr := clock.Windows(p.Now, s.unlimited(m), s.stopsOf(m.Code))
		if err == nil {
			vs.Under(string(m.Code), baseErr)
		}
		s.press = append(s.press, press{Machine: m, own: manned, base: base, manned: manned})
	}
	for _, r := range p.Releases {
		if _, ok := p.Boards[r.Grade]; !ok {
			vs.Add(r.Key.String()+".grade", string(r.Grade), "must be a grade of the plant", "")
		}
	}
	for _, r := range p.Runs {
		if _, ok := p.Boards[r.Grade]; !ok {
			vs.Add(fmt.Sprintf("run %d.grade", r.Seq), string(r.Grade), "must be a grade of the plant", "")
		}
	}
	for _, t := range p.Tools {
		if t.Away && (t.BackAt.IsZero() || t.BackAt.After(p.Now)) {
			s.tools[t.ID] = t.BackAt
		}
	}
	for i, c := range p.Crews {
		vs.Require(c.Crews >= 0, fmt.Sprintf("crews[%d].crews", i), fmt.Sprint(c.Crews), "must not be negative")
	}
	vs.Require(p.Overtime.PerHour >= 0 && p.Overtime.Most >= 0 && p.Overtime.Corrugator >= 0, "overtime", "", "price and minutes must not be negative")
	return s, vs.Err()
}

func (s *shop) stopsOf(m ident.Machine) (out []calendar.Span) {
	for _, stop := range s.Stops {
		if stop.Machine == m {
			out = append(out, calendar.Span{From: stop.From, Until: stop.Until})
		}
	}
	return out
}

// candidates returns, for each converting step of r, the machines that can do
// it, indexes into s.press; or why there are none.
func (s *shop) candidates(r Release) (steps [][]int, refusal string) {
	if why := s.toolRefusal(r); why != "" {
		return nil, why
	}
	spec := r.spec(s.Boards[r.Grade])
	if len(r.Route) > 0 {
		return s.agreed(r, spec)
	}
	for i, kind := range convert.Steps(r.Style) {
		var can []int
		var whyNot []string
		for j, m := range s.press {
			if m.Kind != kind {
				continue
			}
			switch why := convert.Refuse(m.Machine, spec, i+1); {
			case why != "":
				whyNot = append(whyNot, fmt.Sprintf("%s: %s", m.Code, why))
			case !s.crewed(m):
				whyNot = append(whyNot, fmt.Sprintf("%s: no crew: give it a shift", m.Code))
			default:
				can = append(can, j)
			}
		}
		if len(can) == 0 && len(whyNot) == 0 {
			return nil, fmt.Sprintf("style %s needs a %s, and the plant has none", r.Style, kind)
		}
		if len(can) == 0 {
			return nil, strings.Join(whyNot, " · ")
		}
		steps = append(steps, can)
	}
	return steps, ""
}

// crewed says whether the machine has a crew at any time from now on.
func (s *shop) crewed(m press) bool {
	_, ok := m.own.Next(s.Now)
	return ok && s.couldMan(m.Machine)
}

// agreed is candidates for an agreed route: these machines and no others.
func (s *shop) agreed(r Release, spec convert.Spec) (steps [][]int, refusal string) {
	for i, code := range r.Route {
		j := slices.IndexFunc(s.press, func(m press) bool { return m.Code == code })
		if j < 0 {
			return nil, fmt.Sprintf("the agreed route names %s, which is no converting machine of the plant", code)
		}
		if why := convert.Misfit(s.press[j].Machine, spec, i+1); why != "" {
			return nil, fmt.Sprintf("%s, as agreed: %s", code, why)
		}
		if !s.crewed(s.press[j]) {
			return nil, fmt.Sprintf("%s, as agreed: no crew: give it a shift or agree another route", code)
		}
		steps = append(steps, []int{j})
	}
	return steps, ""
}

// toolRefusal names a plate or die that is away without a time of return.
func (s *shop) toolRefusal(r Release) string {
	for _, id := range []string{string(r.Plate), string(r.Die)} {
		if back, away := s.tools[id]; away && back.IsZero() {
			return fmt.Sprintf("%s is away and no return is stated: say when it is back", id)
		}
	}
	return ""
}

// toolReady is when the plate and die of r are in the house, and which of them is last; zero when both are.
func (s *shop) toolReady(r Release) (at time.Time, which string) {
	if back := s.tools[string(r.Plate)]; back.After(at) {
		at, which = back, "plate "+string(r.Plate)
	}
	if back := s.tools[string(r.Die)]; back.After(at) {
		at, which = back, "die "+string(r.Die)
	}
	return at, which
}

// cure is how long board waits before converting, in wall time.
func (s *shop) cure(b corrugator.Board) time.Duration {
	m := s.Cure.SingleWall
	if b.Walls > 1 {
		m = s.Cure.DoubleWall
	}
	if b.White {
		m = max(m, s.Cure.White)
	}
	return wholeSeconds(m)
}

// afterPress is the wall time from the last machine to the gate.
func (s *shop) afterPress() time.Duration {
	return wholeSeconds(s.Dispatch.LoadForming + s.Dispatch.Loading)
}

// onRoad is the wall time from the gate to the customer's dock.
func (s *shop) onRoad(r Release) time.Duration {
	if s.Dispatch.RoadSpeed <= 0 {
		return 0
	}
	return wholeSeconds(quantity.Minutes(r.Road.Metres() / float64(s.Dispatch.RoadSpeed) / 60))
}

// madeBy is the latest end of the last machine that still meets the due time.
func (s *shop) madeBy(r Release) time.Time {
	at := r.Due.Add(-s.afterPress())
	if r.DueAt != order.AtGate {
		at = at.Add(-s.onRoad(r))
	}
	return at
}

// wholeSeconds rounds up, so that every time of a plan stands on a second.
func wholeSeconds(m quantity.Minutes) time.Duration {
	const noise = time.Microsecond
	return (m.Duration() - noise + time.Second - 1).Truncate(time.Second)
}
