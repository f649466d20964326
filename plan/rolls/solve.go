package rolls

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/roll"
)

// Solve works out what each run draws ply by ply, names the rolls that give it,
// and sets need against stock paper by paper and width by width.
//
// A ply draws (run length + change losses) × take-up. The losses of a run are
// those of its own start, and of the web or grade change before it. Rolls of a
// paper and width are used oldest first, rest rolls before full ones where the
// rest covers at least ButtMin; a roll on hold is never used; a delivery is used
// only when it is in the house before the run starts. What is left is Uncovered.
//
// It returns fault.Violations when a run names an unknown grade or paper.
func Solve(p Problem) (Answer, error) {
	s := newStore(p)
	a := Answer{Needs: []PlyNeed{}, Positions: []Position{}}
	for i, r := range p.Runs {
		g, ok := s.grades[r.Grade]
		if !ok {
			return Answer{}, fault.Violations{{Field: "runs.grade", Value: string(r.Grade), Rule: "is not a grade of the plant"}}
		}
		start := s.start(r.Seq)
		s.unmount(g, r.Web)
		for k, ply := range g.Plies { // every stand its roll before any stand its second
			s.mount(shelf{ply.Paper, r.Web}, stand(g, k), quantity.FromMetres((r.Length+p.loss(i)).Metres()*ply.TakeUp(p.Catalogue)), start)
		}
		for k, ply := range g.Plies {
			paper, ok := p.Catalogue.Papers[ply.Paper]
			if !ok {
				return Answer{}, fault.Violations{{Field: "grades.plies", Value: string(ply.Paper), Rule: "is not a paper of the plant"}}
			}
			n := PlyNeed{Run: r.Seq, Ply: k + 1, Stand: stand(g, k), Paper: ply.Paper, Web: r.Web}
			n.Metres = quantity.FromMetres((r.Length + p.loss(i)).Metres() * ply.TakeUp(p.Catalogue))
			n.Mass = quantity.Mass(n.Metres.Metres() * r.Web.Metres() * float64(paper.Grammage))
			left := n.Metres
			n.Rolls, left = s.take(shelf{ply.Paper, r.Web}, n.Stand, left, start)
			a.Uncovered += left
			s.book(shelf{ply.Paper, r.Web}, n, left, start)
			a.Needs = append(a.Needs, n)
		}
	}
	a.Positions = s.positions()
	return a, nil
}

// loss is the web lost at the start of the run at place i.
func (p Problem) loss(i int) quantity.Distance {
	loss := p.RunChangeLoss
	if i > 0 {
		if p.Runs[i].Web != p.Runs[i-1].Web {
			loss += p.WebChangeLoss
		}
		if p.Runs[i].Grade != p.Runs[i-1].Grade {
			loss += p.GradeChangeLoss
		}
	}
	return loss
}

// stand names where a ply is unrolled: the outside liner at the double backer,
// each medium and the liner inside it at a single facer, counted from the outside.
func stand(g board.Grade, k int) string {
	if k == 0 {
		return "double backer"
	}
	facer := (k + 1) / 2
	if g.Plies[k].Flute != "" {
		return fmt.Sprintf("facer %d medium", facer)
	}
	return fmt.Sprintf("facer %d liner", facer)
}

// shelf is one paper at one width.
type shelf struct {
	paper ident.Paper
	web   quantity.Length
}

// piece is a roll or a delivery with what is left of it.
type piece struct {
	roll  ident.Roll
	truck string
	from  time.Time
	left  quantity.Distance
	rest  bool
}

// store is the paper while runs draw on it.
type store struct {
	p       Problem
	grades  map[ident.Grade]board.Grade
	starts  map[int]time.Time
	shelves map[shelf][]*piece
	pos     map[shelf]*Position
	order   []shelf
	mounted map[shelf]map[string]*piece // by stand
}

func newStore(p Problem) *store {
	s := &store{p: p, grades: map[ident.Grade]board.Grade{}, starts: map[int]time.Time{}, shelves: map[shelf][]*piece{}, pos: map[shelf]*Position{}, mounted: map[shelf]map[string]*piece{}}
	for _, g := range p.Grades {
		s.grades[g.Code] = g
	}
	for _, t := range p.Times {
		s.starts[t.Run] = t.Start
	}
	list := slices.Clone(p.Rolls)
	slices.SortStableFunc(list, func(a, b roll.Roll) int {
		rest := func(r roll.Roll) int {
			if r.Butt {
				return 0
			}
			return 1
		}
		return cmp.Or(cmp.Compare(rest(a), rest(b)), a.Received.Compare(b.Received), cmp.Compare(a.ID, b.ID))
	})
	for _, r := range list {
		at := s.at(shelf{r.Paper, r.Width})
		if r.Hold {
			at.Held += r.Length
			continue
		}
		at.House += r.Length
		k := shelf{r.Paper, r.Width}
		s.shelves[k] = append(s.shelves[k], &piece{roll: r.ID, left: r.Length, rest: r.Butt})
	}
	inbound := slices.Clone(p.Inbound)
	slices.SortStableFunc(inbound, func(a, b roll.Inbound) int { return a.ETA.Compare(b.ETA) })
	for _, in := range inbound {
		k := shelf{in.Paper, in.Width}
		s.at(k).Inbound += in.Metres()
		s.shelves[k] = append(s.shelves[k], &piece{truck: in.ID, from: in.ETA, left: in.Metres()})
	}
	return s
}

