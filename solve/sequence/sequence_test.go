package sequence_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/solve/sequence"
	"pgregory.net/rapid"
)

func solve(t testing.TB, p sequence.Problem, opt sequence.Options) sequence.Result {
	t.Helper()
	r, err := sequence.Solve(context.Background(), p, opt)
	if err != nil {
		t.Fatal(err)
	}
	if err := sequence.Check(p, r); err != nil {
		t.Fatal(err)
	}
	return r
}

func matrix(t *testing.T) [][]float64 {
	t.Helper()
	src, err := os.ReadFile("testdata/br17.txt")
	if err != nil {
		t.Fatal(err)
	}
	in := strings.NewReader(string(src))
	var n int
	if _, err := fmt.Fscan(in, &n); err != nil {
		t.Fatal(err)
	}
	m := make([][]float64, n)
	for i := range m {
		m[i] = make([]float64, n)
		for j := range m[i] {
			if _, err := fmt.Fscan(in, &m[i][j]); err != nil {
				t.Fatal(err)
			}
		}
	}
	return m
}

// Sources: testdata/SOURCES.md.
func TestPublished(t *testing.T) {
	m := matrix(t)
	n := len(m)
	tests := []struct {
		source  string
		problem sequence.Problem
		optimum float64
	}{
		{"TSPLIB br17, optimal tour", sequence.Problem{
			Jobs:   make([]sequence.Job, n-1),
			Change: func(a, b int) sequence.Change { return sequence.Change{Cost: m[a+1][b+1]} }, // node 0 is the machine as it stands
			Return: func(a int) float64 { return m[a+1][0] },
		}, 39},
		{"TSPLIB br17, best open path over all starts", sequence.Problem{
			Jobs: make([]sequence.Job, n),
			Change: func(a, b int) sequence.Change {
				if a < 0 {
					return sequence.Change{}
				}
				return sequence.Change{Cost: m[a][b]}
			},
		}, 25},
	}
	for _, tt := range tests {
		r := solve(t, tt.problem, sequence.Options{})
		if r.Cost != tt.optimum || r.Bound > tt.optimum {
			t.Errorf("%s: cost %g, bound %g, published %g", tt.source, r.Cost, r.Bound, tt.optimum)
		}
		t.Logf("sequence-dependent set-ups | %s | cost | %g | %g, bound %g | %g", tt.source, tt.optimum, r.Cost, r.Bound, r.Cost-tt.optimum)
	}
}

func draw(t *rapid.T, most int) sequence.Problem {
	n := rapid.IntRange(0, most).Draw(t, "jobs")
	rnd := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
	p := sequence.Problem{Jobs: make([]sequence.Job, n)}
	for i := range p.Jobs {
		p.Jobs[i] = sequence.Job{Time: rnd.Int64N(20), Release: rnd.Int64N(60) - 10, Due: rnd.Int64N(100) - 20, Weight: float64(rnd.IntN(4))}
	}
	changes := make([]sequence.Change, (n+1)*n)
	home := make([]float64, n)
	for i := range changes {
		changes[i] = sequence.Change{Time: rnd.Int64N(8), Cost: float64(rnd.IntN(30))}
	}
	for i := range home {
		home[i] = float64(rnd.IntN(20))
	}
	p.Change = func(a, b int) sequence.Change { return changes[(a+1)*n+b] }
	p.Return = func(a int) float64 { return home[a] }
	return p
}

// cheapest tries every sequence, adding up as it goes.
func cheapest(p sequence.Problem) float64 {
	best := math.Inf(1)
	var add func(before int, at int64, cost float64, left []int)
	add = func(before int, at int64, cost float64, left []int) {
		if len(left) == 0 {
			if before >= 0 {
				cost += p.Return(before)
			}
			best = min(best, cost)
			return
		}
		for k, j := range left {
			c := p.Change(before, j)
			end := max(at, p.Jobs[j].Release) + c.Time + p.Jobs[j].Time
			late := p.Jobs[j].Weight * float64(max(0, end-p.Jobs[j].Due))
			add(j, end, cost+c.Cost+late, slices.Delete(slices.Clone(left), k, k+1))
		}
	}
	left := make([]int, len(p.Jobs))
	for i := range left {
		left[i] = i
	}
	add(-1, 0, 0, left)
	return best
}

func TestAgainstEverySequence(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := draw(t, 7)
		r, err := sequence.Solve(context.Background(), p, sequence.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if err := sequence.Check(p, r); err != nil {
			t.Fatal(err)
		}
		best := cheapest(p)
		if r.Cost > best+1e-9 || r.Bound > best+1e-9 {
			t.Fatalf("cost %g, bound %g, cheapest %g", r.Cost, r.Bound, best)
		}
	})
}

func big(n int) sequence.Problem {
	rnd := rand.New(rand.NewPCG(7, 7))
	p := sequence.Problem{Jobs: make([]sequence.Job, n)}
	family := make([]int, n)
	for i := range p.Jobs {
		family[i] = rnd.IntN(5)
		p.Jobs[i] = sequence.Job{Time: 10 + rnd.Int64N(50), Release: rnd.Int64N(int64(n) * 20), Due: rnd.Int64N(int64(n) * 45), Weight: 1}
	}
	p.Change = func(a, b int) sequence.Change {
		if a >= 0 && family[a] == family[b] {
			return sequence.Change{}
		}
		return sequence.Change{Time: 10, Cost: 20}
	}
	return p
}

func TestLaws(t *testing.T) {
	p := big(120)
	built, searched := solve(t, p, sequence.Options{Rounds: -1}), solve(t, p, sequence.Options{Rounds: 2000})
	again := solve(t, p, sequence.Options{Rounds: 2000})
	if !slices.Equal(searched.Order, again.Order) {
		t.Error("the same seed gives another sequence")
	}
	if searched.Cost > built.Cost {
		t.Errorf("searching made it dearer: %g above %g", searched.Cost, built.Cost)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	r, err := sequence.Solve(ctx, p, sequence.Options{})
	if err != nil || r.Status != sequence.Stopped || sequence.Check(p, r) != nil {
		t.Errorf("cancelled: %v %v %v", r.Status, err, sequence.Check(p, r))
	}
	if r := solve(t, sequence.Problem{}, sequence.Options{}); r.Cost != 0 || r.Status != sequence.Optimal {
		t.Errorf("no jobs: %+v", r)
	}
}

func TestCheckFindsFaults(t *testing.T) {
	p := big(5)
	good := solve(t, p, sequence.Options{})
	spoil := map[string]func(r *sequence.Result){
		"a job twice":      func(r *sequence.Result) { r.Order[0] = r.Order[1] },
		"a job left out":   func(r *sequence.Result) { r.Order = r.Order[1:] },
		"no such job":      func(r *sequence.Result) { r.Order[2] = 5 },
		"cheaper than so":  func(r *sequence.Result) { r.Cost -= 10; r.ChangeCost -= 10 },
		"bound above cost": func(r *sequence.Result) { r.Bound = r.Cost + 10 },
	}
	for name, f := range spoil {
		r := good
		r.Order = slices.Clone(good.Order)
		f(&r)
		if err := sequence.Check(p, r); !errors.Is(err, fault.Infeasible) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func BenchmarkSolve1500(b *testing.B) {
	p := big(1500)
	for b.Loop() {
		r := solve(b, p, sequence.Options{})
		b.ReportMetric(r.Cost/r.Bound, "cost/bound")
	}
}
