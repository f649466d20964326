package board

import (
	"fmt"

	"github.com/flutewright/flutewright/base/ident"

	"github.com/flutewright/flutewright/base/quantity"
)

// NewCatalogue indexes papers and flutes by their codes.
func NewCatalogue(papers []Paper, flutes []Flute) Catalogue {
	var c Catalogue
	c.Papers = make(map[ident.Paper]Paper, len(papers))
	c.Flutes = make(map[ident.Flute]Flute, len(flutes))
	for _, p := range papers {
		c.Papers[p.Code] = p
	}
	for _, f := range flutes {
		c.Flutes[f.Code] = f
	}
	return c
}

// Limits of the short formula: the perimeter at most 7 times the depth
// (source: German Wikipedia, "Edge Crush Test"), the length at most 2.5 times
// the width (common practice, no published source).
const (
	perimeterPerDepth = 7
	lengthPerWidth    = 2.5
)

// OutsideMcKeeRange says in words what about a box lies outside the range that
// the short formula was fitted for; nothing where all is inside.
func OutsideMcKeeRange(length, width, height quantity.Length) (out []string) {
	if z := 2 * (length + width); z > perimeterPerDepth*height && height > 0 {
		out = append(out, fmt.Sprintf("the perimeter is %.1f times the height: beyond %d the formula is out of its range", float64(z)/float64(height), perimeterPerDepth))
	}
	if float64(length) > lengthPerWidth*float64(width) && width > 0 {
		out = append(out, fmt.Sprintf("the length is %.1f times the width: beyond %.1f the formula is out of its range", float64(length)/float64(width), lengthPerWidth))
	}
	return out
}
