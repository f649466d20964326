package desk

import (
	"context"
	"fmt"
	"sync"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/runs"
)

// explanations keeps what was said of plans; a plan never changes.
type explanations struct {
	mu   sync.Mutex
	said map[ident.Plan]runs.Explained
}

// explainSeconds is how long after the asking nothing new is begun.
const explainSeconds = 10.0

// Explained is what was said of a plan before; false where nobody has asked.
func (d *Desk) Explained(id ident.Plan) (runs.Explained, bool) {
	d.explained.mu.Lock()
	defer d.explained.mu.Unlock()
	e, said := d.explained.said[id]
	return e, said
}

// Explain works out what frees each unplanned order of a plan, why each run is
// on its web, and which other plans there are, and keeps it. It takes seconds.
// fault.Conflict where the book has changed since, fault.NotFound without the plan.
func (d *Desk) Explain(ctx context.Context, id ident.Plan) (runs.Explained, error) {
	p, h, err := d.Plan(ctx, id)
	if err != nil {
		return runs.Explained{}, err
	}
	s, err := d.Snapshot(ctx)
	if err != nil {
		return runs.Explained{}, err
	}
	if len(s.Plant.Freezes) > 0 && s.Revision != h.Revision {
		return runs.Explained{}, fmt.Errorf("the book has changed since this plan was made, and what was frozen then is not kept; plan again: %w", fault.Conflict)
	}
	front, err := d.front(ctx, h, s.Book)
	if err != nil {
		return runs.Explained{}, err
	}
	e, err := plan.Explain(ctx, s.Book, p, plan.Options{Choices: h.Options.Choices, Front: front}, runs.ExplainOptions{Seconds: explainSeconds})
	if err != nil {
		return runs.Explained{}, err
	}
	d.explained.mu.Lock()
	defer d.explained.mu.Unlock()
	if d.explained.said == nil || len(d.explained.said) > cachedPlans*4 {
		d.explained.said = map[ident.Plan]runs.Explained{}
	}
	d.explained.said[id] = e
	return e, nil
}
