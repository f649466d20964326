package draw

import (
	"fmt"
	"strconv"

	"github.com/flutewright/flutewright/base/quantity"
)

// LayerBundle is one bundle on the layer. X and Y are its near corner from the
// deck's corner, negative where it hangs over there.
type LayerBundle struct {
	X, Y          quantity.Length
	Length, Width quantity.Length // along the deck's length and width, as it lies
	Pieces        int             // boxes in it; 0 writes none
}

// PalletLayer is one layer of a unit load, seen from the top.
type PalletLayer struct {
	Title      string
	DeckLength quantity.Length
	DeckWidth  quantity.Length
	Bundles    []LayerBundle
}

// Overhang returns how far the bundles reach beyond the deck, over the worst
// edge; 0 where all lie within it.
func (l PalletLayer) Overhang() quantity.Length {
	var worst quantity.Length
	for _, b := range l.Bundles {
		worst = max(worst, -b.X, -b.Y, b.X+b.Length-l.DeckLength, b.Y+b.Width-l.DeckWidth)
	}
	return worst
}

// Layer draws a pallet layer from the top: the deck, the bundles with their
// counts, what hangs over in the signal role with its size.
func Layer(l PalletLayer, f quantity.Format) Drawing {
	p := layerPlan{canvas: canvas{em: max(l.DeckLength, l.DeckWidth, quantity.Millimetre) / 38, f: f}, l: l}
	x0, y0, x1, y1 := quantity.Length(0), quantity.Length(0), l.DeckLength, l.DeckWidth
	for _, b := range l.Bundles {
		x0, y0 = min(x0, b.X), min(y0, b.Y)
		x1, y1 = max(x1, b.X+b.Length), max(y1, b.Y+b.Width)
	}
	p.x0, p.y0 = p.ems(4.2)-x0, p.ems(3.4)-y0
	p.low = p.y0 + y1
	p.d.Title = l.Title
	p.d.Description = l.describe(f)
	p.d.Width = p.x0 + x1 + p.ems(3)
	p.d.Height = p.low + p.ems(6.2)
	p.deck()
	for _, b := range l.Bundles {
		p.bundle(b)
	}
	for _, b := range l.Bundles {
		p.overhang(b)
	}
	p.dimensions()
	return p.d
}

func (l PalletLayer) describe(f quantity.Format) string {
	unit := " " + f.LengthUnit()
	s := fmt.Sprintf("Deck %s × %s%s with %s", f.Length(l.DeckLength), f.Length(l.DeckWidth), unit, bundles(len(l.Bundles)))
	if len(l.Bundles) > 0 {
		b := l.Bundles[0]
		s += fmt.Sprintf(", the first %s × %s%s", f.Length(b.Length), f.Length(b.Width), unit)
	}
	if o := l.Overhang(); o > 0 {
		s += "; overhang " + f.Length(o) + unit
	}
	return s + "."
}

func bundles(n int) string {
	if n == 1 {
		return "1 bundle"
	}
	return strconv.Itoa(n) + " bundles"
}

type layerPlan struct {
	canvas
	l      PalletLayer
	x0, y0 quantity.Length // the deck's corner
	low    quantity.Length // lowest edge of deck or bundle
}

// deck is drawn as boards across its width with small gaps.
func (p *layerPlan) deck() {
	const boards = 7
	w, h := p.l.DeckLength, p.l.DeckWidth
	board := h.Scale(0.88 / boards)
	pitch := (h - board) / (boards - 1)
	for i := range quantity.Length(boards) {
		y := p.y0 + i*pitch
		p.rect(p.x0, y, p.x0+w, y+board, Deck)
	}
	p.line(p.x0, p.y0, p.x0+w, p.y0, Outline)
	p.line(p.x0, p.y0+h, p.x0+w, p.y0+h, Outline)
	p.line(p.x0, p.y0, p.x0, p.y0+h, Outline)
	p.line(p.x0+w, p.y0, p.x0+w, p.y0+h, Outline)
}

func (p *layerPlan) bundle(b LayerBundle) {
	x, y := p.x0+b.X, p.y0+b.Y
	p.rect(x, y, x+b.Length, y+b.Width, Board)
	p.line(x, y, x+b.Length, y, Cut)
	p.line(x, y+b.Width, x+b.Length, y+b.Width, Cut)
	p.line(x, y, x, y+b.Width, Cut)
	p.line(x+b.Length, y, x+b.Length, y+b.Width, Cut)
	if b.Pieces > 0 {
		words := strconv.Itoa(b.Pieces)
		size, _ := p.fitted(words, min(b.Length, b.Width)-p.ems(0.4), 1.3, 0.2)
		p.words(x+b.Length/2, y+b.Width/2+p.ems(size*0.35), size, "middle", Strong, words)
	}
}

// overhang marks the parts of a bundle that lie beyond the deck.
func (p *layerPlan) overhang(b LayerBundle) {
	x, y, w, h := b.X, b.Y, b.X+b.Length, b.Y+b.Width
	mark := func(x0, y0, x1, y1 quantity.Length) { p.rect(p.x0+x0, p.y0+y0, p.x0+x1, p.y0+y1, Signal) }
	mark(x, y, min(w, 0), h)
	mark(max(x, p.l.DeckLength), y, w, h)
	inner0, inner1 := max(x, 0), min(w, p.l.DeckLength)
	mark(inner0, y, inner1, min(h, 0))
	mark(inner0, max(y, p.l.DeckWidth), inner1, h)
}

func (p *layerPlan) dimensions() {
	left, right := p.x0, p.x0+p.l.DeckLength
	p.across([]quantity.Length{left, right}, p.low+p.ems(2), p.y0+p.l.DeckWidth+p.ems(0.2))
	low := p.y0 + p.l.DeckWidth
	p.down([]quantity.Length{p.y0, low}, p.ems(1.6), left-p.ems(0.3))
	if len(p.l.Bundles) > 0 {
		b := p.l.Bundles[0]
		p.across([]quantity.Length{p.x0 + b.X, p.x0 + b.X + b.Length}, p.ems(1.9), p.y0+b.Y-p.ems(0.2))
	}
	note := bundles(len(p.l.Bundles)) + " a layer · dimensions in " + lengthWord(p.f)
	y := p.d.Height - p.ems(0.9)
	size, _ := p.fitted(note, p.d.Width-p.ems(1), 0.9, 0.2)
	p.words(p.ems(0.5), y, size, "start", Dim, note)
	if o := p.l.Overhang(); o > 0 {
		p.words(p.ems(0.5), y-p.ems(1.3), 1, "start", Signal, "overhang "+p.f.Length(o)+" "+p.f.LengthUnit())
	}
}