// at returns the position of a shelf, making it on first sight.
func (s *store) at(k shelf) *Position {
	if s.pos[k] == nil {
		s.pos[k] = &Position{Paper: k.paper, Web: k.web}
		s.order = append(s.order, k)
	}
	return s.pos[k]
}

func (s *store) start(run int) time.Time {
	if t, ok := s.starts[run]; ok {
		return t
	}
	return s.p.Now
}

// mount returns the roll of a stand with paper on it, mounting one where there is none; nil without.
func (s *store) mount(k shelf, stand string, metres quantity.Distance, at time.Time) *piece {
	if s.mounted[k] == nil {
		s.mounted[k] = map[string]*piece{}
	}
	p := s.mounted[k][stand]
	if p == nil || p.left <= 0 {
		if p = s.next(k, metres, at); p != nil {
			s.mounted[k][stand] = p
		}
	}
	return p
}

// take draws metres for a stand, first from what is mounted there, and returns what no paper covers.
func (s *store) take(k shelf, stand string, metres quantity.Distance, at time.Time) ([]RollUse, quantity.Distance) {
	var out []RollUse
	for metres > 0 {
		p := s.mount(k, stand, metres, at)
		if p == nil {
			break
		}
		use := RollUse{Roll: p.roll, Truck: p.truck, Metres: min(p.left, metres), Splice: len(out) > 0}
		p.left -= use.Metres
		metres -= use.Metres
		if use.Splice { // the head of the new roll is lost in the splice
			p.left = max(0, p.left-s.p.SpliceLoss)
		}
		out = append(out, use)
	}
	return out, metres
}

// unmount takes the rolls off the stands that a run does not use for the same
// paper and width: what is left on them is free for any stand.
func (s *store) unmount(g board.Grade, web quantity.Length) {
	keep := map[shelf][]string{}
	for k, ply := range g.Plies {
		at := shelf{ply.Paper, web}
		keep[at] = append(keep[at], stand(g, k))
	}
	for k, stands := range s.mounted {
		for name := range stands {
			if !slices.Contains(keep[k], name) {
				delete(stands, name)
			}
		}
	}
}

// fewRolls is the number of rolls from which on their lengths are fitted to
// what is still to be drawn instead of taking the oldest: the last rolls of a
// paper must do for every stand that runs it.
const fewRolls = 4

// next is the roll to mount: the oldest free one of the shelf; of the last few
// the shortest that does, or the longest; a delivery when it is there.
func (s *store) next(k shelf, metres quantity.Distance, at time.Time) *piece {
	var free []*piece
	for _, p := range s.shelves[k] {
		if p.left <= 0 || p.from.After(at) || p.rest && p.left < s.p.ButtMin || p.truck == "" && s.isMounted(k, p) {
			continue
		}
		free = append(free, p)
	}
	if len(free) == 0 {
		return nil
	}
	if len(free) > fewRolls || free[0].truck != "" {
		return free[0]
	}
	return slices.MinFunc(free, func(a, b *piece) int {
		does := func(p *piece) int {
			if p.left >= metres {
				return 0
			}
			return 1
		}
		if c := cmp.Compare(does(a), does(b)); c != 0 {
			return c
		}
		if does(a) == 0 {
			return cmp.Compare(a.left, b.left)
		}
		return cmp.Compare(b.left, a.left)
	})
}

func (s *store) isMounted(k shelf, p *piece) bool {
	for _, m := range s.mounted[k] {
		if m == p {
			return true
		}
	}
	return false
}

// book adds a ply's need to its position, and notes the first run that the house does not cover.
func (s *store) book(k shelf, n PlyNeed, left quantity.Distance, at time.Time) {
	pos := s.at(k)
	pos.Need += n.Metres
	pos.NeedMass += n.Mass
	if pos.Need > pos.House && pos.ShortRun == 0 {
		pos.ShortRun, pos.ShortAt = n.Run, at
	}
	if left > 0 && pos.Note == "" {
		pos.Note = fmt.Sprintf("run %d lacks %.0f m when it starts", n.Run, left.Metres())
	}
}

// positions are the shelves that are needed or stocked, shortages first.
func (s *store) positions() []Position {
	out := []Position{}
	for _, k := range s.order {
		p := *s.pos[k]
		if p.Short = max(0, p.Need-p.House); p.Short > 0 {
			p.EndedBy = s.endedBy(k, p)
		}
		out = append(out, p)
	}
	slices.SortStableFunc(out, func(a, b Position) int {
		short := func(p Position) int {
			switch {
			case p.Short <= 0:
				return 2
			case p.EndedBy != nil && p.EndedBy.InTime:
				return 1
			}
			return 0
		}
		return cmp.Or(cmp.Compare(short(a), short(b)), cmp.Compare(b.Short, a.Short), cmp.Compare(a.Paper, b.Paper), cmp.Compare(a.Web, b.Web))
	})
	return out
}

// endedBy is the delivery after which the shelf's need is covered, nil where none is enough.
func (s *store) endedBy(k shelf, p Position) *Truck {
	inbound := slices.Clone(s.p.Inbound)
	slices.SortStableFunc(inbound, func(a, b roll.Inbound) int { return a.ETA.Compare(b.ETA) })
	have := p.House
	for _, in := range inbound {
		if in.Paper != k.paper || in.Width != k.web {
			continue
		}
		if have += in.Metres(); have >= p.Need {
			return &Truck{ID: in.ID, ETA: in.ETA, Metres: in.Metres(), InTime: !in.ETA.After(p.ShortAt)}
		}
	}
	return nil
}
