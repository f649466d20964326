package sheet_test

import (
	"strings"
	"testing"

	"github.com/flutewright/flutewright/internal/pdfcheck"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/sheet"
)

// The positions are summed by hand: 2000 mm web, 2 × 443 and 3 × 360 used, so
// the first slit stands 17 mm from the edge and 983 mm from the centre.
func TestSetUpSheetGivesPositionsFromCentreAndOperatorSide(t *testing.T) {
	text := words(t, print(t, func(w writer) error { return sheet.SetUpSheet(w, demo.Book(), handPlan(), 1) }))
	for _, want := range []string{
		"-983 17", "-540 460", "-97 903", "+263 1263", "+623 1623", "+983 1983", // slits
		"-832 168", "-691 309", "-389 611", "-248 752", "+10 1010", // scores of J1001, first of J1024
		"+156 1156", "+370 1370", "+516 1516", "+730 1730", "+876 1876",
		"Ends when the counter of level 2 (J1024) shows",
		"151 / 292", "107 / 253", "Next: run 2, 3 × J1001 + 2 × J1002.", "12 of 601 high",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
}

// 1/64 in is exact inside; the sheet shows the plant's step of 1/16 in: 17 mm = 0.669 in → 11/16 (hand).
func TestSetUpSheetInInches(t *testing.T) {
	text := words(t, print(t, func(w writer) error { return sheet.SetUpSheet(w, american(), handPlan(), 1) }))
	for _, want := range []string{"-38 11/16 11/16", "78 3/4", "56 5/8", "42 11/16", "33,233 ft"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
}

// Four numbers and nothing else are large: type of at least 14 mm from
// ascender to descender has capitals of some 10 mm, which subtend 17 minutes of
// arc at two metres (hand; ergonomics texts ask for 16 to 22, from memory).
func TestFourNumbersReadAtTwoMetres(t *testing.T) {
	pdf := print(t, func(w writer) error { return sheet.SetUpSheet(w, demo.Book(), handPlan(), 1) })
	var large []string
	for _, w := range pdfcheck.Words(t, pdf) {
		if w.Height() >= 14 {
			large = append(large, w.Text)
		}
	}
	if got := strings.Join(large, " "); got != "2000 1439 1085 9,336" {
		t.Errorf("large are %q", got)
	}
}
