package tag_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/boombuler/barcode/code128"
	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plant/tag"
)

func TestPublishedCheckDigits(t *testing.T) {
	for _, c := range []struct {
		source, digits string
		want           int
	}{
		{"GS1 General Specifications, Release 26, section 7.9.1, table 7-9", "37610425002123456", 9},
		{"GS1 Hong Kong, check digit calculator (gs1hk.org)", "629104150021", 3},
		{"GS1 India, check digit (gs1india.org)", "890400021003", 7},
		{"UPC, general", "03600024145", 7},
	} {
		got := tag.CheckDigit(c.digits)
		if got != c.want {
			t.Errorf("%s: %s has %d, not %d", c.source, c.digits, got, c.want)
		}
		t.Logf("check digit | %s | %s | %d | %d | %d", c.source, c.digits, c.want, got, got-c.want)
	}
}

func TestPublishedCheckCharacters(t *testing.T) {
	for _, c := range []struct {
		source string
		values []int
		want   int
	}{
		{"barcodeisland.com/code128: HI345678", []int{103, 40, 41, 99, 34, 56, 78}, 67},
		{"barcodeisland.com/code128: 345678", []int{105, 34, 56, 78}, 73},
		{"support.idautomation.com: (01)60000116030603", []int{105, 102, 1, 60, 0, 1, 16, 3, 6, 3}, 71},
		{"computed from ISO/IEC 15417's rule by hand: (00)376104250021234569, sum 2316", []int{105, 102, 0, 37, 61, 4, 25, 0, 21, 23, 45, 69}, 50},
	} {
		got := tag.CheckCharacter(c.values)
		if got != c.want {
			t.Errorf("%s: %d, not %d", c.source, got, c.want)
		}
		t.Logf("Code 128 check character | %s | value | %d | %d | %d", c.source, c.want, got, got-c.want)
	}
}

// The number of GS1's table 7-9, from its parts.
func TestPublishedSSCC(t *testing.T) {
	for _, serial := range []string{"002123456", "2123456"} {
		n, err := tag.SSCC("7610425", 3, serial)
		if err != nil {
			t.Fatal(err)
		}
		want := []int{105, 102, 0, 37, 61, 4, 25, 0, 21, 23, 45, 69, 50}
		if n.ID != "376104250021234569" || n.Text != "(00)376104250021234569" || !slices.Equal(n.Symbols, want) {
			t.Errorf("%+v", n)
		}
		t.Logf("serial shipping container code | GS1 General Specifications, Release 26, table 7-9 | prefix 7610425, extension 3, serial %s | 376104250021234569 | %s | 0", serial, n.ID)
	}
}

func TestOwnNumber(t *testing.T) {
	n, err := tag.Own("FB", 41)
	if err != nil {
		t.Fatal(err)
	}
	// Start B, F, B, code C, 00 00 00 41, check 104 + 38 + 2·34 + 3·99 + 7·41 = 794 = 7·103 + 73 (hand).
	if n.ID != "FB00000041" || !slices.Equal(n.Symbols, []int{104, 38, 34, 99, 0, 0, 0, 41, 73}) {
		t.Errorf("%+v", n)
	}
}

func TestRefusals(t *testing.T) {
	for name, make := range map[string]func() error{
		"prefix with a letter":  func() error { _, err := tag.SSCC("76104X5", 3, "1"); return err },
		"prefix too short":      func() error { _, err := tag.SSCC("761", 3, "1"); return err },
		"extension of two":      func() error { _, err := tag.SSCC("7610425", 10, "1"); return err },
		"serial too long":       func() error { _, err := tag.SSCC("7610425", 3, "1234567890"); return err },
		"serial missing":        func() error { _, err := tag.SSCC("7610425", 3, ""); return err },
		"serial below nothing":  func() error { _, err := tag.SSCC("7610425", 3, "-1"); return err },
		"own range used up":     func() error { _, err := tag.Own("FB", 100_000_000); return err },
		"own prefix lower case": func() error { _, err := tag.Own("fb", 1); return err },
		"nothing to encode":     func() error { _, err := tag.Encode("", false); return err },
		"not ASCII":             func() error { _, err := tag.Encode("Ü1", false); return err },
		"separator outside GS1": func() error { _, err := tag.Encode("1\x1d2", false); return err },
	} {
		if err := make(); !errors.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", name, err)
		}
	}
	_, err := tag.SSCC("7X", 12, "A")
	var all fault.Violations
	if !errors.As(err, &all) || len(all) != 3 {
		t.Errorf("not all faults at once: %v", err)
	}
}

