package web_test

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"sync"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/trace"
)

// memory keeps book, plans and ledger for a test; the real store has tests of its own.
type memory struct {
	mu       sync.Mutex
	revision int64
	entries  map[string]desk.Entry
	at       map[string]int64 // revision of an entry's last change
	history  map[string][]desk.Edit
	facts    []trace.Fact
	factAt   []int64
	staged   []desk.Staged
	heads    []desk.PlanHead
	plans    map[ident.Plan]*plan.Plan
	forced   []desk.InForce
}

func newMemory() *memory {
	return &memory{entries: map[string]desk.Entry{}, at: map[string]int64{}, history: map[string][]desk.Edit{}, plans: map[ident.Plan]*plan.Plan{}}
}

func id(kind desk.Kind, key string) string { return string(kind) + "\x00" + key }

func (m *memory) Revision(context.Context) (int64, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.revision, nil
}

func (m *memory) Load(_ context.Context, after int64, _ time.Time, v desk.Visitor) (int64, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	var keys []string
	for k := range m.entries {
		if m.at[k] > after {
			keys = append(keys, k)
		}
	}
	slices.Sort(keys)
	for _, k := range keys {
		if err := v.Entry(m.entries[k]); err != nil {
			return 0, err
		}
	}
	touched := map[trace.Subject]bool{}
	if v.Also != nil && after > 0 {
		for _, t := range v.Also() {
			touched[t] = true
		}
	}
	corrected := false
	for i, f := range m.facts {
		corrected = corrected || m.factAt[i] > after && f.Kind == trace.Correction
	}
	for i, f := range m.facts {
		if m.factAt[i] > after || corrected { // what a correction takes back is anew as well
			for _, t := range trace.SubjectsOf(f) {
				touched[t] = true
			}
		}
	}
	for t := range touched {
		v.Touched(t)
	}
	for _, f := range m.facts {
		if err := v.Fact(f); err != nil {
			return 0, err
		}
	}
	return m.revision, nil
}

func (m *memory) Entry(_ context.Context, kind desk.Kind, key string) (desk.Entry, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	e, ok := m.entries[id(kind, key)]
	if !ok || e.Body == nil {
		return e, fmt.Errorf("%s %s: %w", kind, key, fault.NotFound)
	}
	return e, nil
}

func (m *memory) Apply(_ context.Context, c desk.Change) (int, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, p := range c.Puts {
		if e := m.entries[id(p.Kind, p.Key)]; e.Version != p.Version {
			return 0, &desk.Stale{Kind: p.Kind, Key: p.Key, Seen: p.Version, Now: e.Version, Yours: p.Body, Theirs: e.Body, At: e.Changed, By: e.By}
		}
	}
	if c.Confirms > 0 {
		if m.staged[c.Confirms-1].Confirmed {
			return 0, fault.Conflict
		}
		m.staged[c.Confirms-1].Confirmed = true
	}
	m.revision++
	for _, p := range c.Puts {
		k := id(p.Kind, p.Key)
		edit := desk.Edit{At: c.At, Who: c.Who, Why: c.Why, Version: p.Version + 1, Before: m.entries[k].Body, After: p.Body}
		m.history[k] = append([]desk.Edit{edit}, m.history[k]...)
		m.entries[k] = desk.Entry{Kind: p.Kind, Key: p.Key, Version: p.Version + 1, Body: p.Body, Changed: c.At, By: c.Who}
		m.at[k] = m.revision
	}
	fresh := 0
	for _, f := range c.Facts {
		if slices.ContainsFunc(m.facts, func(o trace.Fact) bool { return o.ID == f.ID }) {
			continue
		}
		m.facts, m.factAt = append(m.facts, f), append(m.factAt, m.revision)
		fresh++
	}
	return fresh, nil
}

func (m *memory) History(_ context.Context, kind desk.Kind, key string) ([]desk.Edit, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.history[id(kind, key)], nil
}

func (m *memory) Stage(_ context.Context, s desk.Staged) (int64, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	s.ID = int64(len(m.staged)) + 1
	m.staged = append(m.staged, s)
	return s.ID, nil
}

