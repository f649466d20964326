package desk

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/fault"
)

// Stale is the conflict of an edit with one that was saved first. It holds both values.
type Stale struct {
	Kind   Kind
	Key    string
	Seen   int             // the version the edit was made on; 0: it was to be new
	Now    int             // the version that stands; 0: it is not there
	Yours  json.RawMessage // nil: to be removed
	Theirs json.RawMessage // nil: removed, or never there
	At     time.Time       // when theirs was saved
	By     string
}

// Is makes errors.Is(err, fault.Conflict) true.
func (s *Stale) Is(target error) bool { return target == fault.Conflict }

// Error names who was first and every field with both values.
func (s *Stale) Error() string {
	name := fmt.Sprintf("%s %s", s.Kind, s.Key)
	switch {
	case s.Now == 0:
		return name + " is not in the book any more: yours is not saved"
	case s.Theirs == nil:
		return fmt.Sprintf("%s was removed by %s at %s: yours is not saved", name, s.By, s.At.Format(time.RFC3339))
	case s.Yours == nil:
		return fmt.Sprintf("%s was changed by %s at %s: it is not removed", name, s.By, s.At.Format(time.RFC3339))
	}
	verb := "changed"
	if s.Seen == 0 {
		verb = "entered"
	}
	fields := fieldsApart(s.Yours, s.Theirs)
	if len(fields) == 0 {
		fields = []string{"to the same values as yours"}
	}
	return fmt.Sprintf("%s was %s by %s at %s, yours is not saved: %s",
		name, verb, s.By, s.At.Format(time.RFC3339), strings.Join(fields, "; "))
}

// fieldsApart lists the top fields in which two JSON objects differ, with both values.
func fieldsApart(yours, theirs json.RawMessage) []string {
	var a, b map[string]json.RawMessage
	if json.Unmarshal(yours, &a) != nil || json.Unmarshal(theirs, &b) != nil {
		return []string{fmt.Sprintf("yours %s, theirs %s", yours, theirs)}
	}
	names := map[string]bool{}
	for k := range a {
		names[k] = true
	}
	for k := range b {
		names[k] = true
	}
	var out []string
	for _, k := range slices.Sorted(maps.Keys(names)) {
		if string(a[k]) != string(b[k]) {
			out = append(out, fmt.Sprintf("%s: yours %s, theirs %s", k, shown(a[k]), shown(b[k])))
		}
	}
	return out
}

func shown(v json.RawMessage) string {
	const most = 120
	if v == nil {
		return "nothing"
	}
	if r := []rune(string(v)); len(r) > most {
		return string(r[:most]) + "…"
	}
	return string(v)
}
