package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/draw"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/demo"
)

// blankCmd computes one blank.
type blankCmd struct {
	Style     string  `required:"" help:"Code of the fibreboard case code: 0110, 0200, 0201, 0202, 0203, 0204 or 0501."`
	Inside    string  `required:"" help:"Inside length x width x height: 398x299x135 in mm, or 16inx12inx10in; a sheet 0110: chop x slit." placeholder:"LxWxH"`
	Flute     string  `required:"" help:"Flute whose allowances the plant keeps, such as B or BC."`
	OverlapMM float64 `name:"overlap-mm" help:"Overlap of the outer flaps, for 0202."`
	Plant     string  `help:"Plant with its allowances, JSON; without one, the demo plant's." type:"path"`
	JSON      bool    `name:"json" help:"Answer in JSON."`
	SVG       string  `name:"svg" help:"Draw the blank into this SVG file." type:"path"`
	PDF       string  `name:"pdf" help:"Draw the blank into this PDF file." type:"path"`
}

// outsideMM is a size whose field's name carries the unit.
type outsideMM struct {
	Length quantity.Length `json:"length"`
	Width  quantity.Length `json:"width"`
	Height quantity.Length `json:"height"`
}

// blankAnswer is what blank writes.
type blankAnswer struct {
	Style        box.Style         `json:"style"`
	Chop         quantity.Length   `json:"chop_mm"`
	Slit         quantity.Length   `json:"slit_mm"`
	Panels       []quantity.Length `json:"panels_mm"`
	Scores       []quantity.Length `json:"scores_mm"`
	Flap         quantity.Length   `json:"flap_mm"` // outer
	InnerFlap    quantity.Length   `json:"inner_flap_mm"`
	Depth        quantity.Length   `json:"depth_mm"`
	Lap          quantity.Length   `json:"lap_mm"`
	SlotWidth    quantity.Length   `json:"slot_width_mm"`
	Area         quantity.Area     `json:"area_m2"`
	Outside      outsideMM         `json:"outside_mm"`
	FoldedLength quantity.Length   `json:"folded_length_mm"`
	FoldedWidth  quantity.Length   `json:"folded_width_mm"`
	Warnings     []string          `json:"warnings"`
}

// Run computes the blank, draws it where asked to, and writes the answer.
func (c *blankCmd) Run(e *env) error {
	p, err := plantFrom(c.Plant)
	if err != nil {
		return err
	}
	f := formatOf(p)
	b, err := c.compute(p, f)
	if err != nil {
		return err
	}
	d := draw.Blank(shapeOf(b, c.Flute, f), f)
	if err := writePictures(d, c.SVG, c.PDF, p.Display.Page); err != nil {
		return err
	}
	a := answerOf(b, f)
	if c.JSON {
		return writeDocument(e, "", a)
	}
	return a.table(e.stdout, b, f)
}

func (c *blankCmd) compute(p plant.Plant, f quantity.Format) (box.Blank, error) {
	var v fault.Violations
	in, err := parseInside(c.Inside, f, c.Style == "0110")
	v.Under("--inside", err)
	v.Require(c.OverlapMM >= 0 && c.OverlapMM <= box.MaxInside.Millimetres(), "--overlap-mm", fmt.Sprint(c.OverlapMM), "must be from 0 to "+box.MaxInside.String())
	a, err := allowanceOf(p, c.Flute)
	v.Under("--flute", err)
	if _, err := box.Style(c.Style).Describe(); err != nil {
		v.Under("-", err)
		v[len(v)-1].Field = "--style"
	}
	if err := v.Err(); err != nil {
		return box.Blank{}, err
	}
	return box.Compute(box.Style(c.Style), in, quantity.FromMillimetres(c.OverlapMM), a)
}

// plantFrom reads a plant, or takes the demo plant where no file is named.
func plantFrom(path string) (plant.Plant, error) {
	if path == "" {
		return demo.Book().Plant, nil
	}
	var p plant.Plant
	err := readDocument(path, &p)
	return p, err
}

func formatOf(p plant.Plant) quantity.Format {
	d := p.Display
	return quantity.Format{US: d.Units == "us", InchParts: d.InchParts, Currency: d.Currency, Dates: d.Dates}
}

