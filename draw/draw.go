// Package draw describes pictures as data with meanings, and writes the same
// picture as SVG and as PDF. Roles say what a mark is; writers decide its look:
// cut lines solid, scores dashed, waste hatched (line types after ISO 128),
// never colour alone.
package draw

import "github.com/flutewright/flutewright/base/quantity"

// Role is what a mark means.
type Role string

const (
	Cut      Role = "cut"      // cut edge, solid
	Score    Role = "score"    // crease, dashed
	Outline  Role = "outline"  // thin frame line
	Dim      Role = "dim"      // dimension line
	Centre   Role = "centre"   // chain line
	Board    Role = "board"    // board area, filled with the board tone
	BoardAlt Role = "boardalt" // second order's board area, told apart by tone and hatching direction
	Waste    Role = "waste"    // hatched area
	Deck     Role = "deck"     // pallet, machine part
	Bar      Role = "bar"      // barcode bar: solid black always
	Label    Role = "label"    // text
	Strong   Role = "strong"   // large or bold text
	Signal   Role = "signal"   // needs a decision
)

// Point is a place in the drawing, y downwards.
type Point struct{ X, Y quantity.Length }

// Line runs from A to B.
type Line struct {
	A, B   Point
	Role   Role
	Arrows bool // at both ends: a dimension
}

// Rect is a filled or framed rectangle.
type Rect struct {
	At            Point
	Width, Height quantity.Length
	Role          Role
}

// Text is one line of words. Size is the type size, ascender to descender.
type Text struct {
	At     Point // on the baseline
	Size   quantity.Length
	Anchor string // start (default), middle, end
	Turned bool   // a quarter turn to the left
	Words  string
	Role   Role
}

// Drawing is a titled picture in a Width × Height frame. Marks are drawn rects, lines, texts, each in order.
type Drawing struct {
	ID          string // unique on the page, for hatch patterns; "" derives one from the content
	Title       string
	Description string // for who cannot see it
	Width       quantity.Length
	Height      quantity.Length
	Rects       []Rect
	Lines       []Line
	Texts       []Text
}
