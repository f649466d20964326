package store

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/loads"
	"github.com/flutewright/flutewright/plant/trace"
)

// What must never change cannot be changed, even by a statement that we do not have.
func TestTriggersHold(t *testing.T) {
	s := open(t, t.TempDir())
	apply(t, s, change(item("A", 0, `{}`)))
	apply(t, s, facts(fact("f1", trace.RunEnded, 500)))
	id := endedPlan(t, s, desk.PlanReady)
	if err := s.Force(t.Context(), desk.InForce{Area: "corrugator", Plan: id, At: noon, Who: "Ana"}); err != nil {
		t.Fatal(err)
	}
	for _, q := range []string{
		`UPDATE facts SET body = '{}'`, `DELETE FROM facts`, `REPLACE INTO facts SELECT * FROM facts`,
		`UPDATE history SET who = 'Bo'`, `DELETE FROM history`,
		`UPDATE plans SET head = '{}'`, `UPDATE plans SET state = 'running'`, `DELETE FROM plans`,
		`UPDATE plan_in_force SET plan = 2`, `DELETE FROM plan_in_force`, `DELETE FROM entries`,
	} {
		if _, err := s.write.ExecContext(t.Context(), q); err == nil || !strings.Contains(err.Error(), "never") {
			t.Errorf("%s: %v", q, err)
		}
	}
	if _, err := s.read.ExecContext(t.Context(), `INSERT INTO revision (n) VALUES (9)`); err == nil {
		t.Error("a reading connection can write")
	}
	if err := s.Force(t.Context(), desk.InForce{Area: "corrugator", Plan: 99, At: noon}); err == nil {
		t.Error("a plan that is not there was put in force")
	}
}

// A plan is open to change while it runs or waits to be started again, never after its end.
func TestAnEndedPlanIsNeverChanged(t *testing.T) {
	for state, changes := range map[desk.PlanState]bool{
		desk.PlanRunning: true, desk.PlanInterrupted: true,
		desk.PlanReady: false, desk.PlanCancelled: false, desk.PlanFailed: false,
	} {
		s := open(t, t.TempDir())
		endedPlan(t, s, state)
		for _, q := range []string{`UPDATE plans SET body = NULL`, `REPLACE INTO plans SELECT * FROM plans`} {
			_, err := s.write.ExecContext(t.Context(), q)
			if may := changes && !strings.HasPrefix(q, "REPLACE"); may != (err == nil) {
				t.Errorf("%s of a plan that is %s: %v", q, state, err)
			}
		}
	}
}

func endedPlan(t *testing.T, s *Store, state desk.PlanState) ident.Plan {
	t.Helper()
	h := desk.PlanHead{Started: noon, Who: "Ana", State: desk.PlanRunning, Options: desk.PlanOptions{Seed: 7}}
	var err error
	if h.ID, err = s.NewPlan(t.Context(), h); err != nil {
		t.Fatal(err)
	}
	h.State, h.Ended = state, noon.Add(time.Minute)
	p := &plan.Plan{Now: noon}
	for range 400 { // large enough to be kept compressed
		p.Loads = append(p.Loads, loads.Load{Release: j1, Boxes: 100})
	}
	if err := s.EndPlan(t.Context(), h, p); err != nil {
		t.Fatal(err)
	}
	return h.ID
}

func TestPlans(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	first := endedPlan(t, s, desk.PlanReady)
	running, err := s.NewPlan(t.Context(), desk.PlanHead{Started: noon, State: desk.PlanRunning, Options: desk.PlanOptions{Seed: 8}})
	if err != nil {
		t.Fatal(err)
	}
	p, h, err := s.Plan(t.Context(), first)
	if err != nil || len(p.Loads) != 400 || h.State != desk.PlanReady || h.Options.Seed != 7 || h.ID != first {
		t.Fatalf("%+v, %v", h, err)
	}
	if err := s.EndPlan(t.Context(), h, nil); !errors.Is(err, fault.Conflict) {
		t.Errorf("ending a plan twice: %v", err)
	}
	if _, _, err := s.Plan(t.Context(), 99); !errors.Is(err, fault.NotFound) {
		t.Errorf("no such plan: %v", err)
	}
	s.Close()

	s = open(t, dir) // the process died while a plan ran
	heads, err := s.PlanHeads(t.Context())
	if err != nil || len(heads) != 2 || heads[0].ID != running || heads[0].State != desk.PlanInterrupted || heads[1].State != desk.PlanReady {
		t.Fatalf("%+v, %v", heads, err)
	}
	heads[0].State = desk.PlanRunning
	if err := s.RestartPlan(t.Context(), heads[0]); err != nil {
		t.Error(err)
	}
	if err := s.RestartPlan(t.Context(), heads[0]); !errors.Is(err, fault.Conflict) {
		t.Errorf("starting again what runs: %v", err)
	}
}

func TestInForceKeepsItsRecord(t *testing.T) {
	s := open(t, t.TempDir())
	a, b := endedPlan(t, s, desk.PlanReady), endedPlan(t, s, desk.PlanCancelled)
	for _, f := range []desk.InForce{{Area: "corrugator", Plan: a}, {Area: "FFG-1", Plan: a}, {Area: "corrugator", Plan: b}} {
		f.At, f.Who = noon, "Ana"
		if err := s.Force(t.Context(), f); err != nil {
			t.Fatal(err)
		}
	}
	if now, err := s.Ruling(t.Context()); err != nil || now["corrugator"] != b || now["FFG-1"] != a || len(now) != 2 {
		t.Errorf("%v, %v", now, err)
	}
	if record, err := s.Forced(t.Context(), "corrugator"); err != nil || len(record) != 2 || record[0].Plan != b {
		t.Errorf("%v, %v", record, err)
	}
}
