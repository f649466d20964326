package sheet

import (
	"fmt"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
)

// Stack is what the stacker sets down at one ejection: the outs of one lane as
// piles side by side, all of one height.
type Stack struct {
	ID     ident.Stack
	Run    int
	Order  string
	Lane   int // from the operator side, 1 first
	Level  int
	Number int // of the lane's stacks, from 1
	Of     int
	Piles  int // side by side
	High   int // sheets in each pile
	Sheets int // Piles × High
	Height quantity.Length
	Next   ident.Machine // "": dispatch
	Turn   bool
	Cured  time.Time // may be fed from then on
}

// Stacks cuts the good sheets of a run's lanes into stacks: as high as the
// stacker allows at the grade's nominal caliper, the last one with the rest.
// They stand in the order of the lanes, then of ejection; the sheets of a
// lane's stacks add up to the lane's good sheets.
//
// It returns fault.NotFound when the plan holds no run runSeq.
func Stacks(book plant.Book, p *plan.Plan, runSeq int) ([]Stack, error) {
	s, err := newSource(book, p)
	if err != nil {
		return nil, err
	}
	r, err := s.run(runSeq)
	if err != nil {
		return nil, err
	}
	return s.stacks(r)
}

func (s *source) stacks(r runs.Run) ([]Stack, error) {
	caliper, err := s.caliper(r.Grade)
	if err != nil {
		return nil, fmt.Errorf("run %d: %w", r.Seq, err)
	}
	var out []Stack
	for i, l := range r.Lanes {
		high := max(1, int(s.book.Plant.Corrugator.StackHeightMax/caliper))
		next, routed := s.next(l.Order)
		perPile := l.Sheets / max(1, l.Outs)
		n := (perPile + high - 1) / high
		for k := range n {
			in := min(high, perPile-k*high)
			st := Stack{
				ID:  s.stackID(r.Seq, i, k+1),
				Run: r.Seq, Order: l.Order, Lane: i + 1, Level: l.Level, Number: k + 1, Of: n,
				Piles: l.Outs, High: in, Sheets: l.Outs * in, Height: quantity.Length(in) * caliper,
				Cured: s.cured(r),
			}
			if routed {
				st.Next, st.Turn = next.Machine, next.Turn
			}
			out = append(out, st)
		}
	}
	return out, nil
}

// stackID names a stack: the plan's month, day, hour and minute, the run and lane (A from the operator side), the number.
func (s *source) stackID(run, lane, number int) ident.Stack {
	return ident.Stack(fmt.Sprintf("%s-%d%c-%02d", s.plan.Now.In(s.words.zone).Format("01021504"), run, 'A'+lane, number))
}

// cured is when the sheets of a run may be fed: its end plus the cure of its board.
func (s *source) cured(r runs.Run) time.Time {
	t, ok := s.times[r.Seq]
	if !ok {
		return time.Time{}
	}
	g, cure := s.grades[r.Grade], s.book.Plant.Cure
	wait := cure.SingleWall
	if g.Walls() > 1 {
		wait = cure.DoubleWall
	}
	if g.Surface == "white" {
		wait = max(wait, cure.White)
	}
	return t.End.Add(wait.Duration())
}

// caliper is the nominal thickness of a grade.
func (s *source) caliper(code ident.Grade) (quantity.Length, error) {
	g, ok := s.grades[code]
	if !ok {
		return 0, fmt.Errorf("grade %q: not in the book: %w", code, fault.NotFound)
	}
	c := g.Caliper(s.catalogue)
	if c <= 0 {
		return 0, fmt.Errorf("grade %q: no caliper stated and none follows from its papers and flutes: %w", code, fault.Invalid)
	}
	return c, nil
}
