package sheet

import (
	"fmt"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/loads"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/order"
)

// source is a book and a plan with their things by name.
type source struct {
	book      plant.Book
	plan      *plan.Plan
	customers map[ident.Customer]order.Customer
	items     map[ident.Item]order.Item
	lines     map[ident.Release]order.Line
	grades    map[ident.Grade]board.Grade
	demands   map[string]plan.Demand // by Release.String, as lanes name orders
	setups    map[int]plan.Setup
	times     map[int]jobs.RunTime
	jobs      map[string][]jobs.Job // of one release, by step
	butts     map[ident.Roll]bool
	places    map[ident.Roll]string     // where a roll stands: its place, or its stand
	rests     map[ident.Roll]rolls.Rest // of rolls in the house
	catalogue board.Catalogue
	words     words
}

func newSource(book plant.Book, p *plan.Plan) (*source, error) {
	clock, err := calendar.Compile(book.Plant.Calendar)
	if err != nil {
		return nil, err
	}
	words, items := newWords(book.Plant.Display, clock.Zone(), p.Now), byKey(book.Items, func(i order.Item) ident.Item { return i.Code })
	p = plan.Worded(p, words.Format, func(code ident.Item) string { return items[code].Description })
	s := &source{
		book: book, plan: p,
		customers: byKey(book.Customers, func(c order.Customer) ident.Customer { return c.Code }),
		items:     items,
		lines:     byKey(book.Lines, func(l order.Line) ident.Release { return l.Key }),
		grades:    byKey(plan.Exchanged(book, p.Exchanges).Plant.Grades, func(g board.Grade) ident.Grade { return g.Code }),
		demands:   byKey(p.Demands, func(d plan.Demand) string { return d.Release.String() }),
		setups:    byKey(p.Setups, func(u plan.Setup) int { return u.Run }),
		times:     byKey(p.Clock.Runs, func(t jobs.RunTime) int { return t.Run }),
		jobs:      map[string][]jobs.Job{},
		butts:     map[ident.Roll]bool{},
		places:    map[ident.Roll]string{},
		rests:     byKey(p.Rolls.Rests, func(r rolls.Rest) ident.Roll { return r.Roll }),
		catalogue: board.Catalogue{
			Papers: byKey(book.Plant.Papers, func(p board.Paper) ident.Paper { return p.Code }),
			Flutes: byKey(book.Plant.Flutes, func(f board.Flute) ident.Flute { return f.Code }),
		},
		words: words,
	}
	for _, r := range book.Rolls {
		if r.Butt {
			s.butts[r.ID] = true
		}
		if s.places[r.ID] = r.Location; r.Stand != "" {
			s.places[r.ID] = r.Stand
		}
	}
	for _, j := range p.Clock.Jobs {
		key := j.Release.String()
		s.jobs[key] = append(s.jobs[key], j)
	}
	return s, nil
}

func byKey[K comparable, V any](list []V, key func(V) K) map[K]V {
	m := make(map[K]V, len(list))
	for _, v := range list {
		m[key(v)] = v
	}
	return m
}

func (s *source) run(seq int) (runs.Run, error) {
	for _, r := range s.plan.Runs {
		if r.Seq == seq {
			return r, nil
		}
	}
	return runs.Run{}, fmt.Errorf("run %d: the plan holds %d runs: %w", seq, len(s.plan.Runs), fault.NotFound)
}

func (s *source) job(release ident.Release, step int) (jobs.Job, error) {
	for _, j := range s.jobs[release.String()] {
		if j.Step == step {
			return j, nil
		}
	}
	return jobs.Job{}, fmt.Errorf("release %s has no job of step %d in this plan: %w", release, step, fault.NotFound)
}

func (s *source) load(release ident.Release) (loads.Load, error) {
	for _, l := range s.plan.Loads {
		if l.Release == release {
			return l, nil
		}
	}
	return loads.Load{}, fmt.Errorf("release %s has no load in this plan: %w", release, fault.NotFound)
}

func (s *source) machine(code ident.Machine) (convert.Machine, error) {
	for _, m := range s.book.Plant.Machines {
		if m.Code == code {
			return m, nil
		}
	}
	return convert.Machine{}, fmt.Errorf("machine %q: the plant has none of that name: %w", code, fault.NotFound)
}

// customerName is the customer's name, or the code where the book holds no name.
func (s *source) customerName(code ident.Customer) string {
	if c, ok := s.customers[code]; ok && c.Name != "" {
		return c.Name
	}
	return string(code)
}

// next returns the machine that takes an order's sheets from the corrugator; "" is the floor's own dispatch.
func (s *source) next(order string) (jobs.Job, bool) {
	first, found := jobs.Job{}, false
	for _, j := range s.jobs[order] {
		if !found || j.Step < first.Step {
			first, found = j, true
		}
	}
	return first, found
}
