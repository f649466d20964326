package frame

import (
	"net/http"
	"net/url"
	"strconv"
)

// Pager cuts a list into pages and keeps the filters in its links.
type Pager struct {
	From, To, Of int // rows shown, from 1
	Before, Next string
}

// Cut returns the rows of the page that the request asks for, size rows a page.
func Cut[T any](r *http.Request, rows []T, size int) ([]T, Pager) {
	page, _ := strconv.Atoi(r.FormValue("page"))
	last := max(1, (len(rows)+size-1)/size)
	page = min(max(page, 1), last)
	from, to := (page-1)*size, min(page*size, len(rows))
	p := Pager{From: from + 1, To: to, Of: len(rows)}
	if page > 1 {
		p.Before = With(r, "page", strconv.Itoa(page-1))
	}
	if page < last {
		p.Next = With(r, "page", strconv.Itoa(page+1))
	}
	return rows[from:to], p
}

// With returns the request's own address with one value of its query set.
func With(r *http.Request, name, value string) string {
	q := url.Values{}
	for k, v := range r.URL.Query() {
		q[k] = v
	}
	if value == "" {
		q.Del(name)
	} else {
		q.Set(name, value)
	}
	if len(q) == 0 {
		return r.URL.Path
	}
	return r.URL.Path + "?" + q.Encode()
}
