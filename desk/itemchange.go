package desk

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"github.com/flutewright/flutewright/plant/order"
)

// itemChanges says in words what the row's own item columns change in the
// book's item, and notes the item's version in seen. The reader has laid the
// row's columns over the book's item: what the row leaves empty stays.
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
	after := *row.Item
	after.Revision = before.Revision
	apart := fieldsChanged(before, after)
	for i, f := range apart {
		apart[i] = "item " + code + ": " + f
	}
	return apart, len(apart) > 0
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
