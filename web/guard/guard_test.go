package guard_test

import (
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/web/guard"
)

func TestHosts(t *testing.T) {
	ok := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNoContent) })
	tests := []struct {
		why      string
		host     string
		loopback bool
		want     int
	}{
		{"the address itself", "127.0.0.1:8420", true, 204},
		{"another loopback address", "127.0.0.9", true, 204},
		{"IPv6", "[::1]:8420", true, 204},
		{"by name", "localhost:8420", true, 204},
		{"name in capitals", "LOCALHOST", true, 204},
		{"a name rebound to the loopback address", "desk.attacker.example:8420", true, 421},
		{"a name that only begins right", "localhost.attacker.example", true, 421},
		{"an outside address on a loopback desk", "192.0.2.7:8420", true, 421},
		{"an outside address on an open desk", "192.0.2.7:8420", false, 204},
		{"a rebound name on an open desk", "attacker.example", false, 421},
		{"no host", "", true, 421},
	}
	for _, tt := range tests {
		r := httptest.NewRequest("GET", "/", nil)
		r.Host = tt.host
		w := httptest.NewRecorder()
		guard.Wrap(ok, tt.loopback).ServeHTTP(w, r)
		if w.Code != tt.want {
			t.Errorf("%s (%s): status %d, want %d", tt.why, tt.host, w.Code, tt.want)
		}
		if got := w.Header().Get("Content-Security-Policy"); got != guard.Policy {
			t.Errorf("%s: policy %q", tt.why, got)
		}
	}
}

func TestFormsOfOtherSites(t *testing.T) {
	ok := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNoContent) })
	tests := []struct {
		why    string
		method string
		header map[string]string
		want   int
	}{
		{"own form", "POST", map[string]string{"Sec-Fetch-Site": "same-origin"}, 204},
		{"a script without a browser", "POST", nil, 204},
		{"another site's form", "POST", map[string]string{"Sec-Fetch-Site": "cross-site"}, 403},
		{"a sibling site's form", "POST", map[string]string{"Sec-Fetch-Site": "same-site"}, 403},
		{"an old browser, other origin", "POST", map[string]string{"Origin": "http://attacker.example"}, 403},
		{"an old browser, own origin", "POST", map[string]string{"Origin": "http://127.0.0.1:8420"}, 204},
		{"another port of this machine", "POST", map[string]string{"Origin": "http://127.0.0.1:9999"}, 403},
		{"a link from another site", "GET", map[string]string{"Sec-Fetch-Site": "cross-site"}, 204},
	}
	for _, tt := range tests {
		r := httptest.NewRequest(tt.method, "/", nil)
		r.Host = "127.0.0.1:8420"
		for k, v := range tt.header {
			r.Header.Set(k, v)
		}
		w := httptest.NewRecorder()
		guard.Wrap(ok, true).ServeHTTP(w, r)
		if w.Code != tt.want {
			t.Errorf("%s: status %d, want %d", tt.why, w.Code, tt.want)
		}
	}
}

func TestSizes(t *testing.T) {
	var got error
	read := http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) { _, got = io.Copy(io.Discard, r.Body) })
	r := httptest.NewRequest("POST", "/x", strings.NewReader(strings.Repeat("x", guard.FormBytes+1)))
	r.Host = "127.0.0.1"
	guard.Wrap(read, true).ServeHTTP(httptest.NewRecorder(), r)
	var tooBig *http.MaxBytesError
	if !errors.As(got, &tooBig) {
		t.Errorf("a form over the limit was read: %v", got)
	}
}

func TestLoopback(t *testing.T) {
	for listen, want := range map[string]bool{
		"127.0.0.1:0": true, "localhost:80": true, "[::1]:80": true, ":8420": false, "0.0.0.0:80": false, "192.0.2.1:80": false, "x": false,
	} {
		if guard.Loopback(listen) != want {
			t.Errorf("Loopback(%q) is not %v", listen, want)
		}
	}
}
