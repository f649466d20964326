package whatnow

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
)

const (
	defaultMost   = 3
	defaultRounds = 200
)

// Solve prices the ways on from an event. Cancelling ctx is a normal end: the
// search for ways stops, and the best of what has been found is answered. It
// returns fault.Violations for an event that names what is not there, and a
// fault.Infeasible error where not even doing nothing gives a plan.
func Solve(ctx context.Context, p Problem, opt Options) (Result, error) {
	if err := p.check(); err != nil {
		return Result{}, err
	}
	p.Book = p.narrowed()
	return solve(ctx, p, opt)
}

func solve(ctx context.Context, p Problem, opt Options) (Result, error) {
	opt.Most, opt.Rounds = cmp.Or(opt.Most, defaultMost), cmp.Or(opt.Rounds, defaultRounds)
	r := &repair{Problem: p, opt: opt, st: stand(p)}
	if err := r.settled(ctx); err != nil {
		return Result{}, err
	}
	r.seated(ctx)
	nothing, ways, err := r.ways(ctx)
	if err != nil {
		return Result{}, err
	}
	ways = append(ways, r.rescue(ctx, nothing)...)
	if _, frozen := freezeOf(p.Book, corrugatorArea); frozen && r.cutsAnew() && ctx.Err() == nil {
		r.thaw, r.st = true, stand(p)
		if err := r.settled(ctx); err != nil {
			return Result{}, err
		}
		r.seated(ctx)
		if _, more, err := r.ways(ctx); err == nil {
			ways = append(ways, more...)
		}
	}
	first, err := r.answer(ctx, nothing, nil)
	if err != nil {
		return Result{}, fmt.Errorf("doing nothing: %w", err)
	}
	res := Result{Taken: r.st.taken}
	if res.Answers, err = r.whole(ctx, r.answers(ctx, ways, &first)); err != nil {
		return Result{}, err
	}
	res.Refused, res.Tried = r.out, r.known.tried
	r.conclude(&res)
	return res, nil
}

// answers are doing nothing, then the ways whose clocks are worth a second look,
// none of them whole yet.
func (r *repair) answers(ctx context.Context, ways []way, first *Answer) []Answer {
	out := []Answer{*first}
	for _, w := range r.promising(ctx, ways) {
		if len(out) > r.opt.Most+spareAnswers {
			break
		}
		a, err := r.answer(ctx, w, first)
		if err != nil {
			r.out = append(r.out, Refused{Release: w.about, Way: w.title, Reason: plainly(err)})
			continue
		}
		if len(a.Moves)+len(a.Lines) == 0 && math.Abs(float64(a.More.Total)) < 0.5 {
			continue // it is doing nothing in other words
		}
		out = append(out, a)
	}
	return out
}

// whole makes whole plans of doing nothing and of the cheapest of the others;
// one that cannot be made whole gives way to the next.
func (r *repair) whole(ctx context.Context, list []Answer) ([]Answer, error) {
	errs := make([]error, len(list))
	for {
		chosen := append(list[:1:1], r.cheapest(slices.Clone(list[1:]))...)
		atOnce(len(chosen), func(i int) {
			if a := &chosen[i]; a.Plan == nil {
				a.Plan, errs[i] = a.clocked.Whole(ctx)
			}
		})
		if errs[0] != nil {
			return nil, fmt.Errorf("doing nothing: %w", errs[0])
		}
		good := true
		for i, a := range chosen {
			k := slices.IndexFunc(list, func(o Answer) bool { return o.clocked == a.clocked && o.Title == a.Title })
			list[k].Plan = a.Plan
			if errs[i] != nil {
				r.out = append(r.out, Refused{Way: a.Title, Reason: plainly(errs[i])})
				list = slices.Delete(list, k, k+1)
				errs[i], good = nil, false
			}
		}
		if good {
			return chosen, nil
		}
	}
}

// spareAnswers is how many more ways than are answered are looked at twice.
const spareAnswers = 4

