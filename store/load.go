package store

import (
	"context"
	"database/sql"
	"fmt"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/trace"
)

// Load shows v everything after a revision in one consistent view; see desk.Store.
func (s *Store) Load(ctx context.Context, after int64, since time.Time, v desk.Visitor) (int64, error) {
	tx, err := s.read.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return 0, fmt.Errorf("load: %w", err)
	}
	defer tx.Rollback() //nolint:errcheck // it only reads
	n, err := revision(ctx, tx)
	if err != nil {
		return 0, err
	}
	touched := map[trace.Subject]bool{}
	if err := loadEntries(ctx, tx, after, since, v, touched); err != nil {
		return 0, fmt.Errorf("load entries: %w", err)
	}
	if v.Also != nil && after > 0 {
		for _, t := range v.Also() {
			touched[t] = true
		}
	}
	if err := loadFacts(ctx, tx, after, v, touched); err != nil {
		return 0, fmt.Errorf("load facts: %w", err)
	}
	return n, nil
}

func loadEntries(ctx context.Context, tx *sql.Tx, after int64, since time.Time, v desk.Visitor, touched map[trace.Subject]bool) error {
	const some = `SELECT kind, key, version, body, changed_at, changed_by FROM entries WHERE revision > $1`
	const all = `SELECT kind, key, version, body, changed_at, changed_by FROM entries
		WHERE revision > $1 AND body IS NOT NULL AND (asleep = 0 OR changed_at >= $2) ORDER BY kind, key`
	query, args := some, []any{after}
	if after == 0 {
		query, args = all, []any{after, stamped(since)}
	}
	rows, err := tx.QueryContext(ctx, query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		e, err := scanEntry(rows)
		if err != nil {
			return err
		}
		if e.Kind == desk.KindLine && e.Body != nil {
			r, err := ident.ParseRelease(e.Key)
			if err != nil {
				return err
			}
			touched[trace.Subject{Release: r}] = true
		}
		if err := v.Entry(e); err != nil {
			return err
		}
	}
	return rows.Err()
}
