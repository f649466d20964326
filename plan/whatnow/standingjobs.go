package whatnow

import (
	"maps"
	"math"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// job takes off a job that is over, and books the part of one that is on. Work
// between two converting steps is not booked: such an order counts from its
// first step until its last is over.
func (s *standing) job(p Problem, j jobs.Job) {
	q := p.Book.Done[j.Release]
	told := q.SheetsFed > 0 || q.BoxesGood > 0
	last, steps := ending(p, j.Release)
	switch {
	case told && q.BoxesGood >= quantityOf(p.Book, j.Release):
		return
	case told, !p.Silent, !j.Start.Before(p.Now), steps > 1 && last.After(p.Now):
		s.jobs = append(s.jobs, j)
	case last.After(p.Now):
		s.taken.Jobs++
		s.jobs = append(s.jobs, j)
		s.fed(p, j)
	default:
		s.taken.Jobs++
		s.close(p, j.Release)
	}
}

// ending returns when the last job of a release is over by the plan, and how many it has.
func ending(p Problem, r ident.Release) (last time.Time, steps int) {
	for _, j := range p.Plan.Clock.Jobs {
		if j.Release != r {
			continue
		}
		steps++
		if j.End.After(last) {
			last = j.End
		}
	}
	return last, steps
}

func quantityOf(b plant.Book, r ident.Release) int {
	l, _ := lineOf(b, r)
	return l.Quantity
}

func lineOf(b plant.Book, r ident.Release) (order.Line, bool) {
	for _, l := range b.Lines {
		if l.Key == r {
			return l, true
		}
	}
	return order.Line{}, false
}

func itemOf(b plant.Book, code ident.Item) order.Item {
	for _, i := range b.Items {
		if i.Code == code {
			return i
		}
	}
	return order.Item{}
}

func machineOf(b plant.Book, code ident.Machine) (convert.Machine, bool) {
	for _, m := range b.Plant.Machines {
		if m.Code == code {
			return m, true
		}
	}
	return convert.Machine{}, false
}

// fed books the part of a job that has run: as many sheets as its time gives.
// Its good boxes are counted so that the sheets left make the rest.
func (s *standing) fed(p Problem, j jobs.Job) {
	m, _ := machineOf(p.Book, j.Machine)
	line, _ := lineOf(p.Book, j.Release)
	item := itemOf(p.Book, line.Item)
	ran := p.Now.Sub(j.Start).Minutes() - float64(j.SetUp)
	share := min(1, max(0, ran/math.Max(float64(j.Run), 1e-9)))
	q := s.book.Done[j.Release]
	q.SheetsFed += int(share * float64(j.Sheets))
	left := convert.PiecesExpected(q.SheetsMade-q.SheetsFed, max(1, item.PiecesPerSheet), []convert.Machine{m}, item.Colours)
	q.BoxesGood = min(max(0, line.Quantity-left), line.Quantity)
	s.book.Done[j.Release] = q
	if share <= 0 || p.Event.Kind == MachineDown && p.Event.Machine == j.Machine {
		return // what stands on a machine that is down needs another set-up
	}
	if _, known := s.book.Floor.JobsOn[j.Machine]; known {
		return
	}
	s.book.Floor.JobsOn = maps.Clone(s.book.Floor.JobsOn)
	if s.book.Floor.JobsOn == nil {
		s.book.Floor.JobsOn = map[ident.Machine]trace.JobState{}
	}
	s.book.Floor.JobsOn[j.Machine] = trace.JobState{Release: j.Release, Since: j.Start, Good: q.BoxesGood}
}

// close books a release as made.
func (s *standing) close(p Problem, r ident.Release) {
	q := s.book.Done[r]
	q.BoxesGood, q.SheetsFed = max(q.BoxesGood, quantityOf(p.Book, r)), q.SheetsMade
	s.book.Done[r] = q
	s.book.Floor.Stacks = slices.DeleteFunc(s.book.Floor.Stacks, func(st trace.Stack) bool { return st.Release == r })
}
