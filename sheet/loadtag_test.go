package sheet_test

import (
	"bytes"
	"errors"
	"io"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/internal/pdfcheck"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/sheet"
)

// gs1 is the demo's book with the company prefix of the public check example below.
func gs1() book {
	b := demo.Book()
	b.Plant.Tags.GS1Prefix, b.Plant.Tags.Extension = "7610425", 3
	return b
}

// Every tag is rendered as a printer of 203 dots an inch would, and read by two
// decoders that are not ours. SSCC 376104250021234569 is a published example of
// the GS1 check digit; the own range is the demo's FB.
func TestDecodersReadTheNumbersThatArePrinted(t *testing.T) {
	for name, c := range map[string]struct {
		book    book
		opt     sheet.TagOptions
		first   int64
		encoded []string // in the order of the pages
		printed []string
	}{
		"own range, 4 × 6 in":  {demo.Book(), sheet.TagOptions{}, 41, []string{"FB00000041", "FB00000064"}, []string{"FB00000041", "FB00000064"}},
		"GS1, 4 × 6 in":        {gs1(), sheet.TagOptions{Unit: 1}, 2123456, []string{"00376104250021234569"}, []string{"376104250021234569"}},
		"GS1 copy on a page":   {gs1(), sheet.TagOptions{Unit: 1, Copy: true, OnSheet: true}, 2123456, []string{"00376104250021234569"}, []string{"376104250021234569"}},
		"own range, on a page": {american(), sheet.TagOptions{OnSheet: true}, 41, []string{"FB00000041", "FB00000064"}, []string{"FB00000041", "FB00000064"}},
	} {
		t.Run(name, func(t *testing.T) {
			pdf := print(t, func(w writer) error { return sheet.LoadTags(w, c.book, handPlan(), rel("J1001"), c.first, c.opt) })
			var zbar, zxing []string
			for _, n := range []int{1, len(pdfcheck.Sizes(t, pdf))} {
				page := pdfcheck.Picture(t, pdf, n, 203)
				zbar = append(zbar, pdfcheck.ZBar(t, page)...)
				zxing = append(zxing, pdfcheck.ZXing(t, page)...)
			}
			text := words(t, pdf)
			for i, want := range c.encoded {
				if !slices.Contains(zbar, want) || !slices.Contains(zxing, want) {
					t.Errorf("%s: zbar reads %q, ZXing reads %q", want, zbar, zxing)
				}
				if !strings.Contains(text, c.printed[i]) {
					t.Errorf("%s is not printed", c.printed[i])
				}
			}
		})
	}
}

func TestTagSaysWhatTheUnitIs(t *testing.T) {
	pdf := print(t, func(w writer) error {
		return sheet.LoadTags(w, demo.Book(), handPlan(), rel("J1024"), 1, sheet.TagOptions{})
	})
	pages := strings.Split(strings.TrimSuffix(pdfcheck.Text(t, pdf), "\f"), "\f")
	if len(pages) != 19 {
		t.Fatalf("%d tags for 19 units", len(pages))
	}
	first, last := strings.Join(strings.Fields(pages[0]), " "), strings.Join(strings.Fields(pages[18]), " ")
	for _, want := range []string{"Greyfriar Dairies", "J1024", "1 of 19", "1,500", "60 bundles × 25", "FW-1024 Butter case",
		"due Tue 2031-03-04 04:00 at dock", "gross about 280 kg", "1200 × 1000 × 1670 mm", "from run 1, FFG-1"} {
		if !strings.Contains(first, want) {
			t.Errorf("%q is not on the first tag: %s", want, first)
		}
	}
	// 28,010 boxes less 18 × 1,500 are 1,010: 40 bundles and 10; 41 bundles are 7 layers of 6; 28 + 252 × 1010/1500 kg (hand).
	for _, want := range []string{"19 of 19", "1,010", "40 bundles × 25 + ODD 10", "gross about 198 kg", "1200 × 1000 × 1214 mm"} {
		if !strings.Contains(last, want) {
			t.Errorf("%q is not on the last tag: %s", want, last)
		}
	}
	if strings.Contains(first, "COPY") {
		t.Error("an original says COPY")
	}
	for _, s := range pdfcheck.Sizes(t, pdf) {
		if math.Abs(s.Width-101.6) > 0.05 || math.Abs(s.Height-152.4) > 0.05 {
			t.Errorf("a tag of %.1f × %.1f mm", s.Width, s.Height)
		}
	}
	stays(t, pdf)
	apart(t, pdf)
}

