package combine

import (
	"testing"
	"time"
)

// TestPaceHoldsTheProofToItsShare: hand. Of every four units of work one is the proof's.
func TestPaceHoldsTheProofToItsShare(t *testing.T) {
	for _, c := range []struct {
		source       string
		spent, steps int
		waits        bool
	}{
		{"hand: nothing done by either", 0, 0, false},
		{"hand: 3 units of search earn 1 of proof", stepWork * 10 / 3, 10, false},
		{"hand: a tenth more than its share", stepWork * 11 / 3, 10, true},
	} {
		p := newPace()
		p.went(c.steps)
		through := make(chan bool)
		go func() {
			p.wait(c.spent)
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
