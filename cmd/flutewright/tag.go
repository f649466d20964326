package main

import (
	"fmt"
	"io"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/draw"
	"github.com/flutewright/flutewright/plant/tag"
	"github.com/flutewright/flutewright/sheet"
)

// tagCmd numbers one unit and encodes the number.
type tagCmd struct {
	Prefix    string `required:"" help:"GS1 company prefix, 4 to 12 digits."`
	Extension int    `help:"Extension digit, 0 to 9."`
	Serial    string `required:"" help:"Serial number; prefix and serial make 16 digits, zeros are filled in."`
	JSON      bool   `name:"json" help:"Answer in JSON."`
	SVG       string `name:"svg" help:"Draw the barcode into this SVG file." type:"path"`
	PDF       string `name:"pdf" help:"Print the number on a tag of 4 × 6 in into this PDF file." type:"path"`
}

// tagAnswer is the document of the tag command: see docs/interchange.md.
type tagAnswer struct {
	SSCC          string `json:"sscc"`
	ElementString string `json:"element_string"`
	Symbols       []int  `json:"symbols"` // Code 128 values from start to check character
}

// barcodeHeight is that of bars on a logistic label, at least 31.75 mm.
const barcodeHeight = 32 * quantity.Millimetre

// Run makes the number, writes its pictures where asked to, and the answer.
func (c *tagCmd) Run(e *env) error {
	n, err := tag.SSCC(c.Prefix, c.Extension, c.Serial)
	if err != nil {
		return err
	}
	if c.SVG != "" {
		d := sheet.BarcodeDrawing(n.Symbols, sheet.BarcodeModule, barcodeHeight, n.Text)
		if err := writeWhole(c.SVG, func(w io.Writer) error { return draw.WriteSVG(w, d) }); err != nil {
			return err
		}
	}
	if c.PDF != "" {
		if err := writeWhole(c.PDF, func(w io.Writer) error { return sheet.NumberTag(w, n) }); err != nil {
			return err
		}
	}
	if c.JSON {
		return writeDocument(e, "", tagAnswer{n.ID, n.Text, n.Symbols})
	}
	_, err = fmt.Fprintf(e.stdout, "SSCC            %s\nelement string  %s\nCode 128        %v\n", n.ID, n.Text, n.Symbols)
	return err
}
