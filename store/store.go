// Package store keeps book, plans and ledger in one SQLite file.
//
// A data folder belongs to one process at a time, held by a lock file. There
// is one writing connection and several reading ones; every change of several
// rows is one transaction, and a change that was answered survives a killed
// process and a pulled plug (write-ahead log, synchronous on every commit).
// That history, facts and ended plans are never changed is held by triggers.
package store

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"time"

	"github.com/pressly/goose/v3"
	_ "modernc.org/sqlite" // the database driver

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/desk"
)

//go:embed migrations/*.sql
var migrations embed.FS

// fileName is the database's name in the data folder.
const fileName = "flutewright.db"

// readers is the number of reading connections: more than a desk's pages ask at once.
const readers = 4

// Store is an open data folder. It implements desk.Store.
type Store struct {
	write *sql.DB // one connection
	read  *sql.DB
	lock  *lockFile
}

var _ desk.Store = (*Store)(nil)

// Open opens the data folder dir, making it where it is not there, and brings
// its schema up to date. Plans that a dead process left running are marked
// interrupted. fault.Refused if another process holds the folder (named by
// its process number), or if a newer version of the program wrote it.
func Open(ctx context.Context, dir string) (_ *Store, err error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, fmt.Errorf("data folder: %w", err)
	}
	lock, err := takeLock(filepath.Join(dir, "lock"))
	if err != nil {
		return nil, fmt.Errorf("data folder %s: %w", dir, err)
	}
	s := &Store{lock: lock}
	defer func() {
		if err != nil {
			err = errors.Join(err, s.Close())
		}
	}()
	if s.write, err = connect(dir, "_txlock=immediate", 1); err != nil {
		return nil, err
	}
	if err := migrate(ctx, s.write); err != nil {
		return nil, fmt.Errorf("data folder %s: %w", dir, err)
	}
	if s.read, err = connect(dir, "_pragma=query_only(1)", readers); err != nil {
		return nil, err
	}
	if err := s.interruptPlans(ctx); err != nil {
		return nil, fmt.Errorf("data folder %s: %w", dir, err)
	}
	return s, nil
}

func connect(dir, option string, most int) (*sql.DB, error) {
	abs, err := filepath.Abs(filepath.Join(dir, fileName))
	if err != nil {
		return nil, err
	}
	path := url.URL{Path: filepath.ToSlash(abs)}
	db, err := sql.Open("sqlite", "file:"+path.EscapedPath()+"?"+option+
		"&_pragma=busy_timeout(5000)&_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)"+
		"&_pragma=foreign_keys(1)&_pragma=recursive_triggers(1)")
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(most)
	db.SetMaxIdleConns(most)
	return db, nil
}

func migrate(ctx context.Context, db *sql.DB) error {
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	p, err := goose.NewProvider(goose.DialectSQLite3, db, files)
	if err != nil {
		return fmt.Errorf("migrations: %w", err)
	}
	now, newest, err := p.GetVersions(ctx)
	if err != nil {
		return fmt.Errorf("schema version: %w", err)
	}
	if now > newest {
		return fmt.Errorf("written by a newer version of this program (schema %d, this one knows %d): use that version: %w",
			now, newest, fault.Refused)
	}
	if _, err := p.Up(ctx); err != nil {
		return fmt.Errorf("bring schema up to date: %w", err)
	}
	return nil
}

// Close closes the database and gives the folder free.
func (s *Store) Close() error {
	var all []error
	for _, db := range []*sql.DB{s.read, s.write} {
		if db != nil {
			all = append(all, db.Close())
		}
	}
	return errors.Join(append(all, s.lock.release())...)
}

// inTx runs f in one writing transaction, kept only if f returns nil.
func (s *Store) inTx(ctx context.Context, f func(*sql.Tx) error) error {
	tx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback() //nolint:errcheck // after a commit it does nothing
	if err := f(tx); err != nil {
		return err
	}
	return tx.Commit()
}

// stamp is how times are kept: UTC, fixed width, so that text order is time order.
const stamp = "2006-01-02T15:04:05.000000000Z"

func stamped(t time.Time) string { return t.UTC().Format(stamp) }

func unstamped(s string) (time.Time, error) { return time.Parse(stamp, s) }