// promising sorts ways by what their clocks cost, the cheapest of each family first.
func (r *repair) promising(ctx context.Context, ways []way) []way {
	cost := map[string]quantity.Money{}
	var out []way
	r.ahead(ctx, ways)
	for _, w := range ways {
		if _, m, err := r.clocked(ctx, w); err == nil {
			w.total = m.Total
		} else {
			w.total = quantity.Money(math.Inf(1)) // its answer says why it cannot be
		}
		out = append(out, w)
		f := cmp.Or(w.family, w.title)
		if c, known := cost[f]; !known || w.total < c {
			cost[f] = w.total
		}
	}
	rank := func(w way) int {
		if w.total > cost[cmp.Or(w.family, w.title)] {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(out, func(a, b way) int { return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(a.total, b.total)) })
	return out
}

// cutsAnew reports whether the event's ways change runs.
func (r *repair) cutsAnew() bool {
	return r.Event.Kind != MachineDown || r.Event.Machine == r.Book.Plant.Corrugator.Code
}

// plainly is an error without the words of its kind.
func plainly(err error) string {
	return strings.ReplaceAll(strings.TrimPrefix(err.Error(), fault.Infeasible.Error()+": "), "\n", "; ")
}

// ways returns doing nothing and the other ways on, by kind of event.
func (r *repair) ways(ctx context.Context) (nothing way, ways []way, err error) {
	switch r.Event.Kind {
	case MachineDown:
		if r.Event.Machine == r.Book.Plant.Corrugator.Code {
			return r.corrugatorDown(ctx)
		}
		return r.machineDown(ctx)
	case Rush:
		return r.rush(ctx)
	case PaperGone:
		return r.paperGone(ctx)
	case Short:
		return r.short(ctx)
	case Changed, Cut:
		return r.changed(ctx)
	default:
		return r.held(ctx)
	}
}

// cheapest keeps the cheapest of each family, then the cheapest of the rest, and
// none that is the same answer twice.
func (r *repair) cheapest(list []Answer) (out []Answer) {
	slices.SortStableFunc(list, func(a, b Answer) int {
		return cmp.Or(cmp.Compare(math.Round(float64(a.Cost.Total)), math.Round(float64(b.Cost.Total))), cmp.Compare(len(a.Agree), len(b.Agree)), cmp.Compare(len(a.Moves), len(b.Moves)))
	})
	families := map[string]bool{}
	for _, first := range []bool{true, false} {
		for _, a := range list {
			if len(out) < r.opt.Most && families[a.family] != first && !slices.ContainsFunc(out, func(o Answer) bool { return same(o, a) }) {
				out, families[a.family] = append(out, a), true
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Answer) int { return cmp.Compare(a.Cost.Total, b.Cost.Total) })
	return out
}

// same reports whether two answers do the same things.
func same(a, b Answer) bool {
	if a.Title == b.Title && len(a.Agree) == len(b.Agree) {
		return true
	}
	if len(a.Moves) != len(b.Moves) || len(a.Lines) != len(b.Lines) || math.Abs(float64(a.Cost.Total-b.Cost.Total)) > 0.5 {
		return false
	}
	for i := range a.Moves {
		if a.Moves[i].Words != b.Moves[i].Words {
			return false
		}
	}
	return len(a.Moves) > 0
}

// conclude says the best answer in one sentence, and why none is in time.
func (r *repair) conclude(res *Result) {
	w := wordsOf(r.Book)
	for i, a := range res.Answers[1:] {
		if a.Cost.Total < res.Answers[0].Cost.Total-quantity.Money(0.5) || r.Event.Kind == Rush {
			res.Best = i + 1
			break
		}
	}
	best := res.Answers[res.Best]
	s := best.Title
	if res.Best == 0 && len(res.Answers) > 1 {
		s += ": nothing that was tried is cheaper"
	} else if len(res.Answers) > 1 {
		s += ": " + w.than(best.More.Total)
	}
	if n := len(best.Late); n > 0 {
		s += fmt.Sprintf("; %s late, %.1f h together", plural(n, "order is", "orders are"), best.Hours)
	} else {
		s += "; no order is late"
	}
	if len(best.Newly) > 0 {
		s += "; later than planned: " + names(best.Newly)
	}
	if !best.DecideBy.IsZero() {
		s += "; decide by " + w.clock(best.DecideBy)
	}
	for _, a := range best.Agree {
		s += "; " + a.says()
	}
	res.Sentence = s + "."
	if r.Event.Kind == Rush {
		res.Refusal = r.tooLate(*res)
	}
}

func (a Agreement) says() string {
	switch {
	case a.Area == "":
		return a.Why
	case a.Owner == "":
		return fmt.Sprintf("someone must agree for %s, as %s", a.Area, a.Why)
	}
	return fmt.Sprintf("%s must agree for %s, as %s", a.Owner, a.Area, a.Why)
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// mostNamed is how many orders a sentence names.
const mostNamed = 4

func names(list []Lateness) string {
	var out []string
	for i, l := range list {
		if i == mostNamed {
			out = append(out, fmt.Sprintf("%d more", len(list)-i))
			break
		}
		if l.Unmade {
			out = append(out, l.Release.String()+" (not made)")
			continue
		}
		out = append(out, fmt.Sprintf("%s by %s", l.Release, span(l.Late-l.Before)))
	}
	return strings.Join(out, ", ")
}
