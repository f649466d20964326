package combine

import "testing"

// TestPaceHoldsTheProofToItsShare: hand. One unit for four of the searches at first, one for one after.
func TestPaceHoldsTheProofToItsShare(t *testing.T) {
	for _, c := range []struct {
		source     string
		steps, due int
	}{
		{"hand: nothing done", 0, 0},
		{"hand: 40 steps earn a quarter of their work", 40, 10 * stepWork},
		{"hand: two items' first steps earn a quarter, 40 more all", 2*firstSteps + 40, (firstSteps/2 + 40) * stepWork},
	} {
		if got := due(c.steps, 2); got != c.due {
			t.Errorf("%s: %d, wanted %d", c.source, got, c.due)
		}
	}
}

// TestPaceWaits until the searches have gone on far enough, and for no longer than they last.
func TestPaceWaits(t *testing.T) {
	for name, free := range map[string]func(p *pace){
		"the searches go on": func(p *pace) { p.went(40) },
		"the searches end":   func(p *pace) { p.end() },
	} {
		p := newPace()
		p.went(39)
		through := make(chan bool)
		go func() {
			p.wait(10*stepWork, 2)
			close(through)
		}()
		free(p)
		<-through // a proof that never goes on hangs here
		if name == "the searches go on" && p.steps < 40 {
			t.Errorf("%s: through after %d steps", name, p.steps)
		}
	}
}
