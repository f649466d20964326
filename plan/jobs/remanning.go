package jobs

import (
	"cmp"
	"context"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
)

// manTries is how many changes of crews are priced in full, fewer on a long book.
const manTries = 200

// reman shares the crews out anew for the sequences as they are now, then tries
// to give single watches to the machines of late releases. What is not cheaper
// is taken back.
func (f *floor) reman(ctx context.Context) {
	if len(f.Crews) == 0 || len(f.tasks) == 0 {
		return
	}
	before, had := f.watches, f.cost()
	if f.man(); f.cost() >= had {
		f.watches = before
		f.crew()
	}
	tries := min(manTries, 200_000/len(f.tasks)+10)
	for again := true; again && tries > 0 && ctx.Err() == nil; {
		again = false
		for _, t := range f.lateTasks() {
			if again = f.crewFor(t, &tries); again {
				break
			}
		}
	}
}

// lateTasks returns the tasks of late releases, the dearest lateness first.
func (f *floor) lateTasks() (out []*task) {
	cost := map[int]float64{}
	for _, t := range f.tasks {
		if t.next == nil {
			cost[t.release] = float64(f.lateCost(f.Releases[t.release], t.end))
		}
	}
	for _, t := range f.tasks {
		if cost[t.release] > 0 && (f.only == ident.Release{} || f.Releases[t.release].Key == f.only) {
			out = append(out, t)
		}
	}
	slices.SortStableFunc(out, func(a, b *task) int { return cmp.Compare(cost[b.release], cost[a.release]) })
	return out
}

// crewFor tries each watch before t ends in which its machine has no crew: a
// crew that is free, or another machine's. It says whether one made the plan cheaper.
func (f *floor) crewFor(t *task, tries *int) bool {
	p := t.choice().press
	for k := range f.watches {
		w := &f.watches[k]
		if w.on[p] || !f.mayMan(p, w.shift) || !w.from.Before(t.end) || f.press[p].own.Between(w.from, w.until) <= 0 {
			continue
		}
		for give := -1; give < len(f.press) && *tries > 0; give++ {
			if give >= 0 && !w.on[give] || !f.fits(*w, p, give) {
				continue
			}
			*tries--
			had := f.cost()
			w.on[p] = true
			if give >= 0 {
				w.on[give] = false
			}
			if f.crew(); f.cost() < had-1e-6 {
				return true
			}
			w.on[p] = false
			if give >= 0 {
				w.on[give] = true
			}
			f.crew()
		}
	}
	return false
}

// fits says whether the watch's crews man its machines, with one more and one less.
func (f *floor) fits(w watch, more, less int) bool {
	c := f.crewsOf(w.shift)
	for i, on := range w.on {
		if (on && i != less || i == more) && !c.take(i) {
			return false
		}
	}
	return true
}

// sendHome drops the crews of watches in which their machine does nothing.
func (f *floor) sendHome() {
	if len(f.Crews) == 0 {
		return
	}
	for k := range f.watches {
		w := &f.watches[k]
		for i, q := range f.queues {
			w.on[i] = w.on[i] && slices.ContainsFunc(q.tasks, func(t *task) bool { return t.start.Before(w.until) && t.end.After(w.from) })
		}
	}
	f.crew()
}
