package desk

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"github.com/flutewright/flutewright/plant/order"
)

// itemChanges says in words what the row's own item columns change in the
// book's item, and notes the item's version in seen.
func itemChanges(s *Snapshot, row order.FileRow, seen map[string]int) (fields []string, changed bool) {
	if row.Item == nil {
		return nil, false
	}
	code := string(row.Item.Code)
	before, known := s.Item(row.Item.Code)
	seen[code] = s.Version(KindItem, code)
	if !known {
		return []string{"item " + code + " is new"}, true
	}
	after := itemStated(before, *row.Item)
	apart := fieldsChanged(before, after)
	for i, f := range apart {
		apart[i] = "item " + code + ": " + f
	}
	return apart, len(apart) > 0
}

// itemStated returns the book's item with what the file states laid over it. A
// file's empty column states nothing: an approved sheet, a tool or a pattern
// that it does not name stays.
func itemStated(before, file order.Item) order.Item {
	var base, over map[string]json.RawMessage
	mustRemarshal(before, &base)
	mustRemarshal(file, &over)
	for name, v := range over {
		if name != "revision" && !emptyJSON(v) {
			base[name] = v
		}
	}
	var out order.Item
	mustRemarshal(base, &out)
	return out
}

func emptyJSON(v json.RawMessage) bool {
	switch string(v) {
	case "null", `""`, "0", "false", "[]", "{}", `{"length_mm":0,"width_mm":0,"height_mm":0}`:
		return true
	}
	return false
}

// mustRemarshal carries v into to by way of JSON; both are our own types, so
// that a failure is a broken invariant.
func mustRemarshal(v, to any) {
	b, err := json.Marshal(v)
	if err == nil {
		err = json.Unmarshal(b, to)
	}
	if err != nil {
		panic(fmt.Sprintf("desk: item as JSON: %v", err))
	}
}

// fieldsChanged lists the top fields in which two values differ: "grade "B-ST" → "B-HV"".
func fieldsChanged(a, b any) []string {
	var before, after map[string]json.RawMessage
	mustRemarshal(a, &before)
	mustRemarshal(b, &after)
	names := maps.Clone(after)
	maps.Copy(names, before)
	var out []string
	for _, n := range slices.Sorted(maps.Keys(names)) {
		if string(before[n]) != string(after[n]) {
			out = append(out, n+" "+shown(before[n])+" → "+shown(after[n]))
		}
	}
	return out
}
