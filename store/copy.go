package store

import (
	"bufio"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/flutewright/flutewright/desk"
)

// A copy is gzipped text, one JSON value a line: its head, then every row of
// every table, then its foot with the rows' number and checksum, without which
// it is not whole. Bytes stand as {"bytes": base64}.
type (
	copyHead struct {
		Copy   string `json:"copy"` // copyName
		Schema int64  `json:"schema"`
	}
	copyRow struct {
		Table string         `json:"table"`
		Row   map[string]any `json:"row"`
	}
	copyFoot struct {
		Rows int64  `json:"rows"`
		Sum  string `json:"sha256"` // of all lines before
	}
	copyBytes struct {
		Bytes []byte `json:"bytes"`
	}
)

const copyName = "flutewright data"

// Copy writes everything that is kept, as it stands at one moment, while the
// desk goes on working.
func (s *Store) Copy(ctx context.Context, w io.Writer) (desk.Copied, error) {
	tx, err := s.read.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return desk.Copied{}, fmt.Errorf("copy: %w", err)
	}
	defer tx.Rollback() //nolint:errcheck // it only reads
	zip := gzip.NewWriter(w)
	buffered := bufio.NewWriter(zip)
	sum := sha256.New()
	out := json.NewEncoder(io.MultiWriter(buffered, sum))
	done, err := copyTables(ctx, tx, out)
	if err != nil {
		return done, fmt.Errorf("copy: %w", err)
	}
	if err := out.Encode(copyFoot{done.Rows, hex.EncodeToString(sum.Sum(nil))}); err != nil {
		return done, fmt.Errorf("copy: %w", err)
	}
	if err := buffered.Flush(); err != nil {
		return done, fmt.Errorf("copy: %w", err)
	}
	return done, zip.Close()
}

func copyTables(ctx context.Context, tx *sql.Tx, out *json.Encoder) (done desk.Copied, err error) {
	head := copyHead{Copy: copyName}
	if err := tx.QueryRowContext(ctx, `SELECT max(version_id) FROM goose_db_version WHERE is_applied = 1`).Scan(&head.Schema); err != nil {
		return done, err
	}
	if err := out.Encode(head); err != nil {
		return done, err
	}
	names, err := tables(ctx, tx)
	if err != nil {
		return done, err
	}
	for _, name := range names {
		n, err := copyTable(ctx, tx, name, out)
		if err != nil {
			return done, fmt.Errorf("%s: %w", name, err)
		}
		done.Rows += n
		switch name {
		case "entries":
			done.Entries = n
		case "plans":
			done.Plans = n
		case "facts":
			done.Facts = n
		}
	}
	return done, nil
}

// query is what a transaction and a database have in common here.
type query interface {
	QueryContext(ctx context.Context, q string, args ...any) (*sql.Rows, error)
}

// tables lists the tables of the schema that hold data, parents before what refers to them.
func tables(ctx context.Context, q query) ([]string, error) {
	rows, err := q.QueryContext(ctx, `SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite%' AND name NOT LIKE 'goose%' ORDER BY rowid`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []string
	for rows.Next() {
		var name string
		if err := rows.Scan(&name); err != nil {
			return nil, err
		}
		out = append(out, name)
	}
	return out, rows.Err()
}

func copyTable(ctx context.Context, tx *sql.Tx, name string, out *json.Encoder) (n int64, err error) {
	rows, err := tx.QueryContext(ctx, `SELECT * FROM `+quoted(name)+` ORDER BY rowid`)
	if err != nil {
		return 0, err
	}
	defer rows.Close()
	columns, err := rows.Columns()
	if err != nil {
		return 0, err
	}
	values, places := make([]any, len(columns)), make([]any, len(columns))
	for i := range values {
		places[i] = &values[i]
	}
	for ; rows.Next(); n++ {
		if err := rows.Scan(places...); err != nil {
			return n, err
		}
		row := make(map[string]any, len(columns))
		for i, c := range columns {
			row[c] = values[i]
			if b, ok := values[i].([]byte); ok {
				row[c] = copyBytes{b}
			}
		}
		if err := out.Encode(copyRow{name, row}); err != nil {
			return n, err
		}
	}
	return n, rows.Err()
}

func quoted(name string) string { return `"` + strings.ReplaceAll(name, `"`, `""`) + `"` }
