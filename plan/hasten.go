package plan

import (
	"context"
	"maps"
	"time"

	"github.com/flutewright/flutewright/base/quantity"
)

const (
	hastenTries = 4             // sequences tried for orders that come out late
	hastenStep  = 3 * time.Hour // how much earlier each try wants them off the corrugator
	hastenRuns  = 400           // a longer plan is left as it is: each try costs seconds there
)

// hasten tries other sequences of the same runs while orders are late: those
// orders are wanted off the corrugator earlier by a step more each time. The
// cheapest of the plans tried, changes, presses and lateness together, stays.
func (m *maker) hasten(ctx context.Context, p *Plan) error {
	if len(p.Runs) == 0 || len(p.Runs) > hastenRuns {
		return nil
	}
	exits := maps.Clone(m.exits)
	best, ready := *p, m.ready
	for range hastenTries {
		late := false
		for _, f := range p.Clock.Finishes {
			if f.Late > 0 && !f.Overdue {
				late = true
				l := exits[f.Release]
				l.Exit = l.Exit.Add(-hastenStep)
				exits[f.Release] = l
			}
		}
		if !late {
			break
		}
		var err error
		if p.Answer, m.ready, err = sequenced(ctx, m.ix, m.trim, p.Answer, planned(m.ws), exits, m.opt); err != nil {
			return err
		}
		if err := m.clock(ctx, p); err != nil {
			return err
		}
		if whole(p) < whole(&best) {
			best, ready = *p, m.ready
		}
	}
	*p, m.ready = best, ready
	return nil
}

// whole is what a plan costs at all its stations.
func whole(p *Plan) quantity.Money { return p.Totals.Cost + p.Clock.Cost + p.Clock.LateCost }
