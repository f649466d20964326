package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"sync"
	"time"

	"github.com/flutewright/flutewright/internal/bench/peers"
	"github.com/flutewright/flutewright/internal/bench/trimcase"
	"github.com/flutewright/flutewright/solve/combine"
)

const (
	peerSeconds = 60.0
	oracle      = "internal/oracle"
)

// From few orders on the solvers get the ten columns an order of least reduced cost
// only, which is to their favour.
const few, tenAnOrder = 60, 10

// besides runs the solvers on every book, all at the same time on one book, the
// trim engine before them alone.
func besides() (*measured, error) {
	if !processorTold {
		return nil, errors.New("this system does not tell the processor time that the solvers are given")
	}
	out := &measured{Date: time.Now().UTC().Format("2006-01-02"), Machine: machine(), Seconds: peerSeconds}
	var there []peers.Solver
	for _, s := range peers.All(oracle) {
		if err := s.Missing(); err != nil {
			fmt.Fprintln(os.Stderr, "bench: NOT RUN:", err)
			out.Missing = append(out.Missing, s.Name)
			continue
		}
		there = append(there, s)
	}
	if len(there) == 0 {
		return nil, fmt.Errorf("no solver to run: %s", strings.Join(out.Missing, ", "))
	}
	for _, book := range books {
		b, failed, err := besideOf(book.n, there)
		if err != nil {
			return nil, err
		}
		out.Books, out.Failed = append(out.Books, b), append(out.Failed, failed...)
	}
	return out, nil
}

// besideOf measures the book of so many orders.
func besideOf(n int, solvers []peers.Solver) (beside, []brokenPeer, error) {
	p := trimcase.Continuous(n, 1)
	m, err := peers.New(p)
	if err != nil {
		return beside{}, nil, err
	}
	b := beside{Orders: n}
	if n >= few {
		if _, err := m.Keep(tenAnOrder * n); err != nil {
			return b, nil, err
		}
	}
	b.Columns, b.Listed = m.Columns()
	if err := b.own(p, m); err != nil {
		return b, nil, err
	}
	answers, faults := make([]peerPlan, len(solvers)), make([]error, len(solvers))
	var all sync.WaitGroup
	for k, s := range solvers {
		all.Go(func() { answers[k], faults[k] = planOf(s, m) })
	}
	all.Wait()
	var failed []brokenPeer
	for k, err := range faults {
		if err != nil {
			failed = append(failed, brokenPeer{solvers[k].Name, n, err.Error()})
			continue
		}
		b.Peers = append(b.Peers, answers[k])
	}
	return b, failed, nil
}

// own measures the trim engine on a book.
func (b *beside) own(p combine.Problem, m *peers.Model) error {
	before := processor()
	second := timeTrim(p, wall, 1)
	between := processor()
	two := timeTrim(p, processor, 2)
	b.SecondSpent, b.ProcessorSpent = cents(between-before), cents(processor()-between)
	for _, own := range []timed{second, two} {
		if own.checkFailed != nil || len(own.result.Left) > 0 {
			return errors.Join(own.checkFailed, fmt.Errorf("%d orders: left %v", b.Orders, own.result.Left))
		}
	}
	b.Second, b.Processor = cents(m.Cost(second.result.Runs)), cents(m.Cost(two.result.Runs))
	return nil
}

// planOf is what a solver plans in its time, judged.
func planOf(s peers.Solver, m *peers.Model) (peerPlan, error) {
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Minute) // a busy machine gives little of it
	defer cancel()
	a, err := s.Solve(ctx, m, peerSeconds)
	if err != nil {
		return peerPlan{}, err
	}
	out := peerPlan{Name: s.Name, Version: a.Version, Seconds: cents(a.Seconds), Status: a.Status, Says: cents(a.Cost), Bound: cents(a.Bound)}
	if a.Cost == 0 {
		return out, nil
	}
	r, err := m.Judge(a.Values)
	if err != nil {
		out.Fault = err.Error()
		return out, nil
	}
	out.Cost = cents(r.Cost)
	return out, nil
}
