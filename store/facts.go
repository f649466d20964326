package store

import (
	"context"
	"fmt"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/trace"
)

// Facts returns facts newest first, by when they happened. A query by release
// or for rolls includes the corrections of its facts.
func (s *Store) Facts(ctx context.Context, q desk.FactQuery) ([]trace.Fact, error) {
	var args []any
	arg := func(v any) string {
		args = append(args, v)
		return fmt.Sprintf("$%d", len(args))
	}
	with := ""
	var where []string
	if q.Release != (ident.Release{}) {
		with = `WITH RECURSIVE start (id) AS (SELECT id FROM facts WHERE release <> '' AND release = ` + arg(q.Release.String()) + `)` + about
		where = append(where, `id IN (SELECT id FROM about)`)
	}
	if q.Rolls {
		with = `WITH RECURSIVE start (id) AS (` + ofRolls + `)` + about
		where = append(where, `id IN (SELECT id FROM about)`)
	}
	if q.ID != "" {
		where = append(where, `id = `+arg(q.ID))
	}
	if q.Plan != 0 {
		where = append(where, `plan = `+arg(q.Plan))
	}
	if q.Run != 0 {
		where = append(where, `run > 0 AND run = `+arg(q.Run)) // the index holds no others
	}
	if q.Machine != "" {
		where = append(where, `machine = `+arg(q.Machine))
	}
	if !q.Since.IsZero() {
		where = append(where, `at >= `+arg(stamped(q.Since)))
	}
	query := with + ` SELECT body FROM facts`
	if len(where) > 0 {
		query += ` WHERE ` + strings.Join(where, ` AND `)
	}
	query += ` ORDER BY at DESC, seq DESC`
	if q.Limit > 0 {
		query += ` LIMIT ` + arg(q.Limit)
	}
	rows, err := s.read.QueryContext(ctx, query, args...)
	if err != nil {
		return nil, fmt.Errorf("facts: %w", err)
	}
	var out []trace.Fact
	err = eachFact(rows, func(f trace.Fact) error { out = append(out, f); return nil })
	return out, err
}
