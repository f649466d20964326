// Package settings edits what is stated about the plant by form, part by part,
// in the plant's own units.
//
// A form shows each value as the plant's display writes it. A text that comes
// back as it was shown leaves the stored value alone, to the last digit:
// opening and saving a form rounds nothing, whatever the units.
package settings

import (
	"cmp"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/web/frame"
)

// form is one part's fields: built to be shown, or read from what was typed.
type form struct {
	frame.Figures
	typed  url.Values // nil: only shown
	parts  []*group
	faults fault.Violations
	apart  []frame.Amiss // what was typed otherwise than it stands
	row    *rowed        // the row of a list that is being built; nil outside lists
}

// group is fields under a heading, or a list of rows.
type group struct {
	Title  string
	Note   string
	Fields []frame.Field
	Heads  []string
	Rows   []line
}

// line is one row of a list.
type line struct {
	Number int // from 1
	Cells  []frame.Field
}

// rowed is a row being built.
type rowed struct {
	shownAs string // path that its fields get
	readAs  string // path under which they were typed
	empty   bool   // nothing was typed into it
	cells   []frame.Field
}

func (b *form) group(title, note string) {
	b.parts = append(b.parts, &group{Title: title, Note: note})
}

// add shows a field, and where it was typed otherwise than shown hands the text to set.
func (b *form) add(f frame.Field, set func(text string) error) {
	readAs := f.Name
	if b.row != nil {
		readAs, f.Name = b.row.readAs+"."+f.Name, b.row.shownAs+"."+f.Name
	}
	if texts, there := b.typed[readAs]; there {
		text := strings.TrimSpace(texts[len(texts)-1])
		if text != f.Value {
			b.apart = append(b.apart, frame.Amiss{At: f.Name, Words: f.Label + " stands at " + cmp.Or(f.Value, "nothing") + " now; yours is " + cmp.Or(text, "nothing")})
			if err := set(text); err != nil {
				b.fail(f.Name, text, err)
			}
		}
		f.Value = text
		if b.row != nil && text != "" && f.Kind != "select" {
			b.row.empty = false
		}
	}
	if b.row != nil {
		b.row.cells = append(b.row.cells, f)
		return
	}
	at := b.parts[len(b.parts)-1]
	at.Fields = append(at.Fields, f)
}

func (b *form) fail(field, text string, err error) {
	vs, other := frame.Violations(err)
	if other != nil {
		b.faults.Add(field, text, err.Error(), "")
		return
	}
	for _, v := range vs {
		v.Field = field
		b.faults = append(b.faults, v)
	}
}

// list builds the rows of a list, and spare rows for new ones; a row in which
// nothing is left is taken out.
func list[T any](b *form, path, title, note string, items *[]T, spare int, build func(b *form, v *T)) {
	g := &group{Title: title, Note: note}
	b.parts = append(b.parts, g)
	old := slices.Clone(*items)
	indices := make([]int, len(old), len(old)+spare)
	for i := range indices {
		indices[i] = i
	}
	if b.typed != nil {
		indices = typedRows(b.typed, path)
	}
	kept := (*items)[:0:0]
	row := func(readAt int, v T) bool {
		at := path + "[" + strconv.Itoa(len(g.Rows)) + "]"
		b.row = &rowed{shownAs: at, readAs: path + "[" + strconv.Itoa(readAt) + "]", empty: b.typed != nil}
		before := len(b.faults)
		build(b, &v)
		done := b.row
		b.row = nil
		if done.empty {
			b.faults = b.faults[:before]
			return false
		}
		g.Rows = append(g.Rows, line{len(g.Rows) + 1, done.cells})
		kept = append(kept, v)
		return true
	}
	for _, i := range indices {
		var v T
		if i < len(old) {
			v = old[i]
		}
		row(i, v)
	}
	*items = kept
	b.spare(g, path, spare, func(b *form) { var v T; build(b, &v) })
	for _, c := range g.Rows[0].Cells {
		g.Heads = append(g.Heads, c.Label)
	}
}

// spare adds empty rows to be typed into.
func (b *form) spare(g *group, path string, n int, build func(b *form)) {
	typed := b.typed
	b.typed = nil
	for range n {
		at := path + "[" + strconv.Itoa(len(g.Rows)) + "]"
		b.row = &rowed{shownAs: at, readAs: at}
		build(b)
		for i := range b.row.cells {
			if b.row.cells[i].Kind != "select" {
				b.row.cells[i].Value = ""
			}
		}
		g.Rows = append(g.Rows, line{len(g.Rows) + 1, b.row.cells})
		b.row = nil
	}
	b.typed = typed
}

// mostRows bounds a list; a plant has fewer of anything.
const mostRows = 2000

// typedRows returns the indices of the rows that were sent, in order.
func typedRows(typed url.Values, path string) []int {
	seen := map[int]bool{}
	for name := range typed {
		rest, ok := strings.CutPrefix(name, path+"[")
		if !ok {
			continue
		}
		digits, _, _ := strings.Cut(rest, "]")
		if n, err := strconv.Atoi(digits); err == nil && n >= 0 && n < mostRows {
			seen[n] = true
		}
	}
	out := make([]int, 0, len(seen))
	for n := range seen {
		out = append(out, n)
	}
	slices.Sort(out)
	return out
}

// mark sets violations beside their fields, in groups and rows, and returns the summary.
func (b *form) mark(vs fault.Violations) []frame.Amiss {
	var out []frame.Amiss
	for _, v := range b.InUnits(vs) {
		words := v.Rule
		if v.Remedy != "" {
			words += "; " + v.Remedy
		}
		if v.Value != "" {
			words = v.Value + " " + words
		}
		if f := b.find(v.Field); f != nil {
			f.Fault = words
			out = append(out, frame.Amiss{Words: f.Label + ": " + words, At: f.Name})
			continue
		}
		v.Value, v.Rule, v.Remedy = "", words, ""
		out = append(out, frame.Amiss{Words: v.String()})
	}
	return out
}

// find returns the field of a path, or the one that the path is a part of.
func (b *form) find(path string) *frame.Field {
	for path != "" {
		for _, g := range b.parts {
			for i := range g.Fields {
				if g.Fields[i].Name == path {
					return &g.Fields[i]
				}
			}
			for _, r := range g.Rows {
				for i := range r.Cells {
					if r.Cells[i].Name == path {
						return &r.Cells[i]
					}
				}
			}
		}
		at := strings.LastIndexAny(path, ".[")
		path = path[:max(at, 0)]
	}
	return nil
}
