package convert

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/box"
)

// Spec is what a machine must know of a box to judge whether it can make it.
type Spec struct {
	Style   box.Style
	Sheet   box.Sheet
	Flute   ident.Flute
	Panels  []quantity.Length // body panels along the chop, glue lap left out; none: not judged
	Colours int
	Plate   ident.Plate
	Die     ident.Die
}

// Steps returns the kinds of machine that a style passes after the corrugator, in order:
//
//	01xx                      none: the sheet is the product
//	0210–0217, 07xx           die cutter, then specialty folder-gluer
//	other 02xx, 0501          folder-gluer
//	all others                die cutter
//
// Common practice, no published source; an item's agreed route goes before it.
func Steps(s box.Style) []Kind {
	switch code := string(s); {
	case strings.HasPrefix(code, "01"):
		return nil
	case code >= "0210" && code <= "0217" && len(code) == 4, strings.HasPrefix(code, "07"):
		return []Kind{DieCutter, SpecialtyFolderGluer}
	case strings.HasPrefix(code, "02"), code == "0501":
		return []Kind{FolderGluer}
	}
	return []Kind{DieCutter}
}

// Refuse says why m cannot do the given step (1 is the first after the
// corrugator) of a box by the style's rule: the wrong kind of machine, or what
// Misfit says. It is "" when m can.
func Refuse(m Machine, s Spec, step int) string {
	kinds := Steps(s.Style)
	if step < 1 || step > len(kinds) {
		return fmt.Sprintf("style %s has no converting step %d: it needs no converting machine for it", s.Style, step)
	}
	if m.Kind != kinds[step-1] {
		return fmt.Sprintf("style %s needs a %s, not a %s", s.Style, kinds[step-1], m.Kind)
	}
	return Misfit(m, s, step)
}

// Misfit gives each limit of m that the box breaks, with value and remedy,
// joined by "; "; "" when there is none. It does not ask whether the style
// suits the kind of machine: an agreed route may say otherwise. Only the first
// step sees the sheet: later ones take cut blanks, for which a machine states
// no limits here.
func Misfit(m Machine, s Spec, step int) string {
	var why []string
	if len(m.Flutes) > 0 && !slices.Contains(m.Flutes, s.Flute) {
		why = append(why, fmt.Sprintf("flute %s is not among %s: choose a machine for this flute", s.Flute, joined(m.Flutes)))
	}
	if step == 1 {
		why = append(why, refuseSize(m, s)...)
		if s.Colours > m.MaxColours {
			why = append(why, fmt.Sprintf("colours %d > %d: print fewer colours or choose a machine with more", s.Colours, m.MaxColours))
		}
	}
	return strings.Join(why, "; ")
}

func refuseSize(m Machine, s Spec) (why []string) {
	over := func(name string, value, limit quantity.Length) {
		if limit > 0 && value > limit {
			why = append(why, fmt.Sprintf("%s %s > %s mm: needs a larger machine", name, grouped(value), grouped(limit)))
		}
	}
	under := func(name string, value, limit quantity.Length, remedy string) {
		if value < limit {
			why = append(why, fmt.Sprintf("%s %s < %s mm: %s", name, grouped(value), grouped(limit), remedy))
		}
	}
	over("across", s.Sheet.Chop, m.Max.Across)
	over("feed", s.Sheet.Slit, m.Max.Feed)
	under("across", s.Sheet.Chop, m.Min.Across, "needs a smaller machine")
	under("feed", s.Sheet.Slit, m.Min.Feed, "needs a smaller machine")
	if len(s.Panels) > 0 {
		under("panel", slices.Min(s.Panels), m.MinPanel, "needs a machine with closer slotting heads")
	}
	return why
}

// Warn says what speaks against m for so many pieces without forbidding it; "" when nothing does.
func Warn(m Machine, pieces int) string {
	if pieces < m.MinOrder {
		return fmt.Sprintf("%d pieces < %d: a small order for this machine", pieces, m.MinOrder)
	}
	return ""
}

// Turn says whether a stack must be turned over before feeding: sheets that come
// print side down suit machines that print from below, and the other way round.
// An unprinted sheet is never turned.
func Turn(m Machine, printLinerDown bool, colours int) bool {
	return colours > 0 && m.MaxColours > 0 && printLinerDown != m.PrintsBelow
}

func joined(flutes []ident.Flute) string {
	names := make([]string, len(flutes))
	for i, f := range flutes {
		names[i] = string(f)
	}
	return strings.Join(names, ", ")
}

// grouped writes millimetres with a comma between thousands: "1,020", "18.5".
func grouped(l quantity.Length) string {
	whole, rest, found := strings.Cut(strconv.FormatFloat(l.Millimetres(), 'f', -1, 64), ".")
	for i := len(whole) - 3; i > 0 && whole[i-1] != '-'; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if found {
		whole += "." + rest
	}
	return whole
}
