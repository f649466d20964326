package trace_test

import (
	"math"
	"testing"

	"github.com/flutewright/flutewright/plant/trace"
)

// The intervals are those of Newcombe, R. G. (1998), Two-sided confidence
// intervals for the single proportion, Statistics in Medicine 17, 857–872,
// table I, method 3 (score without continuity correction); cited from memory.
func TestWilson(t *testing.T) {
	for _, c := range []struct {
		hits, n   int
		low, high float64
	}{{81, 263, .2553, .3662}, {15, 148, .0624, .1605}, {0, 20, 0, .1611}, {1, 29, .0061, .1718}} {
		low, high := trace.Wilson(c.hits, c.n)
		if math.Abs(low-c.low) > .00005 || math.Abs(high-c.high) > .00005 {
			t.Errorf("%d of %d: %.4f to %.4f, want %.4f to %.4f", c.hits, c.n, low, high, c.low, c.high)
		}
	}
}

// By hand: 6,000 good and 90 wasted are 1.478 %; of 5,410 left 5,330 come good.
func TestForetell(t *testing.T) {
	f := trace.Foretell(6000, 90, 5410, .01)
	if f.Expect != 11330 || f.Few || !(f.Worst < f.Expect && f.Expect < f.Best) {
		t.Errorf("%+v", f)
	}
	if f := trace.Foretell(100, 50, 1000, .02); !f.Few || f.Expect != 1080 {
		t.Errorf("too few counted: %+v", f)
	}
	if f := trace.Foretell(500, 20, -3, .02); f.Expect != 500 || f.Worst != 500 {
		t.Errorf("nothing left: %+v", f)
	}
}
