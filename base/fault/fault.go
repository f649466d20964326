// Package fault says what went wrong in terms of what the caller can do.
//
// A fault has a Kind (test it with errors.Is) and, for bad input, the list of
// Violations: field, value, limit and remedy. Anything without a kind is an
// internal error: it is logged once at the edge and never shown.
package fault

import (
	"errors"
	"fmt"
	"strings"
)

// Kind classifies a failure. Wrap it with %w and test it with errors.Is.
type Kind string

const (
	Invalid    Kind = "invalid input"           // mend the input
	NotFound   Kind = "not found"               // name something that exists
	Conflict   Kind = "changed by someone else" // read again, then decide
	Reused     Kind = "number used before"      // tell it under another number
	Infeasible Kind = "no feasible plan"        // loosen a limit
	Refused    Kind = "refused"                 // a rule of the plant forbids it
)

func (k Kind) Error() string { return string(k) }

// Violation is one broken rule of an input.
type Violation struct {
	Row    int    `json:"row,omitempty"`    // line of the file, 0 where there is none
	Field  string `json:"field"`            // as the user knows it: column, form field, JSON path
	Value  string `json:"value,omitempty"`  // what was given
	Rule   string `json:"rule"`             // what is allowed, with the limit
	Remedy string `json:"remedy,omitempty"` // what to do, where it is not plain from the rule
}

// String is one line: "row 12: quantity "-5": must be at least 1; correct the cell".
func (v Violation) String() string {
	var b strings.Builder
	if v.Row > 0 {
		fmt.Fprintf(&b, "row %d: ", v.Row)
	}
	b.WriteString(v.Field)
	if v.Value != "" {
		fmt.Fprintf(&b, " %q", v.Value)
	}
	b.WriteString(": ")
	b.WriteString(v.Rule)
	if v.Remedy != "" {
		b.WriteString("; ")
		b.WriteString(v.Remedy)
	}
	return b.String()
}

// Violations collects every broken rule of one input, so that all are shown at once.
type Violations []Violation

// Add appends a violation.
func (vs *Violations) Add(field, value, rule, remedy string) {
	*vs = append(*vs, Violation{Field: field, Value: value, Rule: rule, Remedy: remedy})
}

// Require appends a violation unless ok.
func (vs *Violations) Require(ok bool, field, value, rule string) {
	if !ok {
		vs.Add(field, value, rule, "")
	}
}

// Under appends the violations of a part, each field prefixed with path and a dot.
func (vs *Violations) Under(path string, err error) {
	var part Violations
	switch {
	case err == nil:
	case errors.As(err, &part):
		for _, v := range part {
			v.Field = path + "." + v.Field
			*vs = append(*vs, v)
		}
	default:
		vs.Add(path, "", err.Error(), "")
	}
}

// Err returns nil when there is no violation, and the list as an error otherwise.
func (vs Violations) Err() error {
	if len(vs) == 0 {
		return nil
	}
	return vs
}

// Error joins the violations, one a line.
func (vs Violations) Error() string {
	lines := make([]string, len(vs))
	for i, v := range vs {
		lines[i] = v.String()
	}
	return strings.Join(lines, "\n")
}

// Is makes errors.Is(vs, Invalid) true.
func (vs Violations) Is(target error) bool { return target == Invalid }

// Lines returns what to print for an error: one line per violation, or the error itself.
func Lines(err error) []string {
	var vs Violations
	if !errors.As(err, &vs) {
		return []string{err.Error()}
	}
	lines := make([]string, len(vs))
	for i, v := range vs {
		lines[i] = v.String()
	}
	return lines
}
