package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/boombuler/barcode/code128"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/draw"
	"github.com/flutewright/flutewright/plant"
)

// unitNumber is a unit's number as printed and as its barcode holds it.
type unitNumber struct {
	text   string // as people read it
	data   string // as the barcode holds it
	module quantity.Length
}

// A module is four dots of a label printer with eight dots to the millimetre,
// within the 0.495 to 0.940 mm that logistic labels want (GS1 General
// Specifications, from memory). An SSCC with its quiet zones takes 88 mm.
const (
	module    = 500 * quantity.Micrometre
	quietZone = 10 // modules, each side
	ownDigits = 8
)

// numberUnit makes serial the plant's next unit number: a GS1 serial shipping
// container code under application identifier 00 where the plant has a company
// prefix, else its own prefix and eight digits.
func numberUnit(rule plant.TagRule, serial int64) (unitNumber, error) {
	if rule.GS1Prefix == "" {
		text := fmt.Sprintf("%s%0*d", rule.OwnPrefix, ownDigits, serial)
		return unitNumber{text: text, data: text, module: module}, nil
	}
	digits := 16 - len(rule.GS1Prefix)
	body := strconv.Itoa(rule.Extension) + rule.GS1Prefix + fmt.Sprintf("%0*d", digits, serial)
	if len(body) != 17 || strings.Trim(body, "0123456789") != "" {
		return unitNumber{}, fault.Violations{{Field: "gs1_prefix", Value: rule.GS1Prefix,
			Rule: fmt.Sprintf("prefix and serial %d must make 16 digits after one extension digit", serial)}}
	}
	sscc := body + checkDigit(body)
	return unitNumber{text: "(00) " + sscc, data: string(code128.FNC1) + "00" + sscc, module: module}, nil
}

// checkDigit is the GS1 check digit: weights 3, 1, 3, … from the right (GS1 General Specifications, section 7.9).
func checkDigit(body string) string {
	sum := 0
	for i := range len(body) {
		weight := 1
		if (len(body)-i)%2 == 1 {
			weight = 3
		}
		sum += weight * int(body[i]-'0')
	}
	return strconv.Itoa((10 - sum%10) % 10)
}

// barcodeDrawing is a Code 128 symbol with quiet zones and its text below.
func barcodeDrawing(n unitNumber, height quantity.Length) (draw.Drawing, error) {
	code, err := code128.Encode(n.data)
	if err != nil {
		return draw.Drawing{}, fault.Violations{{Field: "unit number", Value: n.text, Rule: "holds a character that Code 128 does not have"}}
	}
	wide := code.Bounds().Dx()
	d := draw.Drawing{Title: "Barcode " + n.text, Width: n.module * quantity.Length(wide+2*quietZone), Height: height + 7*quantity.Millimetre}
	for x := 0; x < wide; {
		run := 0
		for x+run < wide && dark(code.At(x+run, 0)) {
			run++
		}
		if run > 0 {
			d.Rects = append(d.Rects, draw.Rect{At: draw.Point{X: n.module * quantity.Length(quietZone+x)}, Width: n.module * quantity.Length(run), Height: height, Role: draw.Bar})
		}
		x += max(1, run)
	}
	d.Texts = []draw.Text{{At: draw.Point{X: d.Width / 2, Y: height + 6*quantity.Millimetre}, Size: 7 * quantity.Millimetre, Anchor: "middle", Words: n.text, Role: draw.Label}}
	return d, nil
}

func dark(c interface{ RGBA() (r, g, b, a uint32) }) bool { r, _, _, _ := c.RGBA(); return r < 0x8000 }
