package schema_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/exchange/schema"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/demo"
)

// judge holds a value against a JSON Schema: the words that the schemas here
// use, and it fails on any other, so that none goes unread.
type judge struct {
	defs   map[string]any
	faults []string
}

func (j *judge) hold(path string, s map[string]any, v any) {
	if ref, ok := s["$ref"].(string); ok {
		j.hold(path, j.defs[strings.TrimPrefix(ref, "#/$defs/")].(map[string]any), v)
		return
	}
	j.kind(path, s["type"], v)
	for word, say := range s {
		switch word {
		case "type", "format", "title", "$schema", "$defs", "minimum":
		case "required":
			if o, ok := v.(map[string]any); ok {
				for _, name := range say.([]any) {
					if _, has := o[name.(string)]; !has {
						j.faults = append(j.faults, path+": no "+name.(string))
					}
				}
			}
		case "items":
			if list, ok := v.([]any); ok {
				for i, e := range list {
					j.hold(fmt.Sprintf("%s[%d]", path, i), say.(map[string]any), e)
				}
			}
		case "properties", "additionalProperties":
			if o, ok := v.(map[string]any); ok && word == "additionalProperties" {
				j.others(path, s, o, say)
			} else if ok {
				for name, ps := range say.(map[string]any) {
					if e, has := o[name]; has {
						j.hold(path+"."+name, ps.(map[string]any), e)
					}
				}
			}
		default:
			j.faults = append(j.faults, "the judge does not know the word "+word)
		}
	}
}

func (j *judge) others(path string, s, o map[string]any, say any) {
	known, _ := s["properties"].(map[string]any)
	for name, e := range o {
		if _, ok := known[name]; ok {
			continue
		}
		switch rule := say.(type) {
		case bool:
			if !rule {
				j.faults = append(j.faults, path+": unknown "+name)
			}
		case map[string]any:
			j.hold(path+"."+name, rule, e)
		}
	}
}

func (j *judge) kind(path string, want, v any) {
	kinds, ok := want.([]any)
	if !ok {
		kinds = []any{want}
	}
	is := map[string]bool{}
	switch v := v.(type) {
	case nil:
		is["null"] = true
	case bool:
		is["boolean"] = true
	case string:
		is["string"] = true
	case float64:
		is["number"], is["integer"] = true, v == math.Trunc(v)
	case []any:
		is["array"] = true
	case map[string]any:
		is["object"] = true
	}
	for _, k := range kinds {
		if s, ok := k.(string); !ok || is[s] {
			return
		}
	}
	j.faults = append(j.faults, fmt.Sprintf("%s: %v is not %v", path, v, want))
}

func holds(t *testing.T, name string, document any) []string {
	t.Helper()
	raw, err := schema.Of(name)
	if err != nil {
		t.Fatal(err)
	}
	var s map[string]any
	if err := json.Unmarshal(raw, &s); err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(document)
	if err != nil {
		t.Fatal(err)
	}
	var v any
	if err := json.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	j := judge{defs: s["$defs"].(map[string]any)}
	j.hold("$", s, v)
	return j.faults
}

// The demo's documents hold to their schemas.
func TestDemoHoldsToItsSchemas(t *testing.T) {
	b := demo.Book()
	p, err := plan.Make(context.Background(), b, plan.Options{Now: demo.Now, Seconds: 0.2, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	for name, v := range map[string]any{"book": b, "plant": b.Plant, "plan.json": p, "plan": p.Answer} {
		if f := holds(t, name, v); len(f) > 0 {
			t.Errorf("%s: %d faults, first %s", name, len(f), f[0])
		}
	}
}

// The problem of the published face, and what its schema refuses.
func TestProblem(t *testing.T) {
	good := map[string]any{
		"corrugator": map[string]any{"webs_mm": []any{1600, 1800}, "side_trim_min_mm": 15, "max_outs": 7, "min_run_m": 60.5},
		"papers":     []any{map[string]any{"paper": "TL140", "metres": map[string]any{"2350": 0, "2000": 23600}}},
		"grades":     []any{map[string]any{"grade": "B-ST", "plies": []any{map[string]any{"paper": "RM110", "take_up": 1.33}}}},
		"orders":     []any{map[string]any{"order": "J1", "grade": "B-ST", "slit_mm": 443, "chop_mm": 1439, "sheets": 18137, "due": "2031-03-04T14:00:00Z"}},
	}
	if f := holds(t, "problem", good); len(f) > 0 {
		t.Error(f)
	}
	for source, v := range map[string]any{
		"text for a length": map[string]any{"corrugator": map[string]any{"webs_mm": []any{"wide"}}},
		"half a sheet":      map[string]any{"orders": []any{map[string]any{"sheets": 1.5}}},
		"unknown field":     map[string]any{"order": []any{}},
	} {
		if f := holds(t, "problem", v); len(f) != 1 {
			t.Errorf("%s: %v", source, f)
		}
	}
}

func TestUnknownDocument(t *testing.T) {
	if _, err := schema.Of("problme"); err == nil || !strings.Contains(err.Error(), "nearest: problem") {
		t.Errorf("%v", err)
	}
}
