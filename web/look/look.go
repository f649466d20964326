// Package look holds the desk's style sheet and its few script modules, and
// serves them. Pages work without the scripts; nothing here comes from elsewhere.
package look

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"net/http"
	"path"
	"time"

	"github.com/flutewright/flutewright/draw"
)

//go:embed *.css *.js icon.svg
var files embed.FS

// sheets in the order of the cascade.
var sheets = []string{
	"palette.css", "base.css", "frame.css", "table.css", "form.css",
	"notice.css", "drawing.css", "runs.css", "crew.css", "print.css",
}

var (
	style   = joined()
	version = fingerprint()
)

// Style returns the address of the style sheet; it changes when the sheet does.
func Style() string { return "/look/desk.css?v=" + version }

// Script returns the address of a script module.
func Script(name string) string { return "/look/" + name + "?v=" + version }

// Handler serves /look/.
func Handler() http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		name := path.Base(r.URL.Path)
		body := style
		if name != "desk.css" {
			b, err := files.ReadFile(name)
			if err != nil || path.Ext(name) == ".css" {
				http.NotFound(w, r)
				return
			}
			body = b
		}
		if r.URL.Query().Get("v") == version {
			w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
		}
		http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(body))
	})
}

func joined() []byte {
	var b bytes.Buffer
	for _, s := range sheets {
		part, err := files.ReadFile(s)
		if err != nil {
			panic("look: " + err.Error())
		}
		b.Write(part)
		b.WriteByte('\n')
		if s == "drawing.css" {
			b.WriteString(draw.CSS)
		}
	}
	return b.Bytes()
}

func fingerprint() string {
	h := sha256.New()
	h.Write(style)
	entries, _ := files.ReadDir(".")
	for _, e := range entries {
		b, _ := files.ReadFile(e.Name())
		h.Write(b)
	}
	return hex.EncodeToString(h.Sum(nil))[:12]
}

// Icon returns the address of the desk's icon.
func Icon() string { return "/look/icon.svg?v=" + version }
