package jobs

import (
	"cmp"
	"context"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

const (
	corrLate  = 3    // late releases that a stretch of the corrugator is sought for at a time, the dearest first
	corrTries = 40   // stretches priced, fewer on a long book
	corrBook  = 4000 // releases priced in all beyond the first three stretches
)

func (p Problem) corrugatorMayWorkOver() bool {
	return p.Overtime.Corrugator > 0 && p.Overtime.Most > 0
}

// workOver adds overtime to the corrugator's manned time.
func (s *shop) workOver(over []Manning) {
	s.over = over
	var extra []calendar.Span
	for _, m := range over {
		extra = append(extra, calendar.Span{From: m.From, Until: m.Until})
	}
	if len(extra) > 0 {
		s.corr = s.corr.With(extra)
	}
}

// workOverCorrugator solves with the overtime that the plan in force has the
// corrugator work, as far as there is work in it, and then lets its crew stay on
// after a turn, or come before one, where the whole becomes cheaper: the best
// stretch first, until none pays. Each is priced with the machines' sequences as
// they stand; with what was chosen they are sought once more. Where nothing is to
// be improved (Options.Rounds below 0), and no one release is asked for, none is sought.
func workOverCorrugator(ctx context.Context, p Problem, opt Options) (Answer, error) {
	s, err := newShop(p)
	if err != nil {
		return Answer{}, err
	}
	over := s.keptOvertime()
	best, err := solveWith(ctx, p, over, opt)
	if err != nil {
		return best, err
	}
	if had := over; len(had) > 0 {
		if over = s.workedOver(had, best); !slices.Equal(over, had) {
			if best, err = solveWith(ctx, p, over, opt); err != nil {
				return best, err
			}
		}
	}
	if opt.Rounds < 0 && opt.For == (ident.Release{}) {
		return best, nil
	}
	quick := opt
	quick.Rounds, quick.OnProgress = -1, nil
	found, tries := false, min(corrTries, corrBook/(len(p.Releases)+1)+3)
	for again := true; again && tries > 0 && ctx.Err() == nil; {
		quick.Start, again = best.Jobs, false
		with, err := bestStretch(ctx, p, over, best, quick, &tries)
		if err != nil {
			return best, err
		}
		if with == nil {
			break
		}
		a, err := solveWith(ctx, p, with, quick)
		if err != nil {
			return best, err
		}
		if a.Cost+a.LateCost < best.Cost+best.LateCost-1e-6 {
			best, over, again, found = a, with, true, true
		}
	}
	if found && ctx.Err() == nil && opt.Rounds >= 0 {
		opt.Start = best.Jobs
		a, err := solveWith(ctx, p, over, opt)
		if err != nil {
			return best, err
		}
		if a.Cost+a.LateCost < best.Cost+best.LateCost-1e-6 {
			best = a
		}
	}
	best.Status = statusOf(ctx, best)
	return best, nil
}

// bestStretch prices one stretch more beside those there are, each by the whole
// timed anew, and returns them with the best that pays, cut to the part with work;
// nil where none does.
func bestStretch(ctx context.Context, p Problem, over []Manning, from Answer, quick Options, tries *int) (best []Manning, err error) {
	s, err := newShop(p)
	if err != nil {
		return nil, err
	}
	s.workOver(over)
	least := from.Cost + from.LateCost - 1e-6
	for _, m := range s.stretchesFor(from, quick.For) {
		if *tries--; *tries < 0 || ctx.Err() != nil {
			break
		}
		with := append(slices.Clone(over), m)
		a, err := solveWith(ctx, p, with, quick)
		if err != nil {
			return nil, err
		}
		worked := s.workedOver(with, a)
		if whole := a.Cost + a.LateCost - priceOf(with) + priceOf(worked); whole < least {
			least, best = whole, worked
		}
	}
	return best, nil
}

func priceOf(over []Manning) (sum quantity.Money) {
	for _, m := range over {
		sum += m.Cost
	}
	return sum
}

func statusOf(ctx context.Context, a Answer) Status {
	switch {
	case ctx.Err() != nil:
		return Stopped
	case a.Cost+a.LateCost <= a.Bound+1e-6:
		return Optimal
	}
	return RoundLimit
}

// keptOvertime is the corrugator's overtime of the plan in force that is still
// ahead, beside a turn and within the day's allowance.
func (s *shop) keptOvertime() (out []Manning) {
	shifts := s.Corrugator.Shifts
	for _, m := range s.Manning {
		if m.Overtime && m.Machine == s.Corrugator.Code && !m.From.Before(s.Now) && m.Until.Sub(m.From) <= s.overtimeLeft(out, m.From) &&
			(s.turnEnds(shifts, m.From) || s.turnBegins(shifts, m.Until)) {
			out = append(out, m)
		}
	}
	return out
}

// workedOver are the parts of stretches, from the side of the turn that each
// adjoins, in which there are runs or changes, at their price.
func (s *shop) workedOver(over []Manning, a Answer) (out []Manning) {
	for _, m := range over {
		first, last := m.Until, m.From
		for _, t := range a.Runs {
			if begins := t.Start.Add(-t.Change.Duration()); begins.Before(m.Until) && t.End.After(m.From) {
				first, last = earlier(first, later(begins, m.From)), later(last, earlier(t.End, m.Until))
			}
		}
		if !last.After(first) {
			continue
		}
		if s.turnEnds(s.Corrugator.Shifts, m.From) {
			m.Until = last
		} else {
			m.From = first.Truncate(time.Second)
		}
		out = append(out, s.stretch(m.Machine, s.Corrugator.Shifts, s.Overtime.Corrugator, m.From, m.Until))
	}
	return out
}

// stretchesFor lists overtime after and before each turn of the corrugator
// that ends before the sheets of a late release leave it: for the day's whole
// allowance, and for as much as the release is late.
func (s *shop) stretchesFor(a Answer, only ident.Release) []Manning {
	var late []Finish
	for _, f := range a.Finishes {
		if f.LateCost > 0 && (only == (ident.Release{}) || f.Release == only) {
			late = append(late, f)
		}
	}
	slices.SortStableFunc(late, func(x, y Finish) int {
		return cmp.Or(cmp.Compare(y.LateCost, x.LateCost), ident.Compare(x.Release, y.Release))
	})
	var out []Manning
	for _, f := range late[:min(corrLate, len(late))] {
		exit := s.exit(a, f.Release)
		if exit.IsZero() {
			continue
		}
		lacks := f.Late.Duration().Truncate(overStep) + overStep
		for _, m := range s.around(exit, lacks) {
			if !slices.ContainsFunc(out, func(o Manning) bool { return o.From.Equal(m.From) && o.Until.Equal(m.Until) }) {
				out = append(out, m)
			}
		}
	}
	return out
}

// exit is when the last sheets of a release leave the corrugator; zero without a run.
func (s *shop) exit(a Answer, r ident.Release) (exit time.Time) {
	key := r.String()
	for i, run := range s.Runs {
		for _, l := range run.Lanes {
			if l.Order == key {
				exit = later(exit, a.Runs[i].End)
			}
		}
	}
	return exit
}

// around lists the stretches beside the corrugator's manned spans before a moment.
func (s *shop) around(exit time.Time, lacks time.Duration) (out []Manning) {
	c, most := s.Corrugator, s.Overtime.Most.Duration()
	spans := s.corr.Spans(s.Now, exit.Add(24*time.Hour))
	add := func(from, until time.Time) {
		out = append(out, s.stretch(c.Code, c.Shifts, s.Overtime.Corrugator, from, until))
	}
	for k, span := range spans {
		if !span.From.Before(exit) {
			break
		}
		for _, length := range []time.Duration{lacks, most} {
			stay := min(length, s.overtimeLeft(s.over, span.Until)).Truncate(time.Second)
			if k+1 < len(spans) {
				stay = min(stay, spans[k+1].From.Sub(span.Until))
			}
			if span.Until.Before(exit) && stay > 0 && s.turnEnds(c.Shifts, span.Until) {
				add(span.Until, span.Until.Add(stay))
			}
			come := min(length, s.overtimeLeft(s.over, span.From.Add(-time.Second)), span.From.Sub(s.Now), span.From.Sub(s.midnight(span.From))).Truncate(time.Second)
			if k > 0 {
				come = min(come, span.From.Sub(spans[k-1].Until))
			}
			if come > 0 && s.turnBegins(c.Shifts, span.From) {
				add(span.From.Add(-come), span.From)
			}
		}
	}
	return out
}
