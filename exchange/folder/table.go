package folder

import (
	"bytes"
	"encoding/csv"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// table is one CSV table; its header names the units.
type table struct {
	name string
	rows [][]string
}

func newTable(name string, header ...string) *table { return &table{name, [][]string{header}} }

func (t *table) add(cells ...string) {
	for i := range cells {
		cells[i] = shielded(cells[i])
	}
	t.rows = append(t.rows, cells)
}

// bytes is the table as RFC 4180 says, in UTF-8. A buffer takes every write.
func (t *table) bytes() []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	_ = w.WriteAll(t.rows)
	return b.Bytes()
}

var numeric = regexp.MustCompile(`^[+-]?\d+(\.\d+)?$`)

// shielded sets an apostrophe before a cell that a spreadsheet would take for a formula.
func shielded(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) && !numeric.MatchString(s) {
		return "'" + s
	}
	return s
}

// num writes v with at most the given decimals.
func num(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

func count(n int) string { return strconv.Itoa(n) }

func yes(b bool) string {
	if b {
		return "yes"
	}
	return ""
}

// clock writes moments in the plant's zone.
type clock struct{ zone *time.Location }

func (c clock) at(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.In(c.zone).Format("2006-01-02T15:04")
}
