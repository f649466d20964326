package combine

import (
	"math"
	"runtime"
	"sync"
	"sync/atomic"
)

// Solve searches until Rounds are done, Done is true, or the plan is proven to
// be the best. It always returns the best legal plan so far.
//
// Parts of the problem that share nothing are planned apart. On each, two
// searches run side by side and a proof raises the bound; the searches meet
// after a fixed number of rounds, so what they find does not depend on the
// number of threads. With Rounds the proof's effort is fixed, too.
func Solve(p *Problem, opt Options) Result {
	s := prepare(p)
	w := &work{s: s, opt: &opt, parts: s.split()}
	n := opt.Workers
	if n <= 0 {
		n = runtime.GOMAXPROCS(0)
	}
	w.seats = make(chan struct{}, n)
	w.desks = w.seats
	if n > 1 { // a proof is seldom in a hurry: let it share the cores
		w.desks = make(chan struct{}, n/2)
	}
	w.start()
	w.run()
	return w.result()
}

// work is one Solve.
type work struct {
	s     *shop
	opt   *Options
	parts []*part
	seats chan struct{}  // one for each thread that searches
	desks chan struct{}  // one for each that proves
	mu    sync.Mutex     // guards Progress and what it reads
	plain sync.WaitGroup // parts whose plain relaxation is not solved
}

// seat does f on one of the threads.
func (w *work) seat(f func()) {
	w.seats <- struct{}{}
	defer func() { <-w.seats }()
	f()
}

// each does f for all parts, side by side, and waits.
func (w *work) each(f func(p *part)) {
	var wait sync.WaitGroup
	for _, p := range w.parts {
		wait.Go(func() { f(p) })
	}
	wait.Wait()
}

func (w *work) stopped() bool { return w.opt.Done != nil && w.opt.Done() }

// start makes every part's first plan.
func (w *work) start() {
	total := 0
	for _, p := range w.parts {
		total += len(p.items)
	}
	begin := w.begin()
	w.each(func(p *part) {
		w.seat(func() {
			p.a, p.b = newSearch(p.s, w.opt, 20310303), newSearch(p.s, w.opt, 20310304)
			if w.opt.Rounds > 0 {
				p.a.rounds = max(1, (w.opt.Rounds*len(p.items)+total-1)/total)
				p.b.rounds = p.a.rounds
			}
			p.a.first(begin[p])
			p.b.cost = p.a.cost
			p.b.best.copyFrom(p.a.best)
			p.b.adoptPlan(p.a)
			p.restless(w.opt)
			p.best, p.cost = p.s.newPlan(), p.a.cost
			p.best.copyFrom(p.a.best)
			if w.opt.Start != nil {
				p.began = p.s.newPlan()
				p.began.copyFrom(p.best)
			}
		})
	})
	if w.opt.First != nil {
		w.opt.First(w.cost())
	}
}

// begin gives each part its runs of Start; nil without.
func (w *work) begin() map[*part][]run {
	out := map[*part][]run{}
	if w.opt.Start == nil {
		return out
	}
	of, place := make([]*part, len(w.s.Items)), make([]int32, len(w.s.Items))
	for _, p := range w.parts {
		out[p] = []run{}
		for k, i := range p.items {
			of[i], place[i] = p, int32(k)
		}
	}
	for k := range w.opt.Start {
		r := fromRun(&w.opt.Start[k])
		p := of[r.lanes[0].item]
		same := true
		for q, l := range r.lanes {
			same = same && of[l.item] == p
			r.lanes[q].item = place[l.item]
		}
		if same {
			out[p] = append(out[p], r)
		}
	}
	return out
}

func fromRun(r *Run) run {
	out := run{stock: int32(r.Stock), length: r.Length}
	for _, l := range r.Lanes {
		out.lanes = append(out.lanes, lane{int32(l.Item), int32(l.Outs)})
	}
	return out
}

// meeting is the number of rounds after which the searches of a part meet, and
// adoption how many meetings pass until the worse goes on from the better's plan.
const (
	meeting  = 128
	adoption = 4
)

