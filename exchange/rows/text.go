package rows

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/flutewright/flutewright/base/fault"
)

// A quoted cell may hold line breaks. One that is still open after this much is
// a stray quote: the row waits, and reading goes on with the line after it.
const (
	maxQuotedLines = 50
	maxQuotedBytes = 8 << 10
)

// text reads comma-separated values (RFC 4180) in UTF-8.
type text struct {
	name    string
	b       *bufio.Reader
	number  int    // of the last line taken
	ahead   []line // lines looked at and given back
	pending error
}

type line struct {
	number int
	text   string
}

func openText(name string, b *bufio.Reader, start []byte) (source, error) {
	switch {
	case bytes.HasPrefix(start, []byte("\xFF\xFE")), bytes.HasPrefix(start, []byte("\xFE\xFF")),
		len(start) >= 4 && (start[0] == 0 && start[2] == 0 || start[1] == 0 && start[3] == 0):
		return nil, refuse(name, "is written in UTF-16, not in UTF-8", `save it as "CSV UTF-8"`)
	case bytes.HasPrefix(start, []byte("\xEF\xBB\xBF")):
		if _, err := b.Discard(3); err != nil {
			return nil, err
		}
	}
	return &text{name: name, b: b}, nil
}

func (t *text) close() error { return nil }

// next returns one record. Its number is the line where it begins.
func (t *text) next() (Row, error) {
	first, err := t.line()
	if err != nil {
		return Row{}, err
	}
	row := Row{Number: first.number}
	cells, open, torn := split(first.text)
	if torn {
		row.Fault = "text stands behind a closing quote"
	}
	if open {
		joined, more, err := t.untilClosed(first.text)
		if err != nil {
			return Row{}, err
		}
		if joined == "" {
			row.Fault = "a quote opened in this row is never closed"
			t.ahead = append(more, t.ahead...)
		} else {
			cells, _, _ = split(joined)
		}
	}
	row.Cells = make([]Cell, len(cells))
	for i, c := range cells {
		row.Cells[i] = Cell{Text: c, Fault: errorValue(c)}
	}
	return row, nil
}

// untilClosed adds lines to s until its quoted cell is closed. Where that does
// not happen within reason it returns "" and the lines it has taken.
func (t *text) untilClosed(s string) (joined string, taken []line, err error) {
	joined = s
	for len(taken) < maxQuotedLines && len(joined) < maxQuotedBytes {
		l, err := t.line()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return "", nil, err
		}
		taken = append(taken, l)
		joined += "\n" + l.text
		if _, open, torn := split(joined); torn {
			break
		} else if !open {
			return joined, nil, nil
		}
	}
	return "", taken, nil
}

// split parts a record into cells; open tells that it ends inside a quoted
// cell, torn that text stands behind a closing quote. A quote within an
// unquoted cell stands for itself, as in 16 3/16".
func split(s string) (cells []string, open, torn bool) {
	for {
		if !strings.HasPrefix(s, `"`) {
			cell, rest, more := strings.Cut(s, ",")
			cells = append(cells, cell)
			if !more {
				return cells, false, torn
			}
			s = rest
			continue
		}
		var b strings.Builder
		for s = s[1:]; ; {
			part, rest, closed := strings.Cut(s, `"`)
			b.WriteString(part)
			if !closed {
				return append(cells, b.String()), true, torn
			}
			if s = rest; !strings.HasPrefix(s, `"`) {
				break
			}
			b.WriteByte('"')
			s = s[1:]
		}
		tail, rest, more := strings.Cut(s, ",")
		cells, torn = append(cells, b.String()+tail), torn || strings.TrimSpace(tail) != ""
		if !more {
			return cells, false, torn
		}
		s = rest
	}
}

// line returns the next line without its end, given back or read.
func (t *text) line() (line, error) {
	if len(t.ahead) > 0 {
		l := t.ahead[0]
		t.ahead = t.ahead[1:]
		return l, nil
	}
	if t.pending != nil {
		return line{}, t.pending
	}
	var long []byte
	for {
		part, err := t.b.ReadSlice('\n')
		if len(long)+len(part) > maxLine {
			return line{}, refuse(t.name, fmt.Sprintf("row %d is longer than 1 MB", t.number+1), "check that the file is CSV with one order a row")
		}
		if errors.Is(err, bufio.ErrBufferFull) {
			long = append(long, part...)
			continue
		}
		if long != nil {
			part = append(long, part...)
		}
		if err != nil {
			t.pending = err
			var v fault.Violations
			if len(part) == 0 || errors.As(err, &v) || err != io.EOF {
				return line{}, err
			}
		}
		t.number++
		if err := t.judge(part); err != nil {
			t.pending = err
			return line{}, err
		}
		s := strings.TrimSuffix(strings.TrimSuffix(string(part), "\n"), "\r")
		return line{t.number, s}, nil
	}
}

// judge refuses what is not UTF-8 text, and says where.
func (t *text) judge(b []byte) error {
	if i := bytes.IndexByte(b, 0); i >= 0 {
		return fault.Violations{{Row: t.number, Field: t.name, Value: fmt.Sprintf("byte %d", i+1),
			Rule: "holds a NUL byte: the file is not text, or is damaged", Remedy: `export it again as "CSV UTF-8"`}}
	}
	if utf8.Valid(b) {
		return nil
	}
	at := 0
	for at < len(b) {
		r, n := utf8.DecodeRune(b[at:])
		if r == utf8.RuneError && n == 1 {
			break
		}
		at += n
	}
	remedy := `save it as "CSV UTF-8"`
	if b[at] >= 0xA0 {
		remedy = fmt.Sprintf("if %q was meant there, the file is written in Latin-1 (Windows-1252): %s", rune(b[at]), remedy)
	}
	return fault.Violations{{Row: t.number, Field: t.name, Value: fmt.Sprintf("byte %d is 0x%02X", at+1, b[at]),
		Rule: "is not UTF-8", Remedy: remedy}}
}

// errorValue says what a spreadsheet's error value means, or "".
func errorValue(s string) string {
	switch s {
	case "#N/A", "#REF!", "#VALUE!", "#DIV/0!", "#NAME?", "#NUM!", "#NULL!", "#SPILL!", "#CALC!":
		return "is a spreadsheet's error value"
	}
	return ""
}
