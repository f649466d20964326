// Package work runs long work in the background of one process: each piece
// under an id, with a cancel, and an end that waits for all of it.
package work

import (
	"context"
	"fmt"
	"log/slog"
	"runtime/debug"
	"sync"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/desk"
)

// Runner runs work. Its zero value is not usable; see New.
type Runner struct {
	log *slog.Logger

	mu      sync.Mutex
	running map[string]context.CancelFunc
	closed  bool
	all     sync.WaitGroup
}

var _ desk.Worker = (*Runner)(nil)

// New returns a runner; a nil log is silent.
func New(log *slog.Logger) *Runner {
	if log == nil {
		log = slog.New(slog.DiscardHandler)
	}
	return &Runner{log: log, running: map[string]context.CancelFunc{}}
}

// Start runs f in the background and then calls done, once, with what f
// returned or with the panic that ended it; done runs before Wait and
// Shutdown return. fault.Conflict if the id is running, fault.Refused after Shutdown.
func (r *Runner) Start(id string, f func(ctx context.Context) error, done func(error)) error {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.closed {
		return fmt.Errorf("%s: the program is ending: %w", id, fault.Refused)
	}
	if _, there := r.running[id]; there {
		return fmt.Errorf("%s is running: %w", id, fault.Conflict)
	}
	ctx, cancel := context.WithCancel(context.Background())
	r.running[id] = cancel
	r.all.Go(func() {
		defer cancel()
		err := r.guarded(id, func() error { return f(ctx) })
		_ = r.guarded(id, func() error { done(err); return nil }) // a panic of done is logged
		r.mu.Lock()
		defer r.mu.Unlock()
		delete(r.running, id)
	})
	return nil
}

// guarded runs f and turns a panic into an error, logged with its stack.
func (r *Runner) guarded(id string, f func() error) (err error) {
	defer func() {
		if p := recover(); p != nil {
			r.log.Error("work panicked", "work", id, "panic", p, "stack", string(debug.Stack()))
			err = fmt.Errorf("%s panicked: %v", id, p)
		}
	}()
	return f()
}

// Cancel ends the context of the work with that id; false if it is not running.
func (r *Runner) Cancel(id string) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	cancel, ok := r.running[id]
	if ok {
		cancel()
	}
	return ok
}

// Wait returns when nothing is running.
func (r *Runner) Wait() { r.all.Wait() }

// Shutdown takes no more work, cancels what runs and waits for it, or until
// ctx ends, whose error it then returns. It may be called again.
func (r *Runner) Shutdown(ctx context.Context) error {
	r.mu.Lock()
	r.closed = true
	for _, cancel := range r.running {
		cancel()
	}
	r.mu.Unlock()
	ended := make(chan struct{})
	go func() {
		r.all.Wait()
		close(ended)
	}()
	select {
	case <-ended:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}
