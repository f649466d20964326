package store

import (
	"context"
	"database/sql"
	"encoding/json"
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
	touched := map[string]bool{}
	if err := loadEntries(ctx, tx, after, since, v, touched); err != nil {
		return 0, fmt.Errorf("load entries: %w", err)
	}
	if err := loadFacts(ctx, tx, after, v, touched); err != nil {
		return 0, fmt.Errorf("load facts: %w", err)
	}
	return n, nil
}

func loadEntries(ctx context.Context, tx *sql.Tx, after int64, since time.Time, v desk.Visitor, touched map[string]bool) error {
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
			touched[e.Key] = true
		}
		if err := v.Entry(e); err != nil {
			return err
		}
	}
	return rows.Err()
}

// holds are the facts of holds: they are shown with every load, for there are few.
const holds = `SELECT id FROM facts WHERE kind IN ('held', 'released from hold')`

// about is the facts of a query called start, with all that takes them back,
// however long the chain of corrections.
const about = `,
	about (id) AS (
		SELECT id FROM start
		UNION
		SELECT f.id FROM facts f JOIN about a ON f.corrects = a.id WHERE f.corrects <> '')`

func loadFacts(ctx context.Context, tx *sql.Tx, after int64, v desk.Visitor, touched map[string]bool) error {
	if after > 0 {
		if err := touchedByFacts(ctx, tx, after, touched); err != nil {
			return err
		}
	}
	keys := make([]string, 0, len(touched))
	for k := range touched {
		r, err := ident.ParseRelease(k)
		if err != nil {
			return err
		}
		v.Touched(r)
		keys = append(keys, k)
	}
	list, err := json.Marshal(keys)
	if err != nil {
		return err
	}
	rows, err := tx.QueryContext(ctx, `WITH RECURSIVE touched (release) AS (SELECT value FROM json_each($1)), start (id) AS (
			SELECT id FROM facts WHERE release <> '' AND release IN (SELECT release FROM touched) UNION `+holds+`)`+about+
		` SELECT f.body FROM about a JOIN facts f ON f.id = a.id`, string(list))
	if err != nil {
		return err
	}
	return eachFact(rows, v.Fact)
}

// touchedByFacts adds the releases whose facts, or corrections of them, are new.
func touchedByFacts(ctx context.Context, tx *sql.Tx, after int64, touched map[string]bool) error {
	rows, err := tx.QueryContext(ctx, `
		WITH RECURSIVE up (id) AS (
			SELECT id FROM facts WHERE revision > $1
			UNION
			SELECT f.corrects FROM facts f JOIN up ON f.id = up.id WHERE f.corrects <> '')
		SELECT DISTINCT f.release FROM up JOIN facts f ON f.id = up.id WHERE f.release <> ''`, after)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var key string
		if err := rows.Scan(&key); err != nil {
			return err
		}
		touched[key] = true
	}
	return rows.Err()
}

func eachFact(rows *sql.Rows, take func(trace.Fact) error) error {
	defer rows.Close()
	for rows.Next() {
		var body sql.RawBytes
		if err := rows.Scan(&body); err != nil {
			return err
		}
		var f trace.Fact
		if err := json.Unmarshal(body, &f); err != nil {
			return fmt.Errorf("fact: %w", err)
		}
		if err := take(f); err != nil {
			return err
		}
	}
	return rows.Err()
}
