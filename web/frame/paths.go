package frame

import (
	"fmt"
	"net/http"
	"net/url"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
)

// OrderPath returns the address of a release's page.
func OrderPath(r ident.Release) string { return "/orders/" + releasePath(r) }

// LoadPath returns the address of a release's load.
func LoadPath(r ident.Release) string { return "/loads/" + releasePath(r) }

// OrderPathOf returns the address of the order that a plan names as text.
func OrderPathOf(order string) string {
	r, err := ident.ParseRelease(order)
	if err != nil {
		return "/orders"
	}
	return OrderPath(r)
}

// ItemPath returns the address of an item's page.
func ItemPath(i ident.Item) string { return "/boxes/" + url.PathEscape(string(i)) }

// PlanPath returns the address of a plan's page.
func PlanPath(p ident.Plan) string { return fmt.Sprintf("/plans/%d", p) }

func releasePath(r ident.Release) string {
	return url.PathEscape(r.Order) + "/" + url.PathEscape(r.Line) + "/" + url.PathEscape(r.Release)
}

// ReleaseOf reads the release in a request's path.
func ReleaseOf(r *http.Request) (ident.Release, error) {
	key := ident.Release{Order: r.PathValue("order"), Line: r.PathValue("line"), Release: r.PathValue("release")}
	if key.Order == "" || key.Line == "" || key.Release == "" {
		return key, fmt.Errorf("order %s: %w", key, fault.NotFound)
	}
	return key, nil
}

// Escape makes a value safe inside an address's query.
func Escape(s string) string { return url.QueryEscape(s) }
