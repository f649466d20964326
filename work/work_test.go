package work_test

import (
	"context"
	"errors"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/work"
)

func TestStartRunsAndTellsTheEnd(t *testing.T) {
	r := work.New(nil)
	broken := errors.New("broken")
	var got error
	if err := r.Start("a", func(context.Context) error { return broken }, func(err error) { got = err }); err != nil {
		t.Fatal(err)
	}
	r.Wait()
	if !errors.Is(got, broken) {
		t.Errorf("%v", got)
	}
}

func TestAPanicIsAnErrorAndHarmsNoOther(t *testing.T) {
	r := work.New(nil)
	var got error
	err := errors.Join(
		r.Start("a", func(context.Context) error { panic("oh") }, func(err error) { got = err }),
		r.Start("b", func(context.Context) error { return nil }, func(error) { panic("in done") }),
	)
	r.Wait()
	if err != nil || got == nil || !strings.Contains(got.Error(), "oh") {
		t.Errorf("%v, %v", err, got)
	}
	if err := r.Start("b", func(context.Context) error { return nil }, func(error) {}); err != nil {
		t.Errorf("an id stays taken: %v", err)
	}
	r.Wait()
}

func TestCancelAndDouble(t *testing.T) {
	r := work.New(nil)
	wait := func(ctx context.Context) error { <-ctx.Done(); return ctx.Err() }
	var got error
	if err := r.Start("a", wait, func(err error) { got = err }); err != nil {
		t.Fatal(err)
	}
	if err := r.Start("a", wait, func(error) {}); !errors.Is(err, fault.Conflict) {
		t.Errorf("the same id twice: %v", err)
	}
	if r.Cancel("b") || !r.Cancel("a") {
		t.Error("cancel is wrong about what runs")
	}
	r.Wait()
	if !errors.Is(got, context.Canceled) {
		t.Errorf("%v", got)
	}
}

func TestShutdownEndsAllAndMayBeRepeated(t *testing.T) {
	r := work.New(nil)
	var mu sync.Mutex
	ended := 0
	for _, id := range []string{"a", "b", "c"} {
		err := r.Start(id, func(ctx context.Context) error { <-ctx.Done(); return nil }, func(error) {
			mu.Lock()
			defer mu.Unlock()
			ended++
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	for range 2 {
		if err := r.Shutdown(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	if ended != 3 {
		t.Errorf("%d ended", ended)
	}
	if err := r.Start("d", func(context.Context) error { return nil }, func(error) {}); !errors.Is(err, fault.Refused) {
		t.Errorf("work after the end: %v", err)
	}
}

func TestShutdownDoesNotWaitForEver(t *testing.T) {
	r := work.New(nil)
	free := make(chan struct{})
	if err := r.Start("deaf", func(context.Context) error { <-free; return nil }, func(error) {}); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Millisecond)
	defer cancel()
	if err := r.Shutdown(ctx); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("%v", err)
	}
	close(free)
	r.Wait()
}
