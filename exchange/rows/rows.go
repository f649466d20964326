// Package rows reads a table file row by row, CSV or XLSX, whatever a
// spreadsheet has done to it. A file that cannot be read as a whole (wrong
// encoding, too large, no header) is refused with the reason; a row that cannot
// be read carries its fault and does not stop the others.
package rows

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
)

// Limits of a table file: ten times the largest book that a plant keeps.
const (
	MaxBytes   = 64 << 20
	MaxRows    = 100_000
	MaxColumns = 200
	maxLine    = 1 << 20 // bytes of one row of text
)

// Cell is one cell as a person sees it, and what stands behind it.
type Cell struct {
	Text   string // as shown
	Number string // the number that a workbook stores behind the text; "" in CSV
	Day    string // where a workbook stores a date: 2006-01-02, or 2006-01-02T15:04
	Fault  string // why there is nothing to read: a formula that was never worked out, an error value
}

// Row is one row of a file.
type Row struct {
	Number int // line of the file where the row begins; the header is 1 as a rule
	Cells  []Cell
	Fault  string // why the row as a whole cannot be trusted
}

// empty tells that no cell holds anything.
func (r Row) empty() bool {
	for _, c := range r.Cells {
		if strings.TrimSpace(c.Text) != "" || c.Fault != "" {
			return false
		}
	}
	return r.Fault == ""
}

// source gives rows in order, then io.EOF; any other error is fault.Violations of the whole file.
type source interface {
	next() (Row, error)
	close() error
}

// File is an open table file.
type File struct {
	name  string
	src   source
	count int
	Notes []string // what a reader should know, e.g. that only the first sheet is read
}

// Open looks at the first bytes and returns the file, CSV or XLSX. Close it
// after use. The error is fault.Violations where the file cannot be read at all,
// which for a size above MaxBytes is known before anything is read if r can tell its size.
func Open(name string, r io.Reader) (*File, error) {
	name = path.Base(strings.ReplaceAll(name, `\`, "/"))
	if n, known := sizeOf(r); known && n > MaxBytes {
		return nil, tooLarge(name)
	}
	counted := &counting{r: r, left: MaxBytes, name: name}
	b := bufio.NewReaderSize(counted, 64<<10)
	start, err := b.Peek(8)
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, err
	}
	f := &File{name: name}
	switch {
	case len(start) == 0:
		return nil, refuse(name, "the file is empty", "export it again")
	case bytes.HasPrefix(start, []byte("PK\x03\x04")):
		f.src, f.Notes, err = openBook(name, b)
	case bytes.HasPrefix(start, []byte("\xD0\xCF\x11\xE0")):
		err = refuse(name, "is a workbook of the old kind, or one with a password", "save it as .xlsx without a password, or as CSV UTF-8")
	default:
		f.src, err = openText(name, b, start)
	}
	if err != nil {
		return nil, err
	}
	return f, nil
}

// Next returns the next row that holds anything, then io.EOF.
func (f *File) Next() (Row, error) {
	for {
		row, err := f.src.next()
		switch {
		case err != nil:
			return Row{}, err
		case row.empty():
			continue
		case len(row.Cells) > MaxColumns:
			return Row{}, refuse(f.name, fmt.Sprintf("row %d has %d columns, at most %d are read", row.Number, len(row.Cells), MaxColumns), "")
		}
		if f.count++; f.count > MaxRows+1 {
			return Row{}, refuse(f.name, fmt.Sprintf("has more than %d rows", MaxRows), "split the file")
		}
		return row, nil
	}
}

// Close frees what reading took. It does not close the reader given to Open.
func (f *File) Close() error { return f.src.close() }

func refuse(name, rule, remedy string) error {
	return fault.Violations{{Field: name, Rule: rule, Remedy: remedy}}
}

func tooLarge(name string) error {
	return refuse(name, fmt.Sprintf("is larger than %d MB", MaxBytes>>20), "split the file, or export open orders only")
}

// sizeOf asks a file or a buffer for its size.
func sizeOf(r io.Reader) (int64, bool) {
	switch s := r.(type) {
	case interface{ Stat() (fs.FileInfo, error) }:
		if info, err := s.Stat(); err == nil && info.Mode().IsRegular() {
			return info.Size(), true
		}
	case interface{ Len() int }:
		return int64(s.Len()), true
	}
	return 0, false
}

// counting passes on at most left bytes and then fails, so that a file of any
// size costs no more memory than the limit.
type counting struct {
	r    io.Reader
	left int64
	name string
}

func (c *counting) Read(p []byte) (int, error) {
	n, err := c.r.Read(p)
	if c.left -= int64(n); c.left < 0 {
		return 0, tooLarge(c.name)
	}
	return n, err
}
