package plantfile_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/exchange/plantfile"
	"github.com/flutewright/flutewright/plant/demo"
)

func demoJSON(t testing.TB, v any) []byte {
	t.Helper()
	raw, err := json.MarshalIndent(v, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return raw
}

func TestDemoComesBack(t *testing.T) {
	for source, v := range map[string]any{"book": demo.Book(), "plant": demo.Book().Plant} {
		raw := demoJSON(t, v)
		b, whole, err := plantfile.Read(source, bytes.NewReader(raw))
		if err != nil {
			t.Fatalf("%s: %v", source, err)
		}
		got := any(b.Plant)
		if whole {
			got = b
		}
		if whole != (source == "book") || !bytes.Equal(demoJSON(t, got), raw) {
			t.Errorf("%s: comes back otherwise", source)
		}
	}
}

func TestRefused(t *testing.T) {
	raw := string(demoJSON(t, demo.Book().Plant))
	swap := func(old, with string) string {
		if !strings.Contains(raw, old) {
			t.Fatalf("the demo plant has no %s", old)
		}
		return strings.Replace(raw, old, with, 1)
	}
	tests := []struct{ source, text, want string }{
		{"empty", " ", "the file is empty"},
		{"list", "[]", "must be an object"},
		{"not JSON", "{\n\"name\": x}", "row 2: f: is not JSON"},
		{"cut off", `{"name": "a"`, "ends in the middle"},
		{"two documents", "{} {}", "goes on after the end"},
		{"UTF-16", "\xFF\xFE{\x00", "UTF-16"},
		{"Latin-1", "{\"name\": \"caf\xe9\"}", "not UTF-8"},
		{"unknown field", swap(`"side_trim_min_mm"`, `"side_trim_mim_mm"`), "f: corrugator.limits.side_trim_mim_mm: is no field here; nearest: side_trim_min_mm"},
		{"text for a length", swap(`"side_trim_min_mm": 15`, `"side_trim_min_mm": "15 mm"`), `corrugator.limits.side_trim_min_mm "\"15 mm\"": must be a number`},
		{"text for a count", swap(`"max_colours": 3`, `"max_colours": 3.5`), `max_colours "3.5": must be a whole number`},
		{"out of range", swap(`"average_factor": 0.78`, `"average_factor": 78`), `corrugator.average_factor "78": must be from 0.05 to 1`},
		{"a paper that is not there", swap(`"paper": "TL125"`, `"paper": "TL126"`), "is not among the papers"},
		{"list for an object", swap(`"cure": {`, `"cure": [], "display": {`), "cure"},
	}
	for _, tt := range tests {
		_, _, err := plantfile.Read("f", strings.NewReader(tt.text))
		if !errors.Is(err, fault.Invalid) || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v does not say %q", tt.source, err, tt.want)
		}
	}
}

// Whatever the bytes, reading ends; and what it accepts is a valid book.
func FuzzRead(f *testing.F) {
	f.Add(demoJSON(f, demo.Book().Plant))
	f.Add([]byte(`{"plant": {"name": "x", "papers": [{"paper": 3}]}, "lines": [{"key": "a/b"}]}`))
	f.Add([]byte(`{"corrugator": {"limits": {"webs_mm": [1e300, -5, null]}, "speed_max_m_min": {"B": "fast"}}}`))
	f.Fuzz(func(t *testing.T, raw []byte) {
		b, whole, err := plantfile.Read("f", bytes.NewReader(raw))
		switch {
		case err != nil && !errors.Is(err, fault.Invalid):
			t.Fatalf("not a violation: %v", err)
		case err == nil && whole && b.Validate() != nil, err == nil && b.Plant.Validate() != nil:
			t.Fatal("an invalid plant was accepted")
		}
	})
}
