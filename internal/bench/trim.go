package main

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"runtime"
	"runtime/debug"
	"sync"
	"time"

	"github.com/flutewright/flutewright/internal/bench/trimcase"
	"github.com/flutewright/flutewright/solve/combine"
)

// books of one grade with what was recorded of them when the method was first tried,
// on an independent programme in 60 s of processor time: the better of HiGHS 1.15 native and
// in WebAssembly, CBC 2.10, the best cost of any method, and the best certificate in %.
// None of it was run again here; besides runs the solvers.
var books = []struct {
	n                             int
	highs, cbc, bestKnown, proven float64
}{
	{20, 153443, 153572, 153443, 0.054},
	{60, 458700, 459055, 458443, 0.126},
	{120, 876470, 877466, 875773, 0.26},
	{200, 1699392, 1704480, 1698605, 0.22},
}

// timed is one search with the marks it passed.
type timed struct {
	result      combine.Result
	first       float64 // seconds
	firstCost   float64
	half        float64 // seconds to a gap of 0.5 %; +Inf: not reached
	peakMB      int
	checkFailed error
}

var began = time.Now()

// wall is the clock on the wall, in seconds.
func wall() float64 { return time.Since(began).Seconds() }

// timeTrim searches for so many seconds of a clock: wall, or processor.
func timeTrim(p combine.Problem, clock func() float64, seconds float64) timed {
	out := timed{half: math.Inf(1)}
	debug.FreeOSMemory() // what the tables before have left does not count
	start := clock()
	now := func() float64 { return clock() - start }
	var mu sync.Mutex
	var mem runtime.MemStats
	looked := 0.0
	out.result = combine.Solve(&p, combine.Options{
		Seed: 1,
		Done: func() bool { return now() > seconds }, Share: func() float64 { return now() / seconds },
		First: func(cost float64) { out.first, out.firstCost = now(), cost },
		Progress: func(_ int, cost, bound float64) {
			mu.Lock()
			defer mu.Unlock()
			t := now()
			if cost <= 1.005*bound {
				out.half = min(out.half, t)
			}
			if t > looked {
				looked = t + 1
				runtime.ReadMemStats(&mem)
				out.peakMB = max(out.peakMB, int((mem.Sys-mem.HeapReleased)>>20))
			}
		},
	})
	out.checkFailed = combine.Check(p, out.result)
	return out
}

func gap(cost, bound float64) float64 { return 100 * (cost/bound - 1) }

// trims measures the trim engine by itself.
func trims(b *bytes.Buffer) error {
	fmt.Fprintf(b, "## The trim engine\n\nMade-up books of one grade (`internal/bench/trimcase`, seed 1), lengths continuous, cost in m² of web with 30 m of web lost a run.\nThe best known before and its certificate are quoted from the record of the method's prototype, not run again. Wanted: after 1 s\nbelow what general solvers reach in 60 s of processor time (the next section); proven gap at the end at most 0.06, 0.10, 0.15 and 0.15 %%;\nfirst legal plan for 200 orders under 50 ms and within 3 %%.\n\n")
	fmt.Fprintf(b, "| orders | first plan ms | it is above the bound by %% | cost after 1 s | best known before | at the end: s | cost | bound | gap %% | gap proven before %% |\n|---|---|---|---|---|---|---|---|---|---|\n")
	for _, c := range books {
		seconds := 30.0
		if c.n == 20 {
			seconds = 10
		}
		one := timeTrim(trimcase.Continuous(c.n, 1), wall, 1)
		long := timeTrim(trimcase.Continuous(c.n, 1), wall, seconds)
		for _, r := range []timed{one, long} {
			if r.checkFailed != nil || len(r.result.Left) > 0 {
				return errors.Join(r.checkFailed, fmt.Errorf("trim, %d orders: left %v", c.n, r.result.Left))
			}
		}
		fmt.Fprintf(b, "| %d | %.0f | %.2f | %.0f | %.0f | %.0f | %.0f | %.0f | %.3f | %.3f |\n", c.n, 1000*one.first, gap(one.firstCost, long.result.Bound),
			one.result.Cost, c.bestKnown, seconds, long.result.Cost, long.result.Bound, gap(long.result.Cost, long.result.Bound), c.proven)
	}
	return wholeTrims(b)
}

// wholeTrims measures whole sheets, many grades, and how the time grows.
func wholeTrims(b *bytes.Buffer) error {
	fmt.Fprintf(b, "\nThe same with whole sheets, several grades that share nothing, and the time until the gap is 0.5 %%. Wanted: 2,000 orders on 12 grades\nwithin 0.4 %% in 20 s; 10,000 on 30 a plan in 10 s, within 1 %% in 60 s, under 1 GB; the time to 0.5 %% growing no faster than n to the 1.5.\n\n")
	fmt.Fprintf(b, "| orders | grades | s | first plan s | cost | bound | gap %% | s to 0.5 %% | runs | memory MB |\n|---|---|---|---|---|---|---|---|---|---|\n")
	for _, c := range []struct {
		n, grades int
		seconds   float64
	}{{60, 1, 5}, {120, 1, 5}, {200, 1, 5}, {400, 1, 10}, {2000, 12, 20}, {10000, 30, 60}} {
		r := timeTrim(trimcase.Grades(c.n, c.grades, 1), wall, c.seconds)
		if r.checkFailed != nil || len(r.result.Left) > 0 {
			return errors.Join(r.checkFailed, fmt.Errorf("trim, %d orders on %d grades: left %v", c.n, c.grades, r.result.Left))
		}
		half := "not reached"
		if !math.IsInf(r.half, 1) {
			half = fmt.Sprintf("%.2f", r.half)
		}
		fmt.Fprintf(b, "| %d | %d | %.0f | %.2f | %.0f | %.0f | %.3f | %s | %d | %d |\n", c.n, c.grades, c.seconds, r.first, r.result.Cost, r.result.Bound, gap(r.result.Cost, r.result.Bound), half, len(r.result.Runs), r.peakMB)
	}
	b.WriteString("\n")
	return nil
}
