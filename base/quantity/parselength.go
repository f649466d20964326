package quantity

import (
	"regexp"
	"strconv"
	"strings"
)

// lengthUnits are the spellings of a length's unit, longest first.
var lengthUnits = []struct {
	suffix string
	size   Length
}{
	{"inches", Inch}, {"inch", Inch}, {"mil", Inch / 1000}, {"mm", Millimetre}, {"cm", 10 * Millimetre}, {"in.", Inch}, {"in", Inch},
	{"''", Inch}, {`"`, Inch}, {"″", Inch}, {"”", Inch}, {"ft", 12 * Inch}, {"µm", Micrometre}, {"pt", Inch / 1000}, {"km", 1000 * Metre}, {"m", Metre},
}

var (
	vulgar   = strings.NewReplacer("½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8", "⁄", "/")
	fraction = regexp.MustCompile(`^(-?)(?:(\d{1,7})(?: +| *- *))?(\d{1,4}) ?/ ?(\d{1,4})$`)
	asDate   = regexp.MustCompile(`(?i)\d.*(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)|(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec).*\d|\d{4}-\d{2}-\d{2}|\d/\d+/\d|\d\.\d+\.\d`)
)

// maxLength is beyond any web: a longer value is a slip of the keys or of the unit.
const maxLength = 100_000 * Metre

// ParseLength reads a length: "443", "443 mm", "16 3/16", "16-3/16 in",
// `16 3/16"`, "16.1875". A bare number is in mm, or in inches in a US plant; a
// bare fraction is always in inches. Binary fractions down to 1/64 in are exact.
func (f Format) ParseLength(s string) (Length, error) {
	bare := Millimetre
	if f.US {
		bare = Inch
	}
	return f.parseLength(s, bare)
}

// ParseRun reads a length along the web: a bare number is in m, or in ft in a US plant.
func (f Format) ParseRun(s string) (Distance, error) {
	bare := Metre
	if f.US {
		bare = 12 * Inch
	}
	l, err := f.parseLength(s, bare)
	return Distance(l), err
}

// KeepLength reads text, but returns stored itself where text is what Exact
// shows for it: opening and saving a form never rounds what is stored.
func (f Format) KeepLength(text string, stored Length) (Length, error) {
	if tidy(text) == f.Exact(stored) {
		return stored, nil
	}
	return f.ParseLength(text)
}

// ParseRoad reads a distance on the road: a bare number is in km, or in miles in a US plant.
func (f Format) ParseRoad(s string) (Distance, error) {
	bare := 1000 * Metre
	if f.US {
		bare = mile
	}
	t := strings.ToLower(tidy(s))
	if n, ok := strings.CutSuffix(t, "mi"); ok {
		t, bare = n, mile
	} else if n, ok := strings.CutSuffix(t, "km"); ok {
		t, bare = n, 1000*Metre
	}
	v, err := ParseNumber(t)
	if err != nil || v < 0 || v > 20_000 {
		return 0, &Unreadable{Text: s, Rule: "is not a distance on the road", Remedy: "type a number from 0 to 20,000, with or without km or mi"}
	}
	return Distance(saturate(v * float64(bare))), nil
}

// mile is the international mile (NIST SP 811, 2008, appendix B).
const mile = 5280 * 12 * Inch

// KeepRoad is KeepLength for a distance on the road.
func (f Format) KeepRoad(text string, stored Distance) (Distance, error) {
	if tidy(text) == f.Road(stored) {
		return stored, nil
	}
	return f.ParseRoad(text)
}

func (f Format) parseLength(s string, bare Length) (Length, error) {
	t := strings.TrimSpace(vulgar.Replace(tidy(s)))
	size, given := bare, false
	low := strings.ToLower(t)
	for _, u := range lengthUnits {
		if strings.HasSuffix(low, u.suffix) {
			t, size, given = strings.TrimSpace(t[:len(t)-len(u.suffix)]), u.size, true
			break
		}
	}
	if m := fraction.FindStringSubmatch(t); m != nil {
		if !given {
			size = Inch
		}
		return fromFraction(s, m, size)
	}
	v, err := ParseNumber(t)
	if err != nil {
		return 0, lengthFault(s)
	}
	if v*float64(size) > float64(maxLength) || v*float64(size) < -float64(maxLength) {
		return 0, &Unreadable{Text: s, Rule: "must be at most 100 km"}
	}
	return Length(saturate(v * float64(size))), nil
}

func fromFraction(s string, m []string, size Length) (Length, error) {
	whole, _ := strconv.ParseInt("0"+m[2], 10, 64)
	num, _ := strconv.ParseInt(m[3], 10, 64)
	den, _ := strconv.ParseInt(m[4], 10, 64)
	switch {
	case den == 0:
		return 0, &Unreadable{Text: s, Rule: "divides by zero"}
	case m[2] != "" && num >= den:
		return 0, &Unreadable{Text: s, Rule: "has a fraction of one or more behind a whole number"}
	case whole > int64(maxLength/size):
		return 0, &Unreadable{Text: s, Rule: "must be at most 100 km"}
	}
	l := Length(whole)*size + (Length(num)*size+Length(den)/2)/Length(den)
	if m[1] == "-" {
		l = -l
	}
	return l, nil
}

func lengthFault(s string) *Unreadable {
	if asDate.MatchString(s) {
		return &Unreadable{Text: s, Rule: "is a date, not a length", Remedy: "a spreadsheet may have changed a fraction: format the cell as text and type it again, such as 16 3/16"}
	}
	return &Unreadable{Text: s, Rule: "is not a length", Remedy: `type a number or fraction with or without its unit: 443 mm, 17 7/16 in`}
}
