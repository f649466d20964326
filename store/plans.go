package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
)

// NewPlan keeps a running plan's head under a new number.
func (s *Store) NewPlan(ctx context.Context, h desk.PlanHead) (id ident.Plan, err error) {
	head, err := json.Marshal(h)
	if err != nil {
		return 0, fmt.Errorf("new plan: %w", err)
	}
	err = s.inTx(ctx, func(tx *sql.Tx) error {
		return tx.QueryRowContext(ctx, `INSERT INTO plans (state, started, who, head) VALUES ($1, $2, $3, $4) RETURNING number`,
			h.State, stamped(h.Started), h.Who, string(head)).Scan(&id)
	})
	if err != nil {
		return 0, fmt.Errorf("new plan: %w", err)
	}
	return id, nil
}

// RestartPlan sets an interrupted plan to running. fault.NotFound, fault.Conflict.
func (s *Store) RestartPlan(ctx context.Context, h desk.PlanHead) error {
	return s.setPlan(ctx, h, nil, desk.PlanInterrupted)
}

// EndPlan keeps how a running plan ended. fault.NotFound, fault.Conflict.
func (s *Store) EndPlan(ctx context.Context, h desk.PlanHead, p *plan.Plan) error {
	var body []byte
	if p != nil {
		var err error
		if body, err = packed(p); err != nil {
			return fmt.Errorf("plan %d: %w", h.ID, err)
		}
	}
	return s.setPlan(ctx, h, body, desk.PlanRunning)
}

// setPlan moves a plan out of state from.
func (s *Store) setPlan(ctx context.Context, h desk.PlanHead, body []byte, from desk.PlanState) error {
	head, err := json.Marshal(h)
	if err != nil {
		return fmt.Errorf("plan %d: %w", h.ID, err)
	}
	var ended any
	if !h.Ended.IsZero() {
		ended = stamped(h.Ended)
	}
	err = s.inTx(ctx, func(tx *sql.Tx) error {
		res, err := tx.ExecContext(ctx,
			`UPDATE plans SET state = $1, started = $2, ended = $3, who = $4, head = $5, body = $6 WHERE number = $7 AND state = $8`,
			h.State, stamped(h.Started), ended, h.Who, string(head), body, h.ID, from)
		if err != nil {
			return err
		}
		if n, err := res.RowsAffected(); err != nil || n == 1 {
			return err
		}
		var now desk.PlanState
		err = tx.QueryRowContext(ctx, `SELECT state FROM plans WHERE number = $1`, h.ID).Scan(&now)
		if errors.Is(err, sql.ErrNoRows) {
			return fault.NotFound
		}
		if err != nil {
			return err
		}
		return fmt.Errorf("is %s, not %s: %w", now, from, fault.Conflict)
	})
	if err != nil {
		return fmt.Errorf("plan %d: %w", h.ID, err)
	}
	return nil
}

// interruptPlans marks what a dead process left running.
func (s *Store) interruptPlans(ctx context.Context) error {
	_, err := s.write.ExecContext(ctx, `UPDATE plans SET state = $1 WHERE state = $2`, desk.PlanInterrupted, desk.PlanRunning)
	return err
}

// PlanHead returns a plan's head. fault.NotFound.
func (s *Store) PlanHead(ctx context.Context, id ident.Plan) (desk.PlanHead, error) {
	h, err := scanHead(s.read.QueryRowContext(ctx, `SELECT number, state, head FROM plans WHERE number = $1`, id))
	return h, planError(id, err)
}

// Plan returns a plan; nil with its head where it has no body. fault.NotFound.
func (s *Store) Plan(ctx context.Context, id ident.Plan) (*plan.Plan, desk.PlanHead, error) {
	h, err := s.PlanHead(ctx, id)
	if err != nil {
		return nil, h, err
	}
	var body []byte
	if err := s.read.QueryRowContext(ctx, `SELECT body FROM plans WHERE number = $1`, id).Scan(&body); err != nil {
		return nil, h, planError(id, err)
	}
	if body == nil {
		return nil, h, nil
	}
	p := new(plan.Plan)
	if err := unpack(body, p); err != nil {
		return nil, h, planError(id, err)
	}
	return p, h, nil
}

// PlanHeads returns all heads, newest first.
func (s *Store) PlanHeads(ctx context.Context) ([]desk.PlanHead, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT number, state, head FROM plans ORDER BY number DESC`)
	if err != nil {
		return nil, fmt.Errorf("plans: %w", err)
	}
	defer rows.Close()
	var out []desk.PlanHead
	for rows.Next() {
		h, err := scanHead(rows)
		if err != nil {
			return nil, fmt.Errorf("plans: %w", err)
		}
		out = append(out, h)
	}
	return out, rows.Err()
}

func scanHead(row interface{ Scan(...any) error }) (h desk.PlanHead, err error) {
	var id ident.Plan
	var state desk.PlanState
	var head string
	if err := row.Scan(&id, &state, &head); err != nil {
		return h, err
	}
	err = json.Unmarshal([]byte(head), &h)
	h.ID, h.State = id, state
	return h, err
}

func planError(id ident.Plan, err error) error {
	if errors.Is(err, sql.ErrNoRows) {
		err = fault.NotFound
	}
	if err == nil {
		return nil
	}
	return fmt.Errorf("plan %d: %w", id, err)
}
