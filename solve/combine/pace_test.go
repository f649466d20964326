package combine

import (
	"testing"
	"time"
)

// TestPaceHoldsTheProofToItsShare: hand. One unit for four of the searches at first, one for one after.
func TestPaceHoldsTheProofToItsShare(t *testing.T) {
	for _, c := range []struct {
		source       string
		spent, steps int
		waits        bool
	}{
		{"hand: nothing done by either", 0, 0, false},
		{"hand: 40 steps earn 10 of their work", 10 * stepWork, 40, false},
		{"hand: a unit more than that", 10*stepWork + 1, 40, true},
		{"hand: two items' first steps earn a quarter, 40 more all", (firstSteps/2 + 40) * stepWork, 2*firstSteps + 40, false},
		{"hand: a unit more than that", (firstSteps/2+40)*stepWork + 1, 2*firstSteps + 40, true},
	} {
		p := newPace()
		p.went(c.steps)
		through := make(chan bool)
		go func() {
			p.wait(c.spent, 2)
			close(through)
		}()
		if !c.waits {
			<-through
			continue
		}
		select {
		case <-through:
			t.Errorf("%s: the proof went on", c.source)
		case <-time.After(20 * time.Millisecond):
		}
		p.end() // or it would wait for ever
		<-through
	}
}