// decode reads symbol values back, as a scanner does, by the standard's tables for code sets B and C.
func decode(t *rapid.T, values []int) string {
	var out strings.Builder
	inC := values[0] == tag.StartC
	for _, v := range values[1 : len(values)-1] {
		switch {
		case v == tag.FNC1:
			out.WriteByte(tag.Separator)
		case inC && v == tag.CodeB, !inC && v == tag.CodeC:
			inC = !inC
		case inC && v < 100:
			out.WriteByte(byte('0' + v/10))
			out.WriteByte(byte('0' + v%10))
		case !inC && v < 95:
			out.WriteByte(byte(' ' + v))
		default:
			t.Fatalf("value %d in %v", v, values)
		}
	}
	return out.String()
}

func TestEverythingThatIsEncodedReadsBack(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		data := rapid.StringMatching(`([ -~]|[0-9]{1,9}){1,20}`).Draw(r, "data")
		values, err := tag.Encode(data, false)
		if err != nil {
			r.Fatal(err)
		}
		if got := decode(r, values); got != data {
			r.Fatalf("%q reads back as %q", data, got)
		}
		if last := len(values) - 1; values[last] != tag.CheckCharacter(values[:last]) {
			r.Fatal("the check character is wrong")
		}
	})
}

func TestFNC1EndsVariableElements(t *testing.T) {
	// GS1 General Specifications: 01 and 17 are of fixed length, 10 ends with FNC1 before 21.
	values, err := tag.Encode("010950110153000317261231"+"10AB12"+string(tag.Separator)+"21XYZ", true)
	if err != nil {
		t.Fatal(err)
	}
	fnc1 := 0
	for _, v := range values[:len(values)-1] {
		if v == tag.FNC1 {
			fnc1++
		}
	}
	if values[1] != tag.FNC1 || fnc1 != 2 {
		t.Errorf("%v", values)
	}
}

// Every symbol is 11 modules of three bars and three spaces with an even number
// of dark modules, the stop 13 (ISO/IEC 15417); no two are alike.
func TestPatternsKeepTheStandardsParity(t *testing.T) {
	seen := map[string]bool{}
	for v := range 106 {
		w := tag.Widths([]int{v})[:6]
		if sum(w) != 11 || (w[0]+w[2]+w[4])%2 != 0 || seen[fmt.Sprint(w)] {
			t.Errorf("value %d: %v", v, w)
		}
		seen[fmt.Sprint(w)] = true
	}
	if stop := tag.Widths(nil); sum(stop) != 13 {
		t.Errorf("stop %v", stop)
	}
}

// An encoder that is not ours draws the same bars wherever it takes the same code sets: pairs of digits, and letters alone.
func TestBarsAgreeWithAnotherEncoder(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		data := rapid.StringMatching(`([0-9]{2}){2,15}|[A-Za-z]{1,20}`).Draw(r, "data")
		values, err := tag.Encode(data, false)
		if err != nil {
			r.Fatal(err)
		}
		other, err := code128.Encode(data)
		if err != nil {
			r.Fatal(err)
		}
		x := 0
		for i, w := range tag.Widths(values) {
			for range w {
				dark, _, _, _ := other.At(x, 0).RGBA()
				if (dark == 0) != (i%2 == 0) {
					r.Fatalf("%q: module %d differs", data, x)
				}
				x++
			}
		}
		if x != other.Bounds().Dx() {
			r.Fatalf("%q: %d modules, not %d", data, x, other.Bounds().Dx())
		}
	})
}

// An SSCC symbol is 156 modules: 13 characters of 11 and the stop of 13 (GS1 General Specifications).
func TestSSCCSymbolIs156Modules(t *testing.T) {
	n, err := tag.SSCC("7610425", 3, "1")
	if err != nil {
		t.Fatal(err)
	}
	if got := sum(tag.Widths(n.Symbols)); got != 156 {
		t.Errorf("%d modules", got)
	}
}

func sum(all []int) (n int) {
	for _, w := range all {
		n += w
	}
	return n
}
