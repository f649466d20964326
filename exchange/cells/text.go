package cells

import (
	"regexp"
	"strconv"
	"strings"
)

var (
	scientific = regexp.MustCompile(`^[+-]?\d+([.,]\d+)?[eE]\+?\d+$`)
	damagedDay = regexp.MustCompile(`^(\d{1,2}[-. ](Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)|(Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)[-. ]\d{1,2})$`)
	formula    = regexp.MustCompile(`^(=|[+\-@]\s*[A-Za-z(])`)
)

// Text returns a cell as it is, without the apostrophe that shields a formula.
func (r *Record) Text(name string) string {
	c, _, ok := r.take(name)
	if !ok {
		return ""
	}
	return unshielded(c.Text)
}

// Code returns a name by which something is known. Leading zeros stay. A number
// that a spreadsheet has shortened, or a day that it has made of a code, is a fault.
func (r *Record) Code(name string) string {
	c, as, ok := r.take(name)
	switch {
	case !ok:
		return ""
	case scientific.MatchString(c.Text):
		if n, err := strconv.ParseFloat(c.Number, 64); err == nil && n == float64(int64(n)) && n < 1e15 {
			return strconv.FormatInt(int64(n), 10)
		}
		r.fault(as, Clip(c.Text), "was shortened by a spreadsheet, its digits are lost", "format the column as text and type it again")
		return ""
	case c.Day != "" || damagedDay.MatchString(c.Text):
		r.fault(as, Clip(c.Text), "a spreadsheet has made a day of it", "format the column as text and type it again")
		return ""
	}
	return unshielded(c.Text)
}

// Word returns a cell in small letters with its spaces set in order.
func (r *Record) Word(name string) string {
	return strings.Join(strings.Fields(strings.ToLower(r.Text(name))), " ")
}

// YesNo reads yes or no; blank is no.
func (r *Record) YesNo(name string) bool {
	switch w := r.Word(name); w {
	case "yes", "y", "true", "1", "x":
		return true
	case "", "no", "n", "false", "0":
	default:
		r.Add(name, "must be yes or no", "")
	}
	return false
}

// List returns the parts of a cell between slashes.
func (r *Record) List(name string) []string {
	s := r.Code(name)
	if s == "" {
		return nil
	}
	parts := strings.Split(s, "/")
	for i := range parts {
		parts[i] = strings.TrimSpace(parts[i])
		if parts[i] == "" {
			r.Add(name, "must be codes with a slash between them", "")
			return nil
		}
	}
	return parts
}

func unshielded(s string) string {
	if len(s) > 1 && s[0] == '\'' && strings.ContainsRune("=+-@", rune(s[1])) {
		return s[1:]
	}
	return s
}
