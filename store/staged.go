package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/desk"
)

// Stage keeps an import under a new number.
func (s *Store) Stage(ctx context.Context, st desk.Staged) (id int64, err error) {
	body, err := packed(st)
	if err != nil {
		return 0, fmt.Errorf("stage %s: %w", st.Name, err)
	}
	err = s.inTx(ctx, func(tx *sql.Tx) error {
		return tx.QueryRowContext(ctx, `INSERT INTO staged (name, at, who, body) VALUES ($1, $2, $3, $4) RETURNING id`,
			st.Name, stamped(st.At), st.Who, body).Scan(&id)
	})
	if err != nil {
		return 0, fmt.Errorf("stage %s: %w", st.Name, err)
	}
	return id, nil
}

// Staged returns a staged import. fault.NotFound.
func (s *Store) Staged(ctx context.Context, id int64) (desk.Staged, error) {
	var body []byte
	var at, by sql.NullString
	err := s.read.QueryRowContext(ctx, `SELECT body, confirmed_at, confirmed_by FROM staged WHERE id = $1`, id).Scan(&body, &at, &by)
	if errors.Is(err, sql.ErrNoRows) {
		return desk.Staged{}, fmt.Errorf("import %d: %w", id, fault.NotFound)
	}
	var st desk.Staged
	if err == nil {
		err = unpack(body, &st)
	}
	st.ID, st.Confirmed, st.By = id, at.Valid, by.String
	if err == nil && at.Valid {
		st.When, err = unstamped(at.String)
	}
	if err != nil {
		return desk.Staged{}, fmt.Errorf("import %d: %w", id, err)
	}
	return st, nil
}
