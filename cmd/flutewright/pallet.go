package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/draw"
	"github.com/flutewright/flutewright/solve/pack"
)

// palletCmd lays one layer of equal rectangles on a deck.
type palletCmd struct {
	Deck       string  `required:"" help:"Deck, length x width in mm: 1200x1000." placeholder:"LxW"`
	Case       string  `required:"" help:"Footprint of one case or bundle in mm: 400x300." placeholder:"LxW"`
	OverhangMM float64 `name:"overhang-mm" help:"Overhang allowed on each side."`
	JSON       bool    `name:"json" help:"Answer in JSON."`
	SVG        string  `name:"svg" help:"Draw the layer into this SVG file." type:"path"`
}

// layerPlace is one case of the layer, its corner from the deck's corner.
type layerPlace struct {
	X      quantity.Length `json:"x_mm"`
	Y      quantity.Length `json:"y_mm"`
	Turned bool            `json:"turned"`
}

// palletAnswer is the document of the pallet command: see docs/interchange.md.
type palletAnswer struct {
	Count   int          `json:"count"`
	Bound   int          `json:"bound"`
	Optimal bool         `json:"optimal"`
	Boxes   []layerPlace `json:"boxes"`
}

// Run lays the layer and writes the answer. A case larger than the deck is an
// answer of 0, not an error.
func (c *palletCmd) Run(e *env) error {
	var v fault.Violations
	deckX, deckY := flatSize(&v, "--deck", c.Deck)
	caseX, caseY := flatSize(&v, "--case", c.Case)
	over := quantity.FromMillimetres(c.OverhangMM)
	v.Require(c.OverhangMM >= 0 && c.OverhangMM <= 500, "--overhang-mm", fmt.Sprint(c.OverhangMM), "must be from 0 to 500 mm")
	if err := v.Err(); err != nil {
		return err
	}
	r, err := pack.Solve(e.ctx, pack.Problem{DeckX: int64(deckX + 2*over), DeckY: int64(deckY + 2*over), BoxX: int64(caseX), BoxY: int64(caseY)}, pack.Options{})
	if err != nil {
		return err
	}
	a := palletAnswer{Count: r.Count, Bound: r.Bound, Optimal: r.Optimal, Boxes: []layerPlace{}}
	for _, q := range r.Places {
		a.Boxes = append(a.Boxes, layerPlace{quantity.Length(q.X) - over, quantity.Length(q.Y) - over, q.Turned})
	}
	if c.SVG != "" {
		layer := draw.PalletLayer{Title: fmt.Sprintf("%d of %s on %s", a.Count, c.Case, c.Deck), DeckLength: deckX, DeckWidth: deckY}
		for _, b := range a.Boxes {
			size := draw.LayerBundle{X: b.X, Y: b.Y, Length: caseX, Width: caseY}
			if b.Turned {
				size.Length, size.Width = caseY, caseX
			}
			layer.Bundles = append(layer.Bundles, size)
		}
		if err := writeWhole(c.SVG, func(w io.Writer) error { return draw.WriteSVG(w, draw.Layer(layer, quantity.Format{})) }); err != nil {
			return err
		}
	}
	if c.JSON {
		return writeDocument(e, "", a)
	}
	return a.table(e, c)
}

// flatSize reads "1200x1000" in millimetres.
func flatSize(v *fault.Violations, field, text string) (x, y quantity.Length) {
	a, b, ok := strings.Cut(strings.ToLower(text), "x")
	if !ok {
		v.Add(field, text, "must be length x width in mm, such as 1200x1000", "")
		return 1, 1
	}
	for _, part := range []struct {
		text string
		to   *quantity.Length
	}{{a, &x}, {b, &y}} {
		l, err := quantity.Format{}.ParseLength(part.text)
		if err != nil || l <= 0 || l > 20*quantity.Metre {
			v.Add(field, text, "must have two sizes from 1 to 20,000 mm", "")
			return 1, 1
		}
		*part.to = l
	}
	return x, y
}

func (a palletAnswer) table(e *env, c *palletCmd) error {
	proof := fmt.Sprintf("at most %d fit", a.Bound)
	if a.Optimal {
		proof = "no layout holds more"
	}
	if _, err := fmt.Fprintf(e.stdout, "%d of %s on %s: %s\n", a.Count, c.Case, c.Deck, proof); err != nil {
		return err
	}
	w := tabwriter.NewWriter(e.stdout, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "x mm\ty mm\tturned\t")
	for _, b := range a.Boxes {
		fmt.Fprintf(w, "%v\t%v\t%v\t\n", b.X.Millimetres(), b.Y.Millimetres(), b.Turned)
	}
	return w.Flush()
}