func (m *memory) Staged(_ context.Context, n int64) (desk.Staged, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if n < 1 || n > int64(len(m.staged)) {
		return desk.Staged{}, fmt.Errorf("import %d: %w", n, fault.NotFound)
	}
	return m.staged[n-1], nil
}

func (m *memory) NewPlan(_ context.Context, h desk.PlanHead) (ident.Plan, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	h.ID = ident.Plan(len(m.heads) + 1)
	m.heads = append(m.heads, h)
	return h.ID, nil
}

func (m *memory) RestartPlan(_ context.Context, h desk.PlanHead) error { return m.set(h, nil) }

func (m *memory) EndPlan(_ context.Context, h desk.PlanHead, p *plan.Plan) error { return m.set(h, p) }

func (m *memory) set(h desk.PlanHead, p *plan.Plan) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.heads[h.ID-1] = h
	if p != nil {
		b, err := json.Marshal(p) // as a store does: what is read back has gone through JSON
		if err != nil {
			return err
		}
		kept := &plan.Plan{}
		if err := json.Unmarshal(b, kept); err != nil {
			return err
		}
		m.plans[h.ID] = kept
	}
	return nil
}

func (m *memory) PlanHead(_ context.Context, n ident.Plan) (desk.PlanHead, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if n < 1 || int(n) > len(m.heads) {
		return desk.PlanHead{}, fmt.Errorf("plan %d: %w", n, fault.NotFound)
	}
	return m.heads[n-1], nil
}

func (m *memory) Plan(ctx context.Context, n ident.Plan) (*plan.Plan, desk.PlanHead, error) {
	h, err := m.PlanHead(ctx, n)
	if err != nil {
		return nil, h, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.plans[n], h, nil
}

func (m *memory) PlanHeads(context.Context) ([]desk.PlanHead, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	out := slices.Clone(m.heads)
	slices.Reverse(out)
	return out, nil
}

func (m *memory) Force(_ context.Context, f desk.InForce) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.forced = append([]desk.InForce{f}, m.forced...)
	return nil
}

func (m *memory) Forced(_ context.Context, area string) ([]desk.InForce, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	var out []desk.InForce
	for _, f := range m.forced {
		if area == "" || f.Area == area {
			out = append(out, f)
		}
	}
	return out, nil
}

func (m *memory) Ruling(context.Context) (map[string]ident.Plan, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	out := map[string]ident.Plan{}
	for _, f := range slices.Backward(m.forced) {
		out[f.Area] = f.Plan
	}
	return out, nil
}

func (m *memory) Facts(_ context.Context, q desk.FactQuery) ([]trace.Fact, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	var out []trace.Fact
	for _, f := range slices.Backward(m.facts) {
		if (q.ID == "" || q.ID == f.ID) && (q.Release == ident.Release{} || q.Release == f.Release) && (q.Plan == 0 || q.Plan == f.Plan) && (q.Run == 0 || q.Run == f.Run) &&
			(q.Machine == "" || q.Machine == f.Machine) && !f.At.Before(q.Since) && (!q.Rolls || f.Roll != "" || f.Kind == trace.Correction) && len(out) < q.Limit {
			out = append(out, f)
		}
	}
	return out, nil
}

// worker runs work in goroutines of its own.
type worker struct {
	mu   sync.Mutex
	stop map[string]context.CancelFunc
}

func (w *worker) Start(id string, f func(context.Context) error, done func(error)) error {
	ctx, stop := context.WithCancel(context.Background())
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.stop == nil {
		w.stop = map[string]context.CancelFunc{}
	}
	w.stop[id] = stop
	go func() { done(f(ctx)) }()
	return nil
}

func (w *worker) Cancel(id string) bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	stop, ok := w.stop[id]
	if ok {
		stop()
	}
	return ok
}

// Copy writes the ledger; the real store's copy has tests of its own.
func (m *memory) Copy(_ context.Context, w io.Writer) (desk.Copied, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return desk.Copied{Facts: int64(len(m.facts))}, json.NewEncoder(w).Encode(m.facts)
}
