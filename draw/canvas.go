package draw

import (
	"sort"
	"unicode/utf8"

	"github.com/flutewright/flutewright/base/quantity"
)

// canvas collects the marks of one drawing. Its unit em is the type size, which
// also sets every margin, so that a picture looks the same at any real size.
type canvas struct {
	d  Drawing
	em quantity.Length
	f  quantity.Format
}

// ems is n type sizes.
func (c *canvas) ems(n float64) quantity.Length { return c.em.Scale(n) }

func (c *canvas) rect(x0, y0, x1, y1 quantity.Length, r Role) {
	if x1 <= x0 || y1 <= y0 {
		return
	}
	c.d.Rects = append(c.d.Rects, Rect{Point{x0, y0}, x1 - x0, y1 - y0, r})
}

func (c *canvas) line(x0, y0, x1, y1 quantity.Length, r Role) {
	if x0 == x1 && y0 == y1 {
		return
	}
	c.d.Lines = append(c.d.Lines, Line{A: Point{x0, y0}, B: Point{x1, y1}, Role: r})
}

func (c *canvas) arrow(x0, y0, x1, y1 quantity.Length, r Role) {
	c.d.Lines = append(c.d.Lines, Line{Point{x0, y0}, Point{x1, y1}, r, true})
}

func (c *canvas) words(x, y quantity.Length, size float64, anchor string, r Role, words string) {
	c.d.Texts = append(c.d.Texts, Text{At: Point{x, y}, Size: c.ems(size), Anchor: anchor, Words: words, Role: r})
}

func (c *canvas) turned(x, y quantity.Length, size float64, anchor string, r Role, words string) {
	c.d.Texts = append(c.d.Texts, Text{Point{x, y}, c.ems(size), anchor, true, words, r})
}

// wordWidth is a generous estimate of a text's width: no face used here is wider on digits and capitals.
func wordWidth(words string, size quantity.Length) quantity.Length {
	return size.Scale(0.6 * float64(utf8.RuneCountInString(words)))
}

// fitted returns the size in ems, at most want and at least least, at which
// words fit the width, and whether they do.
func (c *canvas) fitted(words string, width quantity.Length, want, least float64) (float64, bool) {
	full := wordWidth(words, c.ems(want))
	if full <= width || full == 0 {
		return want, true
	}
	size := want * float64(width) / float64(full)
	if size < least {
		return least, false
	}
	return size, true
}

const dimSize = 0.85 // ems of a dimension's figures

// across dimensions the distances between the positions xs, left to right, on
// one line at y; short extension lines rise to from.
func (c *canvas) across(xs []quantity.Length, y, from quantity.Length) {
	up := true
	for i, x := range xs {
		c.line(x, from, x, y+c.ems(0.4), Dim)
		if i == 0 || x == xs[i-1] {
			continue
		}
		a := xs[i-1]
		c.arrow(a, y, x, y, Dim)
		words := c.f.Length(x - a)
		at := y - c.ems(0.25)
		if wordWidth(words, c.ems(dimSize)) > x-a { // too narrow: beside the chain, or in a second row by turns
			room := wordWidth(words, c.ems(dimSize)) + c.ems(0.4)
			if i == 1 && a >= room {
				c.words(a-c.ems(0.3), y+c.ems(0.3), dimSize, "end", Label, words)
				continue
			}
			if i == len(xs)-1 && c.d.Width-x >= room {
				c.words(x+c.ems(0.3), y+c.ems(0.3), dimSize, "start", Label, words)
				continue
			}
			if up {
				at -= c.ems(0.85)
			}
			up = !up
		} else {
			up = true
		}
		c.words(within((a+x)/2, wordWidth(words, c.ems(dimSize)), c.d.Width), at, dimSize, "middle", Label, words)
	}
}

// within moves the middle of a text of the width as far as the frame 0..end wants it.
func within(middle, width, end quantity.Length) quantity.Length {
	return max(min(middle, end-width/2-1), width/2+1)
}

// down is across for positions ys from top to bottom on a line at x, figures turned.
func (c *canvas) down(ys []quantity.Length, x, from quantity.Length) {
	left := true
	for i, y := range ys {
		c.line(from, y, x-c.ems(0.4), y, Dim)
		if i == 0 || y == ys[i-1] {
			continue
		}
		b := ys[i-1]
		c.arrow(x, b, x, y, Dim)
		words := c.f.Length(y - b)
		at := x - c.ems(0.25)
		if wordWidth(words, c.ems(dimSize)) > y-b {
			if left {
				at -= c.ems(0.85)
			}
			left = !left
		} else {
			left = true
		}
		c.turned(at, within((b+y)/2, wordWidth(words, c.ems(dimSize)), c.d.Height), dimSize, "middle", Label, words)
	}
}

// spread moves rising positions apart to at least gap, as little as possible
// and within low..high where they all fit. It returns the new positions.
func spread(at []quantity.Length, gap, low, high quantity.Length) []quantity.Length {
	n := len(at)
	if n == 0 {
		return nil
	}
	if room := (high - low) / quantity.Length(max(n-1, 1)); gap > room {
		gap = room
	}
	// Groups of touching figures share one block, placed where its members' mean wants it.
	type block struct {
		first, n int
		sum      quantity.Length // of position − index·gap
	}
	var blocks []block
	place := func(b block) quantity.Length {
		p := b.sum / quantity.Length(b.n)
		return min(max(p, low), high-quantity.Length(b.n-1)*gap)
	}
	for i, x := range at {
		blocks = append(blocks, block{i, 1, x})
		for len(blocks) > 1 {
			a, b := blocks[len(blocks)-2], blocks[len(blocks)-1]
			if place(a)+quantity.Length(a.n)*gap <= place(b) {
				break
			}
			joined := block{a.first, a.n + b.n, a.sum + b.sum - quantity.Length(a.n*b.n)*gap}
			blocks = append(blocks[:len(blocks)-2], joined)
		}
	}
	out := make([]quantity.Length, 0, n)
	for _, b := range blocks {
		p := place(b)
		for k := range b.n {
			out = append(out, p+quantity.Length(k)*gap)
		}
	}
	return out
}

// lengthWord is the unit of lengths in a sentence.
func lengthWord(f quantity.Format) string {
	if f.US {
		return "inches"
	}
	return f.LengthUnit()
}

func sorted(at []quantity.Length) []quantity.Length {
	out := append([]quantity.Length(nil), at...)
	sort.Slice(out, func(i, j int) bool { return out[i] < out[j] })
	return out
}

// positions are the running sums of parts, starting at from.
func positions(from quantity.Length, parts []quantity.Length) []quantity.Length {
	out := []quantity.Length{from}
	for _, p := range parts {
		from += p
		out = append(out, from)
	}
	return out
}

func sum(parts []quantity.Length) (total quantity.Length) {
	for _, p := range parts {
		total += p
	}
	return total
}
