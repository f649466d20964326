package frame

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/desk"
)

// Edit is one line of a thing's history, in words.
type Edit struct {
	At      time.Time
	Who     string
	Why     string
	Changes []string
}

// Edits words a history, newest first.
func Edits(list []desk.Edit) []Edit {
	out := make([]Edit, len(list))
	for i, e := range list {
		out[i] = Edit{e.At, e.Who, e.Why, changes(e.Before, e.After)}
	}
	return out
}

func changes(before, after json.RawMessage) []string {
	switch {
	case before == nil:
		return []string{"entered"}
	case after == nil:
		return []string{"removed"}
	}
	a, b := map[string]json.RawMessage{}, map[string]json.RawMessage{}
	if json.Unmarshal(before, &a) != nil || json.Unmarshal(after, &b) != nil {
		return []string{"changed"}
	}
	names := maps.Clone(a)
	maps.Copy(names, b)
	var out []string
	for _, k := range slices.Sorted(maps.Keys(names)) {
		if !bytes.Equal(a[k], b[k]) {
			out = append(out, fmt.Sprintf("%s: %s → %s", worded(k), shown(a[k]), shown(b[k])))
		}
	}
	return out
}

// worded turns a field's name with its unit into words: under_pct → under %.
func worded(field string) string {
	words := strings.NewReplacer("_pct", " %", "_per_", " per ", "_", " ").Replace(field)
	return words
}

func shown(v json.RawMessage) string {
	s := strings.Trim(string(v), `"`)
	switch {
	case s == "" || s == "null":
		return "none"
	case len([]rune(s)) > 80:
		return string([]rune(s)[:80]) + "…"
	}
	return s
}
