package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/desk"
)

// Revision returns the number of the newest state of book and ledger.
func (s *Store) Revision(ctx context.Context) (int64, error) { return revision(ctx, s.read) }

// querier is a database or a transaction.
type querier interface {
	QueryContext(ctx context.Context, q string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, q string, args ...any) *sql.Row
}

func revision(ctx context.Context, q querier) (n int64, err error) {
	if err := q.QueryRowContext(ctx, `SELECT n FROM revision`).Scan(&n); err != nil {
		return 0, fmt.Errorf("revision: %w", err)
	}
	return n, nil
}

// bump gives the change in tx its revision.
func bump(ctx context.Context, tx *sql.Tx) (n int64, err error) {
	if err := tx.QueryRowContext(ctx, `UPDATE revision SET n = n + 1 RETURNING n`).Scan(&n); err != nil {
		return 0, fmt.Errorf("revision: %w", err)
	}
	return n, nil
}

func scanEntry(row interface{ Scan(...any) error }) (e desk.Entry, err error) {
	var text sql.NullString
	var at string
	if err := row.Scan(&e.Kind, &e.Key, &e.Version, &text, &at, &e.By); err != nil {
		return e, err
	}
	if text.Valid {
		e.Body = json.RawMessage(text.String)
	}
	e.Changed, err = unstamped(at)
	return e, err
}

// Entry returns one entry. fault.NotFound.
func (s *Store) Entry(ctx context.Context, kind desk.Kind, key string) (desk.Entry, error) {
	e, err := scanEntry(s.read.QueryRowContext(ctx,
		`SELECT kind, key, version, body, changed_at, changed_by FROM entries WHERE kind = $1 AND key = $2`, kind, key))
	if errors.Is(err, sql.ErrNoRows) || err == nil && e.Body == nil {
		return desk.Entry{}, fmt.Errorf("%s %s: %w", kind, key, fault.NotFound)
	}
	if err != nil {
		return desk.Entry{}, fmt.Errorf("%s %s: %w", kind, key, err)
	}
	return e, nil
}

// History returns the edits of one entry, newest first.
func (s *Store) History(ctx context.Context, kind desk.Kind, key string) ([]desk.Edit, error) {
	rows, err := s.read.QueryContext(ctx,
		`SELECT version, at, who, why, before, after FROM history WHERE kind = $1 AND key = $2 ORDER BY version DESC`, kind, key)
	if err != nil {
		return nil, fmt.Errorf("history of %s %s: %w", kind, key, err)
	}
	defer rows.Close()
	var out []desk.Edit
	for rows.Next() {
		var e desk.Edit
		var at string
		var before, after sql.NullString
		if err := rows.Scan(&e.Version, &at, &e.Who, &e.Why, &before, &after); err != nil {
			return nil, err
		}
		if e.At, err = unstamped(at); err != nil {
			return nil, err
		}
		if before.Valid {
			e.Before = json.RawMessage(before.String)
		}
		if after.Valid {
			e.After = json.RawMessage(after.String)
		}
		out = append(out, e)
	}
	return out, rows.Err()
}
