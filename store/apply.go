package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/trace"
)

// Apply takes a change in one transaction; see desk.Store.
func (s *Store) Apply(ctx context.Context, c desk.Change) (newFacts int, err error) {
	err = s.inTx(ctx, func(tx *sql.Tx) error {
		n, err := bump(ctx, tx)
		if err != nil {
			return err
		}
		if c.Confirms != 0 {
			if err := confirm(ctx, tx, c); err != nil {
				return err
			}
		}
		if err := applyPuts(ctx, tx, c, n); err != nil {
			return err
		}
		newFacts, err = addFacts(ctx, tx, c, n)
		if err == nil && len(c.Puts) == 0 && c.Confirms == 0 && newFacts == 0 {
			return errNothing
		}
		return err
	})
	if errors.Is(err, errNothing) {
		return 0, nil
	}
	return newFacts, err
}

// errNothing rolls back a change that changes nothing, so that the revision stays.
var errNothing = errors.New("nothing new")

func confirm(ctx context.Context, tx *sql.Tx, c desk.Change) error {
	res, err := tx.ExecContext(ctx,
		`UPDATE staged SET confirmed_at = $1, confirmed_by = $2 WHERE id = $3 AND confirmed_at IS NULL`,
		stamped(c.At), c.Who, c.Confirms)
	if err != nil {
		return err
	}
	if n, err := res.RowsAffected(); err != nil || n == 1 {
		return err
	}
	return fmt.Errorf("import %d was taken before: %w", c.Confirms, fault.Conflict)
}

func applyPuts(ctx context.Context, tx *sql.Tx, c desk.Change, revision int64) error {
	if len(c.Puts) == 0 {
		return nil
	}
	w, err := newPutWriter(ctx, tx)
	if err != nil {
		return err
	}
	defer w.close()
	for _, p := range c.Puts {
		if err := w.put(ctx, c, p, revision); err != nil {
			return err
		}
	}
	return nil
}

// putWriter holds the prepared statements of a change.
type putWriter struct {
	now, enter, alter, note *sql.Stmt
}

func newPutWriter(ctx context.Context, tx *sql.Tx) (w putWriter, err error) {
	prepare := func(q string) *sql.Stmt {
		if err != nil {
			return nil
		}
		var st *sql.Stmt
		st, err = tx.PrepareContext(ctx, q)
		return st
	}
	w.now = prepare(`SELECT kind, key, version, body, changed_at, changed_by FROM entries WHERE kind = $1 AND key = $2`)
	w.enter = prepare(`INSERT INTO entries (kind, key, version, body, asleep, revision, changed_at, changed_by)
		VALUES ($1, $2, 1, $3, $4, $5, $6, $7)`)
	w.alter = prepare(`UPDATE entries SET version = version + 1, body = $3, asleep = $4, revision = $5, changed_at = $6, changed_by = $7
		WHERE kind = $1 AND key = $2 AND version = $8`)
	w.note = prepare(`INSERT INTO history (kind, key, version, at, who, why, before, after) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`)
	return w, err
}

func (w putWriter) close() {
	for _, st := range []*sql.Stmt{w.now, w.enter, w.alter, w.note} {
		st.Close()
	}
}

// put writes one entry and its history, or returns *desk.Stale.
func (w putWriter) put(ctx context.Context, c desk.Change, p desk.Put, revision int64) error {
	now, err := scanEntry(w.now.QueryRowContext(ctx, p.Kind, p.Key))
	missing := errors.Is(err, sql.ErrNoRows)
	if err != nil && !missing {
		return fmt.Errorf("%s %s: %w", p.Kind, p.Key, err)
	}
	seen := now.Version
	if now.Body == nil {
		seen = 0 // what was removed may be entered anew
	}
	if p.Version != seen || missing && p.Body == nil {
		return &desk.Stale{
			Kind: p.Kind, Key: p.Key, Seen: p.Version, Now: now.Version,
			Yours: p.Body, Theirs: now.Body, At: now.Changed, By: now.By,
		}
	}
	args := []any{p.Kind, p.Key, textOf(p.Body), p.Asleep, revision, stamped(c.At), c.Who}
	if missing {
		_, err = w.enter.ExecContext(ctx, args...)
	} else {
		_, err = w.alter.ExecContext(ctx, append(args, now.Version)...)
	}
	if err == nil {
		_, err = w.note.ExecContext(ctx, p.Kind, p.Key, now.Version+1, stamped(c.At), c.Who, c.Why, textOf(now.Body), textOf(p.Body))
	}
	if err != nil {
		return fmt.Errorf("%s %s: %w", p.Kind, p.Key, err)
	}
	return nil
}

func textOf(b json.RawMessage) any {
	if b == nil {
		return nil
	}
	return string(b)
}

// addFacts adds the facts whose ids are new and returns how many.
func addFacts(ctx context.Context, tx *sql.Tx, c desk.Change, revision int64) (fresh int, err error) {
	for _, f := range c.Facts {
		body, err := json.Marshal(f)
		if err != nil {
			return 0, fmt.Errorf("fact %s: %w", f.ID, err)
		}
		res, err := tx.ExecContext(ctx, `
			INSERT INTO facts (id, at, kind, release, plan, run, machine, corrects, body, revision, recorded_at)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11) ON CONFLICT (id) DO NOTHING`,
			f.ID, stamped(f.At), f.Kind, releaseText(f), f.Plan, f.Run, f.Machine, f.Corrects, string(body), revision, stamped(c.At))
		if err != nil {
			return 0, fmt.Errorf("fact %s: %w", f.ID, err)
		}
		n, err := res.RowsAffected()
		if err != nil {
			return 0, err
		}
		if n == 0 {
			if err := sameFact(ctx, tx, f, body); err != nil {
				return 0, err
			}
		}
		fresh += int(n)
	}
	return fresh, nil
}

func releaseText(f trace.Fact) string {
	if f.Release.Order == "" {
		return ""
	}
	return f.Release.String()
}
