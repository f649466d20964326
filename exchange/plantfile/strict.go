package plantfile

import (
	"bytes"
	"encoding"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/exchange/cells"
)

// mostFaults ends the list for a document that is something else altogether.
const mostFaults = 200

var (
	readsJSON = reflect.TypeFor[json.Unmarshaler]()
	readsText = reflect.TypeFor[encoding.TextUnmarshaler]()
)

// strict finds every value of a document that does not suit the Go type it is
// to fill: an unknown field, a value of another kind. Places are JSON paths.
type strict struct{ v fault.Violations }

func (s *strict) walk(path string, raw json.RawMessage, t reflect.Type) {
	if len(s.v) >= mostFaults {
		return
	}
	null := string(bytes.TrimSpace(raw)) == "null"
	if t.Kind() == reflect.Pointer {
		if !null {
			s.walk(path, raw, t.Elem())
		}
		return
	}
	pointer := reflect.PointerTo(t)
	switch {
	case pointer.Implements(readsJSON), pointer.Implements(readsText):
		s.leaf(path, raw, t)
	case null && (t.Kind() == reflect.Slice || t.Kind() == reflect.Map):
	case t.Kind() == reflect.Struct:
		s.object(path, raw, fieldsOf(t))
	case t.Kind() == reflect.Map:
		s.mapping(path, raw, t)
	case t.Kind() == reflect.Slice:
		var list []json.RawMessage
		if json.Unmarshal(raw, &list) != nil {
			s.add(path, raw, "must be a list")
			return
		}
		for i, v := range list {
			s.walk(fmt.Sprintf("%s[%d]", path, i), v, t.Elem())
		}
	default:
		s.leaf(path, raw, t)
	}
}

// object walks the fields that a struct has and names those it has not.
func (s *strict) object(path string, raw json.RawMessage, fields map[string]reflect.Type) {
	var got map[string]json.RawMessage
	if json.Unmarshal(raw, &got) != nil || got == nil {
		s.add(path, raw, "must be an object")
		return
	}
	names := make([]string, 0, len(fields))
	for n := range fields {
		names = append(names, n)
	}
	for _, n := range sortedKeys(got) {
		at := strings.TrimPrefix(path+"."+n, ".")
		t, known := fields[n]
		if !known {
			s.v.Add(at, "", "is no field here", cells.Known(n, "fields", names))
			continue
		}
		s.walk(at, got[n], t)
	}
}

func (s *strict) mapping(path string, raw json.RawMessage, t reflect.Type) {
	var got map[string]json.RawMessage
	if json.Unmarshal(raw, &got) != nil {
		s.add(path, raw, "must be an object")
		return
	}
	for _, k := range sortedKeys(got) {
		if key := reflect.New(t.Key()); t.Key().Kind() != reflect.String || reflect.PointerTo(t.Key()).Implements(readsText) {
			if u, ok := key.Interface().(encoding.TextUnmarshaler); ok && u.UnmarshalText([]byte(k)) != nil {
				s.v.Add(path, cells.Clip(k), "is no key here", "")
				continue
			}
		}
		s.walk(path+"."+k, got[k], t.Elem())
	}
}

// leaf tries the value on its type.
func (s *strict) leaf(path string, raw json.RawMessage, t reflect.Type) {
	if json.Unmarshal(raw, reflect.New(t).Interface()) == nil {
		return
	}
	rule := "cannot be read"
	switch k := t.Kind(); {
	case t.String() == "time.Time":
		rule = "must be a time as 2006-01-02T15:04:05Z"
	case k == reflect.Bool:
		rule = "must be true or false"
	case k == reflect.String:
		rule = "must be text"
	case k == reflect.Float64:
		rule = "must be a number"
	case strings.HasPrefix(t.String(), "quantity."):
		rule = "must be a number"
	case k == reflect.Int, k == reflect.Int64:
		rule = "must be a whole number"
	}
	s.add(path, raw, rule)
}

func (s *strict) add(path string, raw json.RawMessage, rule string) {
	if path == "" {
		path = "document"
	}
	s.v.Add(path, cells.Clip(string(bytes.TrimSpace(raw))), rule, "")
}

// fieldsOf returns a struct's fields by their JSON names, embedded ones among them.
func fieldsOf(t reflect.Type) map[string]reflect.Type {
	out := map[string]reflect.Type{}
	for i := range t.NumField() {
		f := t.Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case name == "-" || !f.IsExported():
		case f.Anonymous && name == "" && f.Type.Kind() == reflect.Struct:
			for n, inner := range fieldsOf(f.Type) {
				out[n] = inner
			}
		default:
			if name == "" {
				name = f.Name
			}
			out[name] = f.Type
		}
	}
	return out
}

func sortedKeys(m map[string]json.RawMessage) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}
