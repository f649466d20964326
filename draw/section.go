package draw

import (
	"fmt"
	"strings"

	"github.com/flutewright/flutewright/base/quantity"
)

// SectionLane is one order's lane across the web: as many pieces side by side as Outs.
type SectionLane struct {
	Label  string // the order
	Level  int    // knife level: 1 upper, 2 lower
	Outs   int
	Slit   quantity.Length
	Scores []quantity.Length // from one slit edge of a piece, rising
}

// Section is the web of one corrugator run across its width, seen in running
// direction with the operator side on the left. Lanes are listed from there.
type Section struct {
	Title        string
	Web          quantity.Length
	TrimOperator quantity.Length
	TrimDrive    quantity.Length
	Lanes        []SectionLane
}

// Slits returns the slitter positions from the operator side's web edge, rising.
func (s Section) Slits() []quantity.Length {
	at := s.TrimOperator
	out := []quantity.Length{at}
	for _, l := range s.Lanes {
		for range l.Outs {
			at += l.Slit
			out = append(out, at)
		}
	}
	return out
}

// Scores returns the scorer positions from the operator side's web edge, rising.
func (s Section) Scores() []quantity.Length {
	at := s.TrimOperator
	var out []quantity.Length
	for _, l := range s.Lanes {
		for range l.Outs {
			for _, sc := range l.Scores {
				out = append(out, at+sc)
			}
			at += l.Slit
		}
	}
	return sorted(out)
}

// WebSection draws the web of one run to scale across its width: trim hatched,
// lanes with order, outs and slit width, the two knife levels in two rows,
// every slit and score dimensioned from the operator side.
func WebSection(s Section, f quantity.Format) Drawing {
	p := sectionPlan{canvas: canvas{em: max(s.Web, quantity.Millimetre) / 70, f: f}, s: s}
	p.x0 = p.ems(5)
	p.levels()
	p.d.Title = s.Title
	p.d.Description = s.describe(f)
	p.top = p.ems(5.6)
	p.bottom = p.top + p.ems(rowHigh)*quantity.Length(len(p.rows))
	p.d.Width = s.Web + p.ems(9.2)
	p.d.Height = p.bottom + p.figureRoom() + p.ems(4.9)
	p.trim()
	p.lanes()
	p.cuts()
	p.dimensions()
	p.ordinates()
	p.legend()
	return p.d
}

func (s Section) describe(f quantity.Format) string {
	unit := " " + f.LengthUnit()
	parts := []string{"Web " + f.Length(s.Web) + unit}
	parts = append(parts, "trim at the operator side "+f.Length(s.TrimOperator)+unit)
	for _, l := range s.Lanes {
		knife := "upper"
		if l.Level == 2 {
			knife = "lower"
		}
		parts = append(parts, fmt.Sprintf("%s: %d × %s%s, %s knife", l.Label, l.Outs, f.Length(l.Slit), unit, knife))
	}
	parts = append(parts, "trim at the drive side "+f.Length(s.TrimDrive)+unit)
	parts = append(parts, "slits at "+listed(s.Slits(), f)+unit)
	if sc := s.Scores(); len(sc) > 0 {
		parts = append(parts, "scores at "+listed(sc, f)+unit)
	}
	return strings.Join(parts, "; ") + " from the operator side."
}

func listed(at []quantity.Length, f quantity.Format) string {
	words := make([]string, len(at))
	for i, l := range at {
		words[i] = f.Length(l)
	}
	return strings.Join(words, ", ")
}
