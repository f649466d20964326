package flow_test

import (
	"testing"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/solve/flow"
)

// TestWorked: hand. Two sources of 5 and 3 into one sink of 8 over ways of 4 and 4 send 7;
// a source that must give way by the second path: 1→A, then 2→A pushes 1 over to B.
func TestWorked(t *testing.T) {
	for name, c := range map[string]struct {
		t    flow.Transport
		want int64
	}{
		"ways limit":   {flow.Transport{Supply: []int64{5, 3}, Demand: []int64{8}, Way: [][]int64{{4}, {4}}}, 7},
		"one gives up": {flow.Transport{Supply: []int64{3, 3}, Demand: []int64{3, 3}, Way: [][]int64{{3, 3}, {3, 0}}}, 6},
		"closed":       {flow.Transport{Supply: []int64{3}, Demand: []int64{3}, Way: [][]int64{{0}}}, 0},
		"empty":        {flow.Transport{}, 0},
	} {
		if got, _ := flow.Most(c.t); got != c.want {
			t.Errorf("%s: %d, wanted %d", name, got, c.want)
		}
	}
}

// TestMostIsTheLeastCut: Ford & Fulkerson 1956, the greatest flow is the least
// cut, here found by trying every cut.
func TestMostIsTheLeastCut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, m := rapid.IntRange(1, 4).Draw(t, "sources"), rapid.IntRange(1, 4).Draw(t, "sinks")
		num := rapid.Int64Range(0, 9)
		tr := flow.Transport{}
		for range n {
			tr.Supply = append(tr.Supply, num.Draw(t, "supply"))
			var way []int64
			for range m {
				way = append(way, num.Draw(t, "way"))
			}
			tr.Way = append(tr.Way, way)
		}
		for range m {
			tr.Demand = append(tr.Demand, num.Draw(t, "demand"))
		}
		total, sent := flow.Most(tr)
		least := int64(1 << 60)
		for cut := range 1 << (n + m) { // bit set: on the sources' side
			sum := int64(0)
			for i := range n {
				if cut>>i&1 == 0 {
					sum += tr.Supply[i]
				}
				for j := range m {
					if cut>>i&1 == 1 && cut>>(n+j)&1 == 0 {
						sum += tr.Way[i][j]
					}
				}
			}
			for j := range m {
				if cut>>(n+j)&1 == 1 {
					sum += tr.Demand[j]
				}
			}
			least = min(least, sum)
		}
		if total != least {
			t.Fatalf("sends %d, the least cut is %d", total, least)
		}
		sum := int64(0)
		in := make([]int64, m)
		for i := range n {
			out := int64(0)
			for j, v := range sent[i] {
				if v < 0 || v > tr.Way[i][j] {
					t.Fatalf("way %d–%d carries %d of %d", i, j, v, tr.Way[i][j])
				}
				out += v
				in[j] += v
			}
			if out > tr.Supply[i] {
				t.Fatalf("source %d sends %d of %d", i, out, tr.Supply[i])
			}
			sum += out
		}
		for j, v := range in {
			if v > tr.Demand[j] {
				t.Fatalf("sink %d takes %d of %d", j, v, tr.Demand[j])
			}
		}
		if sum != total {
			t.Fatalf("ways carry %d, total %d", sum, total)
		}
	})
}