func allowanceOf(p plant.Plant, flute string) (box.Allowance, error) {
	var known []string
	for _, a := range p.Allowances {
		if a.Flute == ident.Flute(flute) {
			return a, nil
		}
		known = append(known, string(a.Flute))
	}
	return box.Allowance{}, fmt.Errorf("the plant has no allowances for flute %.20q; it has %s", flute, strings.Join(known, ", "))
}

// parseInside reads "398x299x135" or "16inx12inx10in"; flat says that the height is left out.
func parseInside(s string, f quantity.Format, flat bool) (box.Inside, error) {
	parts := strings.FieldsFunc(s, func(r rune) bool { return r == 'x' || r == 'X' || r == '×' })
	if n := len(parts); n != 3 && (n != 2 || !flat) {
		return box.Inside{}, fmt.Errorf("%.40q must be length x width x height, such as 398x299x135", s)
	}
	var v fault.Violations
	var side [3]quantity.Length
	for i, part := range parts {
		l, err := f.ParseLength(part)
		v.Under([]string{"length", "width", "height"}[i], err)
		side[i] = l
	}
	return box.Inside{Length: side[0], Width: side[1], Height: side[2]}, v.Err()
}

func shapeOf(b box.Blank, flute string, f quantity.Format) draw.BlankShape {
	size := f.Length(b.Inside.Length) + " × " + f.Length(b.Inside.Width)
	if b.Inside.Height > 0 {
		size = "inside " + size + " × " + f.Length(b.Inside.Height)
	}
	return draw.BlankShape{
		Title:  fmt.Sprintf("%s, %s %s, %s flute", b.Style, size, f.LengthUnit(), flute),
		Panels: b.Panels, Strips: b.Strips, OneFlap: len(b.Strips) == 2,
		SlotWidth: b.SlotWidth, OuterFlap: b.OuterFlap, InnerFlap: b.InnerFlap,
	}
}

// writePictures writes the drawing to each file that is named.
func writePictures(d draw.Drawing, svg, pdf, page string) error {
	if svg != "" {
		if err := writeWhole(svg, func(w io.Writer) error { return draw.WriteSVG(w, d) }); err != nil {
			return err
		}
	}
	if pdf == "" {
		return nil
	}
	if page == "" {
		page = "A4"
	}
	return writeWhole(pdf, func(w io.Writer) error { return draw.WritePDF(w, d, page) })
}

func answerOf(b box.Blank, f quantity.Format) blankAnswer {
	a := blankAnswer{
		Style: b.Style, Chop: b.Sheet.Chop, Slit: b.Sheet.Slit, Panels: b.Panels, Scores: b.Sheet.Scores,
		Flap: b.OuterFlap, InnerFlap: b.InnerFlap, Depth: b.Depth, Lap: b.Lap, SlotWidth: b.SlotWidth,
		Area: b.Sheet.Area(), Outside: outsideMM(b.Outside), FoldedLength: b.FoldedFlat.Length, FoldedWidth: b.FoldedFlat.Width,
		Warnings: []string{},
	}
	if a.Scores == nil {
		a.Scores = []quantity.Length{}
	}
	for _, w := range b.Warnings() {
		a.Warnings = append(a.Warnings, w.Text(f))
	}
	return a
}

// table writes the answer for people, in the plant's units.
func (a blankAnswer) table(w io.Writer, b box.Blank, f quantity.Format) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	u := f.LengthUnit()
	row := func(name string, ls ...quantity.Length) {
		words := make([]string, len(ls))
		for i, l := range ls {
			words[i] = f.Length(l)
		}
		fmt.Fprintf(t, "%s\t%s\t%s\n", name, strings.Join(words, ", "), u)
	}
	row("chop", a.Chop)
	row("slit", a.Slit)
	if b.Lap > 0 {
		row("panels, lap first", a.Panels...)
	}
	if len(a.Scores) > 0 {
		row("scores from one slit edge", a.Scores...)
		row("flap, outer", a.Flap)
		row("flap, inner", a.InnerFlap)
		row("slot width", a.SlotWidth)
		row("outside size", a.Outside.Length, a.Outside.Width, a.Outside.Height)
	}
	row("flat", a.FoldedLength, a.FoldedWidth)
	fmt.Fprintf(t, "area\t%s\t%s\n", f.SheetArea(a.Area), f.SheetAreaUnit())
	for _, words := range a.Warnings {
		fmt.Fprintf(t, "note\t%s\n", words)
	}
	return t.Flush()
}
