package whatnow

import (
	"context"
	"encoding/binary"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
)

// known is what has been worked out once: of a book its preparation, of a way
// its clock. It may be asked by several goroutines at once.
type known struct {
	mu      sync.Mutex
	grounds []*ground
	clocks  map[string]clock
	tried   int // clocks worked out
}

// clock is what a way's clock says, less what the way takes or gives up itself.
type clock struct {
	at   *plan.Clocked
	cost Money
	err  error
}

// ground is what all ways of one book, one set of routes and one of papers share.
type ground struct {
	number int
	book   plant.Book
	routes []plan.Routed
	papers []plan.Exchange

	once sync.Once
	prep *plan.Prepared
	trim func() runs.Problem
	err  error
}

// on finds the ground of a way. Books are one where they hold the very same lists.
func (r *repair) on(w way) *ground {
	r.known.mu.Lock()
	defer r.known.mu.Unlock()
	for _, g := range r.known.grounds {
		if one(g.book.Lines, w.book.Lines) && one(g.book.Rolls, w.book.Rolls) && slices.Equal(g.book.Plant.Stops, w.book.Plant.Stops) &&
			slices.EqualFunc(g.routes, w.choices.Routes, sameRoute) && slices.Equal(g.papers, w.choices.Exchanges) {
			return g
		}
	}
	g := &ground{number: len(r.known.grounds), book: w.book, routes: w.choices.Routes, papers: w.choices.Exchanges}
	r.known.grounds = append(r.known.grounds, g)
	return g
}

func one[T any](a, b []T) bool {
	return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0])
}

func sameRoute(a, b plan.Routed) bool {
	return a.Release == b.Release && slices.Equal(a.Route, b.Route)
}

// ready returns the way's book prepared, and its trim problem.
func (r *repair) ready(w way) (*ground, error) {
	g := r.on(w)
	g.once.Do(func() {
		if g.prep, g.err = plan.Prepare(w.book, r.options(w)); g.err == nil {
			g.trim = sync.OnceValue(g.prep.Trim)
		}
	})
	return g, g.err
}

// clockOf works the clock of a way out, once.
func (r *repair) clockOf(ctx context.Context, w way) clock {
	g, err := r.ready(w)
	if err != nil {
		return clock{err: err}
	}
	mark := w.mark(g)
	r.known.mu.Lock()
	c, known := r.known.clocks[mark]
	r.known.mu.Unlock()
	if known {
		return c
	}
	if c.at, c.err = g.prep.Clocked(ctx, r.given(w)); c.err == nil {
		c.cost = r.money(w.book, c.at.Plan)
	}
	r.known.mu.Lock()
	defer r.known.mu.Unlock()
	if r.known.clocks == nil {
		r.known.clocks = map[string]clock{}
	}
	r.known.clocks[mark] = c
	r.known.tried++
	return c
}

// ahead works the clocks of ways out on all cores, as far as ctx allows, so that
// asking for one after the other is quick.
func (r *repair) ahead(ctx context.Context, ways []way) {
	atOnce(len(ways), func(i int) {
		if ctx.Err() == nil {
			r.clockOf(ctx, ways[i])
		}
	})
}

// least clocks ways and returns the cheapest; false where none can be. The first
// is always looked at, the others as far as ctx allows.
func (r *repair) least(ctx context.Context, ways []way) (best way, cost quantity.Money, ok bool) {
	r.ahead(ctx, ways)
	for i, w := range ways {
		if i > 0 && ctx.Err() != nil {
			break
		}
		if _, m, err := r.clocked(ctx, w); err == nil && (!ok || m.Total < cost) {
			best, cost, ok = w, m.Total, true
		}
	}
	return best, cost, ok
}

// atOnce calls do for 0 to n−1 on all cores.
func atOnce(n int, do func(int)) {
	var next atomic.Int64
	var group sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		group.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				do(i)
			}
		})
	}
	group.Wait()
}

// mark names what decides a way's clock.
func (w way) mark(g *ground) string {
	b := binary.AppendVarint(nil, int64(g.number))
	word := func(s string) { b = append(binary.AppendUvarint(b, uint64(len(s))), s...) }
	number := func(n int) { b = binary.AppendVarint(b, int64(n)) }
	number(len(w.runs))
	for _, run := range w.runs {
		word(string(run.Grade))
		number(int(run.Web))
		number(int(run.Length))
		number(len(run.Lanes))
		for _, l := range run.Lanes {
			word(l.Order)
			number(l.Outs)
			number(l.Level)
			number(int(l.Slit))
		}
	}
	for _, j := range w.jobs {
		word(j.Release.Order)
		word(j.Release.Line)
		word(j.Release.Release)
		number(j.Step)
		word(string(j.Machine))
		number(j.Seq)
	}
	b = append(b, flag(w.leaves), flag(w.ordered))
	if w.ordered {
		number(w.fixed)
	}
	return string(b)
}

func flag(b bool) byte {
	if b {
		return 1
	}
	return 0
}
