package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/internal/pdfcheck"
)

// The number of GS1 General Specifications, Release 26, table 7-9, as a scanner reads it from the printed tag.
func TestTagIsAnsweredAndPrinted(t *testing.T) {
	dir := t.TempDir()
	pdf, svg := filepath.Join(dir, "tag.pdf"), filepath.Join(dir, "tag.svg")
	a := answer(t, "tag", "--prefix", "7610425", "--extension", "3", "--serial", "002123456", "--pdf", pdf, "--svg", svg)
	if a["sscc"] != "376104250021234569" || a["element_string"] != "(00)376104250021234569" || len(a["symbols"].([]any)) != 13 {
		t.Errorf("%v", a)
	}
	drawn, err := os.ReadFile(svg)
	if err != nil || !strings.Contains(string(drawn), "(00)376104250021234569") {
		t.Errorf("SVG: %v", err)
	}
	printed, err := os.ReadFile(pdf)
	if err != nil {
		t.Fatal(err)
	}
	if read := pdfcheck.ZBar(t, pdfcheck.Picture(t, printed, 1, 203)); !slices.Contains(read, "00376104250021234569") {
		t.Errorf("zbar reads %q", read)
	}
}

func TestTagRefusesWithALineForEachFault(t *testing.T) {
	code, out, errs := shell(t, "tag", "--prefix", "7X", "--extension", "12", "--serial", "A")
	if code != exitInput || out != "" || strings.Count(errs, "\n") != 3 {
		t.Errorf("exit %d, %q, %q", code, out, errs)
	}
}
