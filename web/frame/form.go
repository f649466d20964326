package frame

import (
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/fault"
)

// Field is one input of a form with its label, hint and fault.
type Field struct {
	Name    string
	Label   string
	Kind    string // text, number, datetime-local, select, textarea, file, search
	Value   string
	Hint    string
	Fault   string
	Options []Option // of a select
	Least   string   // of a number
	Step    string   // of a number
	Wide    bool
	Needed  bool
}

// Option is one choice of a select.
type Option struct{ Value, Words string }

// Choices returns options whose words are their values.
func Choices(values ...string) []Option {
	out := make([]Option, len(values))
	for i, v := range values {
		out[i] = Option{v, v}
	}
	return out
}

// Mark sets each violation beside its field and returns the summary on top of
// the page, in the order of the violations; a violation without a field of its
// own stands in the summary alone.
func Mark(fields []Field, vs fault.Violations) []Amiss {
	out := make([]Amiss, 0, len(vs))
	for _, v := range vs {
		words := v.Rule
		if v.Remedy != "" {
			words += "; " + v.Remedy
		}
		at := ""
		for i := range fields {
			if fields[i].Name == v.Field {
				fields[i].Fault = words
				at = v.Field
				words = fields[i].Label + " " + words
			}
		}
		if at == "" {
			words = v.String()
		}
		out = append(out, Amiss{words, at})
	}
	return out
}

// Values reads a form's typed values and collects what is wrong with them.
type Values struct {
	R  *http.Request
	In *time.Location
	vs fault.Violations
}

// Err returns what was wrong with the values read so far.
func (v *Values) Err() error { return v.vs.Err() }

// Wrong adds a fault of a value that the page reads by itself.
func (v *Values) Wrong(field, value, rule string) { v.vs.Add(field, value, rule, "") }

// Text returns the trimmed text of a field.
func (v *Values) Text(name string) string { return strings.TrimSpace(v.R.FormValue(name)) }

// Count returns a whole number of at least least; an empty field is empty's value.
func (v *Values) Count(name string, least, empty int) int {
	s := ungrouped(v.Text(name))
	if s == "" {
		return empty
	}
	n, err := strconv.Atoi(s)
	if err != nil || n < least {
		v.vs.Add(name, v.Text(name), "must be a whole number of at least "+strconv.Itoa(least), "")
	}
	return n
}

// Number returns a number from least to most; an empty field is 0.
func (v *Values) Number(name string, least, most float64) float64 {
	s := ungrouped(v.Text(name))
	if s == "" {
		return 0
	}
	n, err := strconv.ParseFloat(s, 64)
	if err != nil || !(n >= least && n <= most) {
		v.vs.Add(name, v.Text(name), "must be a number from "+plain(least)+" to "+plain(most), "")
	}
	return n
}

// Time returns a local date and time as the browser's field writes it.
func (v *Values) Time(name string) time.Time {
	s := v.Text(name)
	for _, form := range []string{localTime, "2006-01-02T15:04:05", "2006-01-02 15:04", "2006-01-02"} {
		if t, err := time.ParseInLocation(form, s, v.In); err == nil && t.Year() >= 2000 && t.Year() < 2200 {
			return t
		}
	}
	v.vs.Add(name, s, "must be a date and time such as 2031-03-04T14:00", "")
	return time.Time{}
}

const localTime = "2006-01-02T15:04"

// LocalTime writes a time for a date and time field.
func LocalTime(t time.Time, in *time.Location) string {
	if t.IsZero() {
		return ""
	}
	return t.In(in).Format(localTime)
}

// ungrouped takes out the marks that people set between thousands.
func ungrouped(s string) string {
	return strings.NewReplacer(",", "", "\u00a0", "", "\u202f", "", " ", "").Replace(s)
}

func plain(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) }

// Wrong is one violation as an error.
func Wrong(field, value, rule string) error {
	return fault.Violations{{Field: field, Value: value, Rule: rule}}
}
