package store

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/pressly/goose/v3"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/desk"
)

// longestLine of a copy: a plan of several thousand runs is some 10 MB.
const longestLine = 1 << 28

// Restore makes the data folder dir from a copy, whole or not at all: the
// folder must be empty or not there. fault.Refused where it holds something or
// a newer program wrote the copy; fault.Violations for a copy that is cut
// short, changed, or none.
func Restore(ctx context.Context, dir string, r io.Reader) (done desk.Copied, err error) {
	if there, err := os.ReadDir(dir); err == nil && len(there) > 0 {
		return done, fmt.Errorf("data folder %s is not empty: name a new one: %w", dir, fault.Refused)
	} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return done, fmt.Errorf("data folder: %w", err)
	}
	beside := filepath.Clean(dir) + ".restoring"
	if err := os.Mkdir(beside, 0o700); err != nil {
		return done, fmt.Errorf("data folder: %w", err)
	}
	defer os.RemoveAll(beside)
	if done, err = restoreInto(ctx, beside, r); err != nil {
		return done, err
	}
	if err := os.Remove(dir); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return done, fmt.Errorf("data folder: %w", err)
	}
	return done, os.Rename(beside, dir)
}

func restoreInto(ctx context.Context, dir string, r io.Reader) (done desk.Copied, err error) {
	lines, err := openCopy(r)
	if err != nil {
		return done, err
	}
	db, err := connect(dir, "_txlock=immediate", 1)
	if err != nil {
		return done, err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	if err := migrateTo(ctx, db, lines.head.Schema); err != nil {
		return done, err
	}
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return done, err
	}
	defer tx.Rollback() //nolint:errcheck // after a commit it does nothing
	if done, err = restoreRows(ctx, tx, lines); err != nil {
		return done, err
	}
	if err := tx.Commit(); err != nil {
		return done, err
	}
	return done, migrate(ctx, db)
}

// migrateTo brings an empty database to the schema that a copy was made with.
func migrateTo(ctx context.Context, db *sql.DB, schema int64) error {
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	p, err := goose.NewProvider(goose.DialectSQLite3, db, files)
	if err != nil {
		return fmt.Errorf("migrations: %w", err)
	}
	_, newest, err := p.GetVersions(ctx)
	if err != nil {
		return fmt.Errorf("schema version: %w", err)
	}
	if schema > newest {
		return fmt.Errorf("copy written by a newer version of this program (schema %d, this one knows %d): use that version: %w", schema, newest, fault.Refused)
	}
	_, err = p.UpTo(ctx, schema)
	return err
}

func restoreRows(ctx context.Context, tx *sql.Tx, lines *copyLines) (done desk.Copied, err error) {
	known, err := tables(ctx, tx)
	if err != nil {
		return done, err
	}
	if _, err := tx.ExecContext(ctx, `DELETE FROM revision`); err != nil { // the row that a new schema begins with
		return done, err
	}
	for {
		row, err := lines.next()
		if errors.Is(err, io.EOF) {
			return done, nil
		}
		if err != nil {
			return done, err
		}
		if !slices.Contains(known, row.Table) {
			return done, lines.fault("names a table %q that its schema does not have", row.Table)
		}
		if err := insert(ctx, tx, row); err != nil {
			return done, lines.fault("cannot be taken in: %v", err)
		}
		done.Rows++
		switch row.Table {
		case "entries":
			done.Entries++
		case "plans":
			done.Plans++
		case "facts":
			done.Facts++
		}
	}
}

func insert(ctx context.Context, tx *sql.Tx, row copyRow) error {
	columns := slices.Sorted(maps.Keys(row.Row))
	names, marks, values := make([]string, len(columns)), make([]string, len(columns)), make([]any, len(columns))
	for i, c := range columns {
		names[i], marks[i], values[i] = quoted(c), fmt.Sprintf("$%d", i+1), row.Row[c]
	}
	_, err := tx.ExecContext(ctx, `INSERT INTO `+quoted(row.Table)+` (`+strings.Join(names, ", ")+`) VALUES (`+strings.Join(marks, ", ")+`)`, values...)
	return err
}

// copyLines reads a copy line by line and holds it to its foot.
type copyLines struct {
	head copyHead
	scan *bufio.Scanner
	hash interface {
		io.Writer
		Sum([]byte) []byte
	}
	n int64 // rows so far
}

func openCopy(r io.Reader) (*copyLines, error) {
	zip, err := gzip.NewReader(r)
	if err != nil {
		return nil, fault.Violations{{Field: "copy", Rule: "is not a copy of this program's data", Remedy: "give the file that was written as a copy"}}
	}
	l := &copyLines{scan: bufio.NewScanner(zip), hash: sha256.New()}
	l.scan.Buffer(make([]byte, 1<<16), longestLine)
	line, ok := l.line()
	if !ok || json.Unmarshal(line, &l.head) != nil || l.head.Copy != copyName {
		return nil, fault.Violations{{Field: "copy", Rule: "is not a copy of this program's data", Remedy: "give the file that was written as a copy"}}
	}
	l.add(line)
	return l, nil
}

func (l *copyLines) line() ([]byte, bool) {
	if !l.scan.Scan() {
		return nil, false
	}
	return l.scan.Bytes(), true
}

func (l *copyLines) add(line []byte) {
	l.hash.Write(line)         //nolint:errcheck // a hash never fails
	l.hash.Write([]byte{'\n'}) //nolint:errcheck // a hash never fails
}

// next returns the next row, io.EOF after a foot that is right.
func (l *copyLines) next() (row copyRow, err error) {
	line, ok := l.line()
	if !ok {
		return row, l.fault("is cut short after %d rows", l.n)
	}
	if bytes.HasPrefix(line, []byte(`{"rows":`)) {
		var foot copyFoot
		if err := json.Unmarshal(line, &foot); err != nil || foot.Rows != l.n || foot.Sum != hex.EncodeToString(l.hash.Sum(nil)) {
			return row, l.fault("was changed or damaged: its %d rows do not agree with its foot", l.n)
		}
		return row, io.EOF
	}
	l.add(line)
	d := json.NewDecoder(bytes.NewReader(line))
	d.UseNumber()
	if err := d.Decode(&row); err != nil {
		return row, l.fault("cannot be read: %v", err)
	}
	for c, v := range row.Row {
		if row.Row[c], err = restored(v); err != nil {
			return row, l.fault("column %s: %v", c, err)
		}
	}
	l.n++
	return row, nil
}

// restored gives a value the type it had in the database.
func restored(v any) (any, error) {
	switch v := v.(type) {
	case json.Number:
		if n, err := v.Int64(); err == nil {
			return n, nil
		}
		return v.Float64()
	case map[string]any:
		text, _ := v["bytes"].(string)
		var b []byte
		err := json.Unmarshal([]byte(`"`+text+`"`), &b)
		return b, err
	}
	return v, nil
}

func (l *copyLines) fault(format string, args ...any) error {
	return fault.Violations{{Field: fmt.Sprintf("copy line %d", l.n+2), Rule: fmt.Sprintf(format, args...), Remedy: "make the copy again; nothing was restored"}}
}
