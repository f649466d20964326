package desk

import (
	"context"
	"sync"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
)

// progressEvery is the least time between two progress reports to a watcher.
const progressEvery = 200 * time.Millisecond

// WatchPlan returns a channel with the plan's head now, at each progress (at
// most five a second) and at the end, after which it is closed. A slow watcher
// misses steps in between, never the last. It also closes when ctx ends.
func (d *Desk) WatchPlan(ctx context.Context, id ident.Plan) (<-chan PlanHead, error) {
	if ch, ok := d.live.watch(ctx, id); ok {
		return ch, nil
	}
	h, err := d.Store.PlanHead(ctx, id)
	if err != nil {
		return nil, err
	}
	ch := make(chan PlanHead, 1)
	ch <- h
	close(ch)
	return ch, nil
}

// livePlans are the plans that run in this process.
type livePlans struct {
	mu    sync.Mutex
	plans map[ident.Plan]*livePlan
}

type livePlan struct {
	head     PlanHead
	told     time.Time
	watchers map[chan PlanHead]func() bool // stops the watch of the context
}

func newLivePlans() livePlans { return livePlans{plans: map[ident.Plan]*livePlan{}} }

func (l *livePlans) begin(h PlanHead) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.plans[h.ID] = &livePlan{head: h, watchers: map[chan PlanHead]func() bool{}}
}

func (l *livePlans) head(id ident.Plan) (PlanHead, bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if p, ok := l.plans[id]; ok {
		return p.head, true
	}
	return PlanHead{}, false
}

func (l *livePlans) progress(id ident.Plan, p plan.Progress) {
	l.mu.Lock()
	defer l.mu.Unlock()
	live, ok := l.plans[id]
	if !ok {
		return
	}
	stage := live.head.Progress.Stage != p.Stage
	live.head.Progress = p
	if !stage && time.Since(live.told) < progressEvery {
		return
	}
	live.told = time.Now()
	for ch := range live.watchers {
		offer(ch, live.head)
	}
}

// end tells the last head to all watchers and forgets the plan.
func (l *livePlans) end(h PlanHead) {
	l.mu.Lock()
	defer l.mu.Unlock()
	live, ok := l.plans[h.ID]
	if !ok {
		return
	}
	delete(l.plans, h.ID)
	for ch, stop := range live.watchers {
		stop()
		offer(ch, h)
		close(ch)
	}
	live.watchers = nil
}

func (l *livePlans) watch(ctx context.Context, id ident.Plan) (<-chan PlanHead, bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	live, ok := l.plans[id]
	if !ok {
		return nil, false
	}
	ch := make(chan PlanHead, 1)
	ch <- live.head
	live.watchers[ch] = context.AfterFunc(ctx, func() {
		l.mu.Lock()
		defer l.mu.Unlock()
		if _, still := live.watchers[ch]; still {
			delete(live.watchers, ch)
			close(ch)
		}
	})
	return ch, true
}

// offer puts h into the one place of ch, in place of an older head.
func offer(ch chan PlanHead, h PlanHead) {
	select {
	case <-ch:
	default:
	}
	select {
	case ch <- h:
	default: // the reader cannot have put one in: only we send, under the lock
	}
}