// run searches and proves until the end.
func (w *work) run() {
	w.plain.Add(len(w.parts))
	w.each(func(p *part) {
		w.beginProof(p)
		var over atomic.Bool
		var proven sync.WaitGroup
		w.second(p)
		if w.exhaust(p) {
			w.plain.Done()
			w.report()
			return
		}
		if w.opt.Unproven {
			w.plain.Done()
			w.search(p)
			p.pace.end()
			return
		}
		proven.Go(func() { w.prove(p, &over, sync.OnceFunc(w.plain.Done)) })
		w.search(p)
		p.pace.end()
		if w.opt.Rounds == 0 {
			over.Store(true)
		}
		proven.Wait()
		w.takeOffer(p)
		if !p.proof.speaksOf(p.best) {
			w.beginProof(p)
			w.prove(p, &over, func() {})
		}
	})
}

// handOut lets a search go on from the part's best plan where neither search
// found it. It reports whether it did.
func (w *work) handOut(p *part, x *search) bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	if p.cost >= min(p.a.cost, p.b.cost)-1e-9 {
		return false
	}
	x.cur.copyFrom(p.best)
	x.best.copyFrom(p.best)
	x.curC, x.cost, x.indexed = p.cost, p.cost, false
	return true
}

// second makes a second first plan from the patterns of the plain relaxation,
// once that is solved or has taken its share of the time, and keeps the better.
func (w *work) second(p *part) {
	w.seat(func() {
		for p.proof.master == nil && !p.proof.root.done && (w.opt.Share == nil || w.opt.Share() < rootShare) && !w.stopped() {
			if !p.proof.round(math.Inf(1), w.stopped) {
				break
			}
		}
		p.bound.Store(bits(p.proof.bound()))
		if w.stopped() {
			return
		}
		known := newCatalog(p.s, p.proof.root)
		p.a.dive.known, p.b.dive.known = known, known
		if p.proof.root.done {
			p.proof.root.offers = nil
		}
		if w.opt.Start != nil || len(p.s.Hold) > 0 || len(p.proof.items) <= chunk || p.proof.root.dual == nil || w.stopped() {
			return
		}
		p.a.pooled(p.proof.root)
		if p.a.curC >= p.cost-1e-9 {
			p.a.adoptPlan(p.b)
			return
		}
		p.a.best.copyFrom(p.a.cur)
		p.a.cost = p.a.curC
		p.best.copyFrom(p.a.cur)
		p.cost = p.a.curC
		p.b.adoptPlan(p.a)
	})
}

// rootShare of the time may go by until the search begins without the relaxation's patterns.
const rootShare = 0.2

// search runs the two searches of a part.
func (w *work) search(p *part) {
	for met := 1; ; met++ {
		var wait sync.WaitGroup
		halved := p.mayShare()
		if halved {
			p.halve()
		}
		for _, x := range []*search{p.a, p.b} {
			wait.Go(func() { w.seat(func() { x.block(meeting) }) })
		}
		wait.Wait()
		if halved {
			p.join()
		}
		better, worse := p.a, p.b
		if p.b.cost < p.a.cost {
			better, worse = p.b, p.a
		}
		w.mu.Lock()
		if better.cost < p.cost-1e-9 {
			p.cost = better.cost
			p.best.copyFrom(better.best)
		}
		p.round = p.a.round + p.b.round
		w.mu.Unlock()
		p.pace.went(p.round)
		if met%adoption == 0 && !halved && worse.epoch == 0 {
			if !w.handOut(p, worse) {
				worse.adoptPlan(better)
			}
		}
		w.report()
		if w.stopped() || w.opt.Rounds > 0 && p.a.round >= p.a.rounds || w.opt.Rounds == 0 && w.settled(p) {
			return
		}
		if len(p.a.cur.runs) == 0 && !p.a.lacks() {
			return
		}
	}
}

// report calls Progress.
func (w *work) report() {
	if w.opt.Progress == nil {
		return
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	rounds := 0
	for _, p := range w.parts {
		rounds += p.round
	}
	w.opt.Progress(rounds, w.cost(), w.lower())
}

// cost is the sum of the parts' best plans; the front and what it costs to go from part to part count.
func (w *work) cost() float64 {
	return w.s.total(w.plan())
}

// lower is the bound as it stands.
func (w *work) lower() float64 {
	sum := w.s.fixed
	for _, p := range w.parts {
		sum += p.proven()
	}
	return sum
}

// plan puts the parts' best plans together.
func (w *work) plan() *plan {
	out := w.s.newPlan()
	for _, p := range w.parts {
		if p.best != nil {
			p.words(p.best, w.s, out)
		}
	}
	return out
}
