package api

import (
	"cmp"
	"slices"

	"github.com/danielgtaylor/huma/v2"
)

// Operation is one operation in words, for people who read about it.
type Operation struct{ Method, Path, Summary string }

// Operations lists what a description holds, by path.
func Operations(doc *huma.OpenAPI) []Operation {
	var out []Operation
	for path, item := range doc.Paths {
		for method, op := range map[string]*huma.Operation{"GET": item.Get, "POST": item.Post, "PUT": item.Put} {
			if op != nil {
				out = append(out, Operation{method, Prefix + path, op.Summary})
			}
		}
	}
	slices.SortFunc(out, func(a, b Operation) int { return cmp.Or(cmp.Compare(a.Path, b.Path), cmp.Compare(a.Method, b.Method)) })
	return out
}
