// Package api is the desk for programs: OpenAPI 3.1 at /api, answers in JSON
// with the unit in each field's name, errors as problem+json. It calls the same
// use cases as the pages.
package api

import (
	"errors"
	"log/slog"
	"net/http"
	"path"
	"reflect"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/web/frame"
)

// face holds what the operations need.
type face struct {
	desk *desk.Desk
	log  *slog.Logger
}

// Prefix is where the interface stands.
const Prefix = "/api"

// Mount adds every operation to mux under Prefix and returns the description.
// The library's own page of documentation loads scripts from elsewhere and is off.
func Mount(mux *http.ServeMux, d *desk.Desk, log *slog.Logger, version string) *huma.OpenAPI {
	config := huma.DefaultConfig("Flutewright", version)
	config.DocsPath = ""
	config.SchemasPath = ""
	config.CreateHooks = nil
	config.Info.Description = "The planning desk of a corrugated-board box plant. Quantities are SI; the unit stands in each field's name."
	config.Components.Schemas = registry()
	api := humago.NewWithPrefix(mux, Prefix, config)
	f := &face{d, log}
	f.orders(api)
	f.items(api)
	f.rolls(api)
	f.plans(api)
	f.promise(api)
	f.day(api)
	f.looks(api)
	f.faults(api)
	f.trucks(api)
	f.facts(api)
	f.imports(api)
	return api.OpenAPI()
}

// registry names schemas by package and type, because several packages have an
// Answer, and knows how our own types are written.
func registry() huma.Registry {
	r := huma.NewMapRegistry("#/components/schemas/", func(t reflect.Type, hint string) string {
		name := huma.DefaultSchemaNamer(t, hint)
		for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
			t = t.Elem()
		}
		if t.Name() == "" || t.PkgPath() == "" {
			return name
		}
		return titled(path.Base(t.PkgPath())) + name
	})
	number, text := reflect.TypeFor[float64](), reflect.TypeFor[string]()
	for _, t := range []reflect.Type{
		reflect.TypeFor[quantity.Length](), reflect.TypeFor[quantity.Distance](), reflect.TypeFor[quantity.Area](), reflect.TypeFor[quantity.Mass](),
		reflect.TypeFor[quantity.Force](), reflect.TypeFor[quantity.Grammage](), reflect.TypeFor[quantity.LineLoad](), reflect.TypeFor[quantity.Pressure](),
		reflect.TypeFor[quantity.Speed](), reflect.TypeFor[quantity.Money](), reflect.TypeFor[quantity.Minutes](),
	} {
		r.RegisterTypeAlias(t, number)
	}
	r.RegisterTypeAlias(reflect.TypeFor[ident.Release](), text)
	return r
}

func titled(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// problem turns a use case's error into problem+json, by the same kinds as the
// pages; what is ours is logged and worded blandly.
func (f *face) problem(err error) error {
	if err == nil {
		return nil
	}
	status, title, _ := frame.Status(err)
	var vs fault.Violations
	switch {
	case errors.As(err, &vs):
		details := make([]error, len(vs))
		for i, v := range vs {
			words := v.Rule
			if v.Remedy != "" {
				words += "; " + v.Remedy
			}
			details[i] = &huma.ErrorDetail{Location: v.Field, Message: words, Value: v.Value}
		}
		return huma.NewError(status, title, details...)
	case status == http.StatusInternalServerError:
		f.log.Error("api failed", "error", err)
		return huma.NewError(status, title)
	}
	return huma.NewError(status, err.Error())
}

// answer is a JSON body.
type answer[T any] struct{ Body T }

// say wraps a use case's result, or its error as a problem.
func say[T any](f *face, v T, err error) (*answer[T], error) {
	if err != nil {
		return nil, f.problem(err)
	}
	return &answer[T]{v}, nil
}

// who signs what a program does; programs name themselves in X-Who.
func who(name string) string {
	if name == "" {
		return "api"
	}
	return name
}

// cut returns one page of a list.
func cut[T any](rows []T, from, limit int) []T {
	from = min(max(from, 0), len(rows))
	return rows[from:min(from+limit, len(rows))]
}

// some returns an empty list for none, so that programs read [] and not null.
func some[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
