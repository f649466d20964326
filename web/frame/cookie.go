package frame

import (
	"encoding/base64"
	"net/http"
	"strings"
	"unicode"

	"crypto/rand"
)

// unsigned stands for who has not given a name.
const unsigned = "desk"

// Who returns the name that edits and facts are signed with.
func Who(r *http.Request) string {
	if name := cookie(r, "who"); name != "" {
		return name
	}
	return unsigned
}

// SetWho keeps a name for a year, cut to what fits a line of the history.
func SetWho(w http.ResponseWriter, name string) {
	name = strings.Join(strings.FieldsFunc(name, func(c rune) bool { return unicode.IsControl(c) || unicode.IsSpace(c) }), " ")
	if r := []rune(name); len(r) > 40 {
		name = string(r[:40])
	}
	setCookie(w, "who", name, 365*24*3600)
}

// Done says words on the next page, once, and goes there.
func Done(w http.ResponseWriter, r *http.Request, to, words string) error {
	setCookie(w, "said", words, 60)
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

func takeSaid(w http.ResponseWriter, r *http.Request) string {
	words := cookie(r, "said")
	if words != "" {
		setCookie(w, "said", "", -1)
	}
	return words
}

func setCookie(w http.ResponseWriter, name, value string, age int) {
	http.SetCookie(w, &http.Cookie{
		Name: name, Value: base64.RawURLEncoding.EncodeToString([]byte(value)), Path: "/",
		MaxAge: age, HttpOnly: true, SameSite: http.SameSiteStrictMode,
	})
}

func cookie(r *http.Request, name string) string {
	c, err := r.Cookie(name)
	if err != nil {
		return ""
	}
	b, err := base64.RawURLEncoding.DecodeString(c.Value)
	if err != nil {
		return ""
	}
	return string(b)
}

// Once returns a new id for a form's hidden field: a form that is sent twice
// carries the same id twice, and the second is harmless.
func Once() string { return rand.Text() }
