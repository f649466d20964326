package combine

import (
	"math"
	"sync/atomic"
)

// beginProof begins a part's proof with the items that its best plan makes.
func (w *work) beginProof(p *part) {
	w.mu.Lock()
	made := p.s.newPlan()
	made.copyFrom(p.best)
	w.mu.Unlock()
	fresh := newProof(p.s, made)
	if w.opt.Rounds > 0 {
		fresh.most = walkedByItem * len(p.items)
		fresh.cutMost = proofCuts + w.opt.Rounds/256
		fresh.partMost = 1 + (proofParts+w.opt.Rounds/4)*64/max(64, len(p.items)*len(p.items))
	}
	w.mu.Lock()
	p.proof = fresh
	p.bound.Store(bits(0))
	w.mu.Unlock()
}

// proven is what is proven of plans that make what the part's best plan makes;
// 0 while the proof speaks of fewer items. It is called under the lock.
func (p *part) proven() float64 {
	v := p.floorAt(p.left())
	if p.proof != nil && p.proof.speaksOf(p.best) {
		v = max(v, p.lower())
	}
	return v
}

// stale reports whether the best plan makes items that the proof does not speak of.
func (w *work) stale(p *part) bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	return !p.proof.speaksOf(p.best)
}

// takeOffer makes the best plan that the proof came upon the part's, where it is cheaper.
func (w *work) takeOffer(p *part) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if x := p.proof.offers; x != nil && x.cost < p.cost-1e-9 {
		p.cost = x.cost
		p.best.copyFrom(x.best)
	}
}

// settled reports whether a part's best plan is proven to be the cheapest.
func (w *work) settled(p *part) bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	return p.cost <= p.proven()*(1+1e-9)
}

// Effort of the proof where only rounds are counted.
const (
	proofRounds = 120 // steps
	proofCuts   = 3   // of them, those that look for counters
	proofParts  = 60  // parts of the plans looked at, of a part of few items
)

// prove raises the bound of a part. It calls first once its plain relaxation is
// solved. Where the search finds a plan that makes more items than the proof
// speaks of, the proof begins again: at once by the clock, after the search by rounds.
func (w *work) prove(p *part, over *atomic.Bool, first func()) {
	stopped := func() bool { return over.Load() || w.stopped() }
	defer first()
	for k := 0; ; k++ {
		solved := p.proof.root.done || p.proof.master != nil
		if solved { // what all parts gain most by comes before what one gains more
			first()
			w.plain.Wait()
		}
		if w.opt.Rounds > 0 && k >= proofRounds+w.opt.Rounds/16 && p.proof.branch == nil {
			return
		}
		if stopped() && k >= 4 {
			return
		}
		if w.opt.Rounds == 0 && w.stale(p) {
			w.beginProof(p)
		}
		if w.opt.Rounds == 0 && solved {
			p.pace.wait(p.proof.spent, len(p.items))
		}
		w.desks <- struct{}{}
		more := p.proof.round(w.toBeat(p), stopped)
		<-w.desks
		p.bound.Store(bits(p.proof.bound()))
		if w.opt.Rounds == 0 {
			w.takeOffer(p)
		}
		if !more {
			return
		}
	}
}

// toBeat is the cost from which plans of a part need no proof. By rounds it is
// out of reach, for how far the search is must not matter.
func (w *work) toBeat(p *part) float64 {
	if w.opt.Rounds > 0 {
		return math.Inf(1)
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	return p.cost
}