func TestReprintKeepsItsNumberAndSaysCopy(t *testing.T) {
	again := words(t, print(t, func(w writer) error {
		return sheet.LoadTags(w, demo.Book(), handPlan(), rel("J1024"), 1, sheet.TagOptions{Copy: true, Unit: 7})
	}))
	for _, want := range []string{"COPY", "7 of 19", "FB00000007"} {
		if !strings.Contains(again, want) {
			t.Errorf("%q is not in %s", want, again)
		}
	}
}

func TestTagsRefuse(t *testing.T) {
	badPrefix := gs1()
	badPrefix.Plant.Tags.GS1Prefix = "76104X5"
	for name, c := range map[string]struct {
		book  book
		order string
		unit  int
		kind  fault.Kind
	}{
		"no such release":   {demo.Book(), "J9999", 0, fault.NotFound},
		"no load":           {demo.Book(), "J1002", 0, fault.NotFound},
		"no such unit":      {demo.Book(), "J1001", 25, fault.NotFound},
		"no unit possible":  {demo.Book(), "J1015", 0, fault.Refused},
		"prefix, no number": {badPrefix, "J1001", 0, fault.Invalid},
	} {
		var out bytes.Buffer
		err := sheet.LoadTags(&out, c.book, handPlan(), rel(c.order), 1, sheet.TagOptions{Unit: c.unit})
		if !errors.Is(err, c.kind) || out.Len() > 0 {
			t.Errorf("%s: %v, %d bytes", name, err, out.Len())
		}
	}
}

type file struct {
	bytes.Buffer
	closed bool
}

func (f *file) Close() error { f.closed = true; return nil }

func TestWriteAllPrintsEverySheetOnce(t *testing.T) {
	files := map[string]*file{}
	err := sheet.WriteAll(demo.Book(), handPlan(), func(name string) (io.WriteCloser, error) {
		if files[name] != nil {
			t.Errorf("%s is opened twice", name)
		}
		files[name] = &file{}
		return files[name], nil
	})
	if err != nil {
		t.Fatal(err)
	}
	pages := map[string]int{"corrugator-runs.pdf": 1, "corrugator-setups.pdf": 3, "stack-labels.pdf": 14 + 4 + 14, "tags.pdf": 24 + 19 + 1,
		"FFG-1-jobs.pdf": 2, "FFG-3-jobs.pdf": 1, "RDC-2-jobs.pdf": 1, "SFG-1-jobs.pdf": 1}
	if len(files) != len(pages) {
		t.Errorf("%d files", len(files))
	}
	for name, want := range pages {
		f := files[name]
		if f == nil || !f.closed {
			t.Errorf("%s is missing or was left open", name)
			continue
		}
		if got := len(pdfcheck.Sizes(t, f.Bytes())); got != want && name != "stack-labels.pdf" {
			t.Errorf("%s has %d pages, not %d", name, got, want)
		}
	}
	if text := words(t, files["tags.pdf"].Bytes()); !strings.Contains(text, "J1015 NO UNIT, NO TAG") || !strings.Contains(text, "FB00000043") {
		t.Error("tags.pdf: the refused load, or the last number, is missing")
	}
}

func TestWriteAllReportsAFileThatCannotBeOpened(t *testing.T) {
	full := errors.New("disk full")
	if err := sheet.WriteAll(demo.Book(), handPlan(), func(string) (io.WriteCloser, error) { return nil, full }); !errors.Is(err, full) {
		t.Error(err)
	}
}
