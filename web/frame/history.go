package frame

import (
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
	var a, b any
	if json.Unmarshal(before, &a) != nil || json.Unmarshal(after, &b) != nil {
		return []string{"changed"}
	}
	var out []string
	apart("", a, b, &out)
	if n := len(out); n > mostChanges {
		out = append(out[:mostChanges], fmt.Sprintf("and %d more", n-mostChanges))
	}
	return out
}

// mostChanges of one edit are listed.
const mostChanges = 40

// apart lists the fields in which two values differ, by their path.
func apart(path string, a, b any, out *[]string) {
	x, isMap := a.(map[string]any)
	y, both := b.(map[string]any)
	if isMap && both {
		names := maps.Clone(x)
		maps.Copy(names, y)
		for _, k := range slices.Sorted(maps.Keys(names)) {
			at := worded(k)
			if path != "" {
				at = path + ", " + at
			}
			apart(at, x[k], y[k], out)
		}
		return
	}
	list, isList := a.([]any)
	other, both := b.([]any)
	if isList && both && len(list) == len(other) && len(list) > 0 {
		for i := range list {
			apart(fmt.Sprintf("%s %d", path, i+1), list[i], other[i], out)
		}
		return
	}
	if was, is := shown(a), shown(b); was != is {
		*out = append(*out, path+": "+was+" → "+is)
	}
}

var unitWords = strings.NewReplacer("_pct", " %", "_per_", " per ", "_", " ")

// worded turns a field's name with its unit into words: under_pct → under %.
func worded(field string) string { return unitWords.Replace(field) }

func shown(v any) string {
	if v == nil {
		return "none"
	}
	raw, err := json.Marshal(v)
	if err != nil {
		return "?"
	}
	s := strings.Trim(string(raw), `"`)
	switch {
	case s == "":
		return "none"
	case len([]rune(s)) > 80:
		return string([]rune(s)[:80]) + "…"
	}
	return s
}
