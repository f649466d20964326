// Package frame is what all pages of the desk share: the layout they stand in,
// the words and figures of their templates, forms with their faults, and the
// one place where an error becomes a page.
package frame

import (
	"bytes"
	"log/slog"
	"net/http"
	"time"

	"html/template"

	"github.com/flutewright/flutewright/desk"
)

// Frame gives pages the desk and their surroundings.
type Frame struct {
	Desk *desk.Desk
	Log  *slog.Logger
}

// Link is a place to go, in words.
type Link struct{ Words, To string }

// Base is the part of every page struct that the layout shows.
type Base struct {
	Title   string // the page's one h1
	Section string // where it stands on the way through the plant
	Trail   []Link // pages above it
	Acts    []Link // what can be done from it
	Works   string // the plant's name
	Who     string // who sits at this desk
	Said    string // one sentence on what was just done
	Amiss   []Amiss
	F       Figures
	Now     time.Time
	Refresh int // seconds until a browser without scripts loads the page anew; 0: never
}

// Amiss is one fault of a form; At is the field's name, empty where none has it.
type Amiss struct{ Words, At string }

// Sections are the words of the way through the plant, in order.
var Sections = []Link{
	{"Today", "/"}, {"Orders", "/orders"}, {"Boxes", "/boxes"}, {"Board", "/board"}, {"Runs", "/runs"}, {"Rolls", "/rolls"},
	{"Jobs", "/jobs"}, {"Loads", "/loads"}, {"Plans", "/plans"}, {"Plant", "/plant"},
}

// Base returns the base of a page, with the words that the last act left to be
// shown once. It needs the book's snapshot for the plant's name and units.
func (f *Frame) Base(w http.ResponseWriter, r *http.Request, snap *desk.Snapshot, section, title string) Base {
	return Base{
		Title: title, Section: section,
		Works: snap.Plant.Name, Who: Who(r), Said: takeSaid(w, r),
		F: FiguresOf(snap), Now: f.Desk.Now(),
	}
}

// Render writes the page, whole or not at all.
func (f *Frame) Render(w http.ResponseWriter, status int, t *template.Template, page any) error {
	var b bytes.Buffer
	if err := t.ExecuteTemplate(&b, "layout", page); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, err := b.WriteTo(w)
	return Gone(err)
}
