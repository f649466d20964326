package store

import (
	"context"
	"fmt"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
)

// Force puts a plan in force for an area.
func (s *Store) Force(ctx context.Context, f desk.InForce) error {
	_, err := s.write.ExecContext(ctx, `INSERT INTO plan_in_force (area, plan, at, who) VALUES ($1, $2, $3, $4)`,
		f.Area, f.Plan, stamped(f.At), f.Who)
	if err != nil {
		return fmt.Errorf("put plan %d in force for %s: %w", f.Plan, f.Area, err)
	}
	return nil
}

// Forced returns what was put in force, newest first; area "" means all areas.
func (s *Store) Forced(ctx context.Context, area string) ([]desk.InForce, error) {
	rows, err := s.read.QueryContext(ctx,
		`SELECT area, plan, at, who FROM plan_in_force WHERE $1 = '' OR area = $1 ORDER BY seq DESC`, area)
	if err != nil {
		return nil, fmt.Errorf("in force: %w", err)
	}
	defer rows.Close()
	var out []desk.InForce
	for rows.Next() {
		var f desk.InForce
		var at string
		if err := rows.Scan(&f.Area, &f.Plan, &at, &f.Who); err != nil {
			return nil, err
		}
		if f.At, err = unstamped(at); err != nil {
			return nil, err
		}
		out = append(out, f)
	}
	return out, rows.Err()
}

// Ruling returns the newest plan in force per area.
func (s *Store) Ruling(ctx context.Context) (map[string]ident.Plan, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT area, plan FROM plan_in_force
		 WHERE seq IN (SELECT max(seq) FROM plan_in_force GROUP BY area)`)
	if err != nil {
		return nil, fmt.Errorf("in force: %w", err)
	}
	defer rows.Close()
	out := map[string]ident.Plan{}
	for rows.Next() {
		var area string
		var id ident.Plan
		if err := rows.Scan(&area, &id); err != nil {
			return nil, err
		}
		out[area] = id
	}
	return out, rows.Err()
}
