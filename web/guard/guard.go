// Package guard stands before every page: it answers only to names of this
// machine, takes no form from another site, limits what is sent, and sets the
// headers that keep a page from loading anything that is not its own.
package guard

import (
	"net"
	"net/http"
	"net/netip"
	"os"
	"strings"
)

// Policy is the content security policy of every answer: own files only, no
// inline script or style, no frame.
const Policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
	"form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// Sizes of what may be sent.
const (
	FormBytes = 1 << 20
	FileBytes = 24 << 20
)

// Wrap guards next. Loopback says that the server listens on the loopback
// address only; then no other host name than the loopback's is answered. Also
// are further names of an open desk, as the plant's network knows it.
func Wrap(next http.Handler, loopback bool, also ...string) http.Handler {
	own := names(also)
	refuse := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		http.Error(w, "Refused: this form was sent by another site.", http.StatusForbidden)
	})
	sameSite := http.NewCrossOriginProtection()
	sameSite.SetDenyHandler(refuse)
	guarded := sameSite.Handler(limited(next))
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		headers(w.Header())
		if !known(r.Host, own, loopback) {
			http.Error(w, "Refused: this desk does not answer to that host name.", http.StatusMisdirectedRequest)
			return
		}
		guarded.ServeHTTP(w, r)
	})
}

func headers(h http.Header) {
	h.Set("Content-Security-Policy", Policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("X-Frame-Options", "DENY")
	h.Set("Referrer-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Permissions-Policy", "camera=(), geolocation=(), microphone=()")
	h.Set("Cache-Control", "no-store")
}

// limited bounds the body: a file where a file is sent, a form elsewhere.
func limited(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		most := int64(FormBytes)
		if strings.HasPrefix(r.Header.Get("Content-Type"), "multipart/") || strings.HasPrefix(r.URL.Path, "/api/import") {
			most = FileBytes
		}
		r.Body = http.MaxBytesReader(w, r.Body, most)
		next.ServeHTTP(w, r)
	})
}

// names are the host names that mean this machine beside addresses.
func names(also []string) map[string]bool {
	own := map[string]bool{"localhost": true}
	for _, name := range also {
		own[strings.ToLower(name)] = true
	}
	if name, err := os.Hostname(); err == nil {
		own[strings.ToLower(name)] = true
	}
	return own
}

// known says whether host is an address, or a name of this machine: a name
// that someone else's server resolves to this address is neither.
func known(host string, own map[string]bool, loopback bool) bool {
	name, _, err := net.SplitHostPort(host)
	if err != nil {
		name = host
	}
	name = strings.ToLower(strings.Trim(name, "[]"))
	addr, err := netip.ParseAddr(name)
	switch {
	case err == nil && loopback:
		return addr.IsLoopback()
	case err == nil:
		return true
	case loopback:
		return name == "localhost"
	}
	return own[name]
}

// Loopback says whether a listening address is reached from this machine alone.
func Loopback(listen string) bool {
	host, _, err := net.SplitHostPort(listen)
	if err != nil {
		return false
	}
	if host == "localhost" {
		return true
	}
	addr, err := netip.ParseAddr(strings.Trim(host, "[]"))
	return err == nil && addr.IsLoopback()
}
