// Package pdfcheck looks at PDFs in tests with the tools of a Debian system:
// words and page sizes by poppler, barcodes by zbar and ZXing. A test that
// lacks a tool is skipped loudly, and fails where CI=true promises the tools.
package pdfcheck

import (
	"bytes"
	"encoding/hex"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// Text returns the words of a PDF laid out as on the page, pages parted by form feeds.
func Text(t *testing.T, pdf []byte) string {
	t.Helper()
	need(t, "pdftotext")
	return run(t, pdf, "pdftotext", "-layout", "-", "-")
}

// Size is a page's width and height in mm.
type Size struct{ Width, Height float64 }

var pageLine = regexp.MustCompile(`Page +\d+ size: +([\d.]+) x ([\d.]+) pts`)

// Sizes returns the size of every page.
func Sizes(t *testing.T, pdf []byte) []Size {
	t.Helper()
	need(t, "pdfinfo")
	out := run(t, pdf, "pdfinfo", "-f", "1", "-l", "9999", "-")
	var sizes []Size
	for _, m := range pageLine.FindAllStringSubmatch(out, -1) {
		w, _ := strconv.ParseFloat(m[1], 64)
		h, _ := strconv.ParseFloat(m[2], 64)
		sizes = append(sizes, Size{w * 25.4 / 72, h * 25.4 / 72})
	}
	return sizes
}

// Word is one word of a PDF with its place on the page, in mm from the upper left corner.
type Word struct {
	Page                     int
	Left, Top, Right, Bottom float64
	Text                     string
}

// Height is that of the word's type, ascender to descender.
func (w Word) Height() float64 { return w.Bottom - w.Top }

var wordLine = regexp.MustCompile(`<page |<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*)</word>`)

// Words returns every word with its place, pages counted from 1.
func Words(t *testing.T, pdf []byte) []Word {
	t.Helper()
	need(t, "pdftotext")
	var words []Word
	page := 0
	for _, m := range wordLine.FindAllStringSubmatch(run(t, pdf, "pdftotext", "-bbox", "-", "-"), -1) {
		if m[5] == "" {
			page++
			continue
		}
		w := Word{Page: page, Text: html.UnescapeString(m[5])}
		for i, to := range []*float64{&w.Left, &w.Top, &w.Right, &w.Bottom} {
			pt, err := strconv.ParseFloat(m[i+1], 64)
			if err != nil {
				t.Fatal(err)
			}
			*to = pt * 25.4 / 72
		}
		words = append(words, w)
	}
	return words
}

// Picture renders one page, from 1, at so many dots per inch and returns the PNG file.
func Picture(t *testing.T, pdf []byte, page, dpi int) string {
	t.Helper()
	need(t, "pdftoppm")
	stem, n := filepath.Join(t.TempDir(), "page"), strconv.Itoa(page)
	run(t, pdf, "pdftoppm", "-png", "-singlefile", "-f", n, "-l", n, "-r", strconv.Itoa(dpi), "-", stem)
	return stem + ".png"
}

// ZBar returns the data of the barcodes that zbarimg finds in a picture.
func ZBar(t *testing.T, picture string) []string {
	t.Helper()
	need(t, "zbarimg")
	return strings.Fields(run(t, nil, "zbarimg", "-q", "--raw", picture))
}

var bytesLine = regexp.MustCompile(`(?m)^Bytes: +([0-9A-F ]+?) *$`)

// ZXing returns the data of the barcodes that ZXingReader finds in a picture.
// It looks at the picture's own scale only: Debian's build stops with a failed
// assertion (Result.cpp, lineCount) where it finds a linear symbol at two scales.
func ZXing(t *testing.T, picture string) []string {
	t.Helper()
	need(t, "ZXingReader")
	var found []string
	for _, m := range bytesLine.FindAllStringSubmatch(run(t, nil, "ZXingReader", "-noscale", picture), -1) {
		data, err := hex.DecodeString(strings.ReplaceAll(m[1], " ", ""))
		if err != nil {
			t.Fatal(err)
		}
		found = append(found, string(data))
	}
	return found
}

func need(t *testing.T, tool string) {
	t.Helper()
	if _, err := exec.LookPath(tool); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("%s is not installed, and CI=true promises it", tool)
		}
		t.Skipf("SKIPPED: %s is not installed; install poppler-utils, zbar-tools and zxing-cpp-tools", tool)
	}
}

func run(t *testing.T, stdin []byte, name string, args ...string) string {
	t.Helper()
	cmd := exec.Command(name, args...)
	cmd.Stdin = bytes.NewReader(stdin)
	var out, failed bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &failed
	if err := cmd.Run(); err != nil {
		t.Fatalf("%s: %v\n%s", name, err, failed.String())
	}
	return out.String()
}
