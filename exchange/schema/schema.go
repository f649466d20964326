// Package schema writes the JSON Schema (draft 2020-12) of each document that
// other programs exchange with the desk, made of the Go types themselves.
package schema

import (
	"encoding/json"
	"maps"
	"reflect"
	"slices"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/exchange/cells"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plan/webs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
)

// document is one kind of document.
type document struct {
	title string
	of    reflect.Type
	input bool // written by others: nothing but the names of fields is required
}

var documents = map[string]document{
	"problem":   {"Trim problem, read by the command trim", reflect.TypeFor[runs.Problem](), true},
	"plan":      {"Plan of runs, written by the command trim", reflect.TypeFor[runs.Answer](), false},
	"jobs":      {"Jobs on machines, read by the command jobs", reflect.TypeFor[jobs.Pool](), true},
	"sequences": {"Sequences of jobs, written by the command jobs", reflect.TypeFor[jobs.PoolAnswer](), false},
	"webs":      {"Sets of web widths with their cost, written by the command webs", reflect.TypeFor[webs.Result](), false},
	"plan.json": {"Whole plan, written by the command plan", reflect.TypeFor[plan.Plan](), false},
	"plant":     {"Plant, read by the command plan", reflect.TypeFor[plant.Plant](), true},
	"book":      {"Plant with its customers, items, order lines and paper", reflect.TypeFor[plant.Book](), true},
	"orders":    {"Order file as read, with the rows that wait", reflect.TypeFor[order.File](), false},
}

// Names lists the documents.
func Names() []string { return slices.Sorted(maps.Keys(documents)) }

// numbers are the types that stand as plain numbers in the unit of their field's name.
var numbers = []reflect.Type{
	reflect.TypeFor[quantity.Length](), reflect.TypeFor[quantity.Distance](), reflect.TypeFor[quantity.Grammage](),
	reflect.TypeFor[quantity.LineLoad](), reflect.TypeFor[quantity.Pressure](), reflect.TypeFor[quantity.Speed](),
	reflect.TypeFor[quantity.Area](), reflect.TypeFor[quantity.Mass](), reflect.TypeFor[quantity.Force](),
	reflect.TypeFor[quantity.Money](), reflect.TypeFor[quantity.Minutes](),
}

// Of returns the JSON Schema of a document, or fault.Violations for an unknown name.
func Of(name string) ([]byte, error) {
	d, ok := documents[name]
	if !ok {
		return nil, fault.Violations{{Field: "name", Value: cells.Clip(name), Rule: "is no document", Remedy: cells.Known(name, "documents", Names())}}
	}
	const prefix = "#/$defs/"
	r := huma.NewMapRegistry(prefix, named)
	for _, t := range numbers {
		r.RegisterTypeAlias(t, reflect.TypeFor[float64]())
	}
	r.RegisterTypeAlias(reflect.TypeFor[ident.Release](), reflect.TypeFor[string]())
	root := r.Schema(d.of, true, "")
	if d.input {
		for _, s := range r.Map() {
			s.Required = nil
		}
	}
	return json.MarshalIndent(struct {
		Schema string                  `json:"$schema"`
		Title  string                  `json:"title"`
		Ref    string                  `json:"$ref"`
		Defs   map[string]*huma.Schema `json:"$defs"`
	}{"https://json-schema.org/draft/2020-12/schema", d.title, root.Ref, r.Map()}, "", " ")
}

// named calls a type by its package and name, since several stations have an Answer.
func named(t reflect.Type, hint string) string {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t.Name() == "" {
		return hint
	}
	p := t.PkgPath()
	return p[strings.LastIndex(p, "/")+1:] + t.Name()
}
