package whatnow

import (
	"maps"
	"math"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
	"github.com/flutewright/flutewright/plant/trace"
)

// standing is the plan in force at the moment of the event: what of it is still
// to come, and the book with what of it has gone.
type standing struct {
	book  plant.Book
	runs  []runs.Run // still to come, in sequence
	jobs  []jobs.Job // still to come
	start map[int]time.Time
	taken Taken
}

// stand takes off the plan what facts say is done, and, where the ledger is
// silent and silence is taken for good news, what the plan says is done by now.
func stand(p Problem) standing {
	s := standing{book: p.Book, start: map[int]time.Time{}}
	s.book.Done = maps.Clone(p.Book.Done)
	if s.book.Done == nil {
		s.book.Done = map[ident.Release]trace.Quantities{}
	}
	s.book.Rolls = slices.Clone(p.Book.Rolls)
	s.book.Floor.Stacks = slices.Clone(p.Book.Floor.Stacks)
	for i, r := range p.Plan.Runs {
		if i < len(p.Plan.Clock.Runs) {
			s.run(p, r, p.Plan.Clock.Runs[i])
		}
	}
	for _, j := range p.Plan.Clock.Jobs {
		s.job(p, j)
	}
	s.gone(p)
	return s
}

// gone closes the lines that are made, and by facts or by the plan have left the
// last machine in their time: nothing here changes when they arrive. The order
// of the event stays.
func (s *standing) gone(p Problem) {
	ends := fates(p.Plan)
	s.book.Lines = slices.Clone(p.Book.Lines)
	for i, l := range s.book.Lines {
		q, item := s.book.Done[l.Key], itemOf(p.Book, l.Item)
		made := max(q.BoxesGood, q.InUnits, q.Shipped)
		if f, planned := ends[l.Key]; planned && !f.MadeAt.After(p.Now) {
			if _, steps := ending(p, l.Key); steps == 0 {
				made = max(made, q.SheetsMade*max(1, item.PiecesPerSheet))
			}
			if made >= l.Quantity && p.Silent && l.Key != p.Event.Release {
				s.book.Lines[i].State = order.Closed
			}
		}
		if q.Shipped >= l.Quantity && l.Key != p.Event.Release {
			s.book.Lines[i].State = order.Closed
		}
	}
}

// told reports whether any fact speaks of the run or of what it makes.
func (s *standing) told(p Problem, r runs.Run) bool {
	if _, known := p.Book.Floor.RunsDone[trace.Run{Plan: p.ID, Run: r.Seq}]; known {
		return true
	}
	for _, l := range r.Lanes {
		if k, err := ident.ParseRelease(l.Order); err == nil {
			if q, known := p.Book.Done[k]; known && q.SheetsMade > 0 {
				return true
			}
		}
	}
	return false
}

func (s *standing) run(p Problem, r runs.Run, t jobs.RunTime) {
	if done := p.Book.Floor.RunsDone[trace.Run{Plan: p.ID, Run: r.Seq}]; !done.Ended.IsZero() {
		return
	}
	if s.told(p, r) || !p.Silent || !t.Start.Before(p.Now) {
		s.runs, s.start[r.Seq] = append(s.runs, r), t.Start
		return
	}
	s.taken.Runs++
	made := r
	if t.End.After(p.Now) {
		share := float64(p.Now.Sub(t.Start)) / float64(t.End.Sub(t.Start))
		left := r
		left.Length = quantity.Distance(math.Ceil(float64(r.Length) * (1 - share)))
		if left.Length >= p.Book.Plant.Corrugator.Limits.MinRun {
			s.runs, s.start[r.Seq] = append(s.runs, left), t.Start
			made.Length = r.Length - left.Length
		}
	}
	s.made(p, made, t.End)
}

// made books a run as having gone to plan.
func (s *standing) made(p Problem, r runs.Run, at time.Time) {
	rejects := p.Book.Plant.Corrugator.Limits.RejectCutsPerLane
	for _, l := range r.Lanes {
		k, err := ident.ParseRelease(l.Order)
		if err != nil {
			continue
		}
		sheets := l.Outs * max(0, int(int64(r.Length)/int64(l.Chop))-rejects)
		q := s.book.Done[k]
		q.SheetsMade += sheets
		s.book.Done[k] = q
		s.book.Floor.Stacks = append(s.book.Floor.Stacks, trace.Stack{Release: k, Sheets: sheets, Made: at})
	}
	share := 1.0
	for _, full := range p.Plan.Runs {
		if full.Seq == r.Seq && full.Length > 0 {
			share = float64(r.Length) / float64(full.Length)
		}
	}
	for _, need := range p.Plan.Rolls.Needs {
		if need.Run != r.Seq {
			continue
		}
		for _, use := range need.Rolls {
			s.draw(use.Roll, quantity.Distance(float64(use.Metres)*share))
		}
	}
}

func (s *standing) draw(id ident.Roll, metres quantity.Distance) {
	if i := slices.IndexFunc(s.book.Rolls, func(r roll.Roll) bool { return r.ID == id && id != "" }); i >= 0 {
		s.book.Rolls[i].Length = max(0, s.book.Rolls[i].Length-metres)
	}
}
