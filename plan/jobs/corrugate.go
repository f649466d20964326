package jobs

import (
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/corrugator"
)

// Corrugate lays p.Runs on the corrugator's manned time in their sequence, from
// now on. Between two runs stand the changeover's minutes; a run does not start
// before its paper is in the house. Start is the first web of the run, after
// the changeover. It returns fault.Violations for a faulty calendar, machine or
// grade, and a fault.Infeasible error when the corrugator has no crew.
func Corrugate(p Problem) ([]RunTime, error) {
	s, err := newShop(p)
	if err != nil {
		return nil, err
	}
	return s.corrugate()
}

func (s *shop) corrugate() ([]RunTime, error) {
	adhesive := map[string]string{}
	for _, r := range s.Releases {
		adhesive[r.Key.String()] = r.Adhesive
	}
	var out []RunTime
	free := s.Now
	var last corrugator.Board
	for i, r := range s.Runs {
		board := s.Boards[r.Grade]
		board.Adhesive = recipe(r, adhesive, last.Adhesive)
		var change corrugator.Changeover
		if i > 0 {
			change = s.Corrugator.Between(last, board)
		}
		speed := s.Corrugator.Speed(board, r.Length, chops(r)...)
		t := RunTime{
			Run: r.Seq, Minutes: speed.RunMinutes(r.Length), Change: change.Minutes, ChangeWhy: change.What,
			Speed: speed.Average, SpeedWhy: speed.Why,
		}
		var ok bool
		if t.Start, t.End, ok = s.standRun(free, t, s.PaperAt[r.Seq]); !ok {
			return nil, fault.Infeasible
		}
		if i == 0 && s.RunBegun.Before(s.Now) && !s.RunBegun.IsZero() {
			t.Start, t.End = s.goneOn(t)
		}
		out = append(out, t)
		free, last = t.End, board
	}
	return out, nil
}

// standRun works out start and end of a run after the corrugator is free.
func (s *shop) standRun(free time.Time, t RunTime, paper time.Time) (start, end time.Time, ok bool) {
	if start, ok = s.corr.AddWorking(free, wholeSeconds(t.Change)); !ok {
		return start, end, false
	}
	if paper.After(start) {
		start = paper
	}
	if start, ok = s.corr.Next(start); !ok {
		return start, end, false
	}
	end, ok = s.corr.AddWorking(start, wholeSeconds(t.Minutes))
	return start, end, ok
}

// goneOn works out the times of a run that is in progress: what it has worked
// since it began is behind it. One that should have ended ends now.
func (s *shop) goneOn(t RunTime) (start, end time.Time) {
	start = s.RunBegun.In(s.clock.Zone())
	end, ok := s.corr.AddWorking(start, wholeSeconds(t.Minutes))
	if !ok || end.Before(s.Now) {
		end = s.Now.In(s.clock.Zone())
	}
	return start, end
}

// recipe is the adhesive a run needs: the one a lane's order states, else what is in the pan.
func recipe(r runs.Run, adhesive map[string]string, pan string) string {
	for _, l := range r.Lanes {
		if a := adhesive[l.Order]; a != "" {
			return a
		}
	}
	return pan
}

func chops(r runs.Run) (out []quantity.Length) {
	for _, l := range r.Lanes {
		out = append(out, l.Chop)
	}
	return out
}
