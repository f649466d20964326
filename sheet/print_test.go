package sheet_test

import (
	"bytes"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/internal/pdfcheck"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/sheet"
)

type (
	writer = io.Writer
	book   = plant.Book
)

// printer is one kind of sheet.
type printer struct {
	name  string
	print func(writer, book, *plan.Plan) error
}

// printers are all kinds of sheets on the plant's page.
var printers = []printer{
	{"run list", sheet.RunList},
	{"set-up", func(w writer, b book, p *plan.Plan) error { return sheet.SetUpSheet(w, b, p, 1) }},
	{"set-ups", sheet.SetUpSheets},
	{"job", func(w writer, b book, p *plan.Plan) error { return sheet.JobTicket(w, b, p, rel("J1024"), 1) }},
	{"jobs", func(w writer, b book, p *plan.Plan) error { return sheet.JobTickets(w, b, p, "FFG-1") }},
	{"refused load", func(w writer, b book, p *plan.Plan) error { return sheet.JobTickets(w, b, p, "FFG-3") }},
	{"two steps", func(w writer, b book, p *plan.Plan) error { return sheet.JobTicket(w, b, p, rel("J1027"), 2) }},
	{"stack labels", func(w writer, b book, p *plan.Plan) error { return sheet.StackLabels(w, b, p, 3) }},
}

func print(t *testing.T, f func(writer) error) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := f(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func must(t *testing.T, k printer, b book) []byte {
	t.Helper()
	return print(t, func(w writer) error { return k.print(w, b, handPlan()) })
}

// words is a PDF's text with every run of spaces as one, and the font's hyphen as typed.
func words(t *testing.T, pdf []byte) string {
	t.Helper()
	text := strings.Join(strings.Fields(pdfcheck.Text(t, pdf)), " ")
	return strings.NewReplacer("\u2010", "-", "\u00ad", "-", "\u2212", "-").Replace(text)
}

// american is the demo's book shown in inches on Letter.
func american() book {
	b := demo.Book()
	b.Plant.Display.Units, b.Plant.Display.Page, b.Plant.Display.Dates = "us", "Letter", "mdy"
	return b
}

// stays fails for a word that leaves its page's printable area, 4 mm from every edge.
func stays(t *testing.T, pdf []byte) {
	t.Helper()
	sizes := pdfcheck.Sizes(t, pdf)
	all := pdfcheck.Words(t, pdf)
	if len(all) == 0 {
		t.Fatal("no words at all")
	}
	const edge = 4
	for _, w := range all {
		s := sizes[w.Page-1]
		if w.Left < edge || w.Right > s.Width-edge || w.Top < 2 || w.Bottom > s.Height-1 {
			t.Errorf("page %d of %.0f × %.0f mm: %q stands at %.1f–%.1f, %.1f–%.1f", w.Page, s.Width, s.Height, w.Text, w.Left, w.Right, w.Top, w.Bottom)
		}
	}
}

// apart fails for two words printed over each other: middle bands that share more than a quarter of a millimetre both ways.
func apart(t *testing.T, pdf []byte) {
	t.Helper()
	const share = 0.25
	all := pdfcheck.Words(t, pdf)
	for i, a := range all {
		for _, b := range all[i+1:] {
			if b.Page != a.Page {
				break
			}
			top, bottom := max(a.Top+a.Height()/4, b.Top+b.Height()/4), min(a.Bottom-a.Height()/4, b.Bottom-b.Height()/4)
			if bottom-top > share && min(a.Right, b.Right)-max(a.Left, b.Left) > share {
				t.Errorf("page %d: %q is printed over %q", a.Page, a.Text, b.Text)
			}
		}
	}
}

func TestPagesHaveThePlantsSizeAndWordsStayOnThem(t *testing.T) {
	for _, k := range printers {
		for name, c := range map[string]struct {
			book        book
			short, long float64
		}{
			"A4, ISO 216":                 {demo.Book(), 210, 297},
			"Letter, 8 1/2 × 11 in, hand": {american(), 215.9, 279.4},
		} {
			t.Run(k.name+", "+name, func(t *testing.T) {
				pdf := must(t, k, c.book)
				for _, s := range pdfcheck.Sizes(t, pdf) {
					short, long := min(s.Width, s.Height), max(s.Width, s.Height)
					if math.Abs(short-c.short) > 0.2 || math.Abs(long-c.long) > 0.2 {
						t.Errorf("page of %.1f × %.1f mm", s.Width, s.Height)
					}
				}
				stays(t, pdf)
				apart(t, pdf)
			})
		}
	}
}

// Two prints of the same plan are the same bytes, so that a reprint can be told from a change.
func TestSameBookAndPlanAreTheSameBytes(t *testing.T) {
	for _, k := range printers {
		if !bytes.Equal(must(t, k, demo.Book()), must(t, k, demo.Book())) {
			t.Errorf("%s differs between two prints", k.name)
		}
	}
}

func TestUnknownNamesAreNotFound(t *testing.T) {
	b, p := demo.Book(), handPlan()
	for name, f := range map[string]func(writer) error{
		"set-up of run 99":     func(w writer) error { return sheet.SetUpSheet(w, b, p, 99) },
		"stack labels, run 99": func(w writer) error { return sheet.StackLabels(w, b, p, 99) },
		"job of J9999":         func(w writer) error { return sheet.JobTicket(w, b, p, rel("J9999"), 1) },
		"job of J1001, step 2": func(w writer) error { return sheet.JobTicket(w, b, p, rel("J1001"), 2) },
		"jobs of FFG-9":        func(w writer) error { return sheet.JobTickets(w, b, p, ident.Machine("FFG-9")) },
	} {
		var out bytes.Buffer
		if err := f(&out); !errors.Is(err, fault.NotFound) {
			t.Errorf("%s: %v", name, err)
		}
		if out.Len() > 0 {
			t.Errorf("%s: %d bytes were written all the same", name, out.Len())
		}
	}
}

func TestEmptyPlanPrintsThatItIsEmpty(t *testing.T) {
	empty := &plan.Plan{Now: demo.Now}
	for _, k := range []printer{printers[0], printers[2], printers[4]} {
		text := words(t, print(t, func(w writer) error { return k.print(w, demo.Book(), empty) }))
		if !strings.Contains(text, "This plan holds no") {
			t.Errorf("%s: %s", k.name, text)
		}
	}
}

// Letters outside the fonts' alphabets leave a mark; accents and Greek are printed.
func TestForeignNamesLeaveAMark(t *testing.T) {
	b := demo.Book()
	b.Customers[0].Name = "Łódź Ωmega 箱 📦"
	text := words(t, print(t, func(w writer) error { return sheet.JobTicket(w, b, handPlan(), rel("J1001"), 1) }))
	if !strings.Contains(text, "Łódź Ωmega ? ?") {
		t.Error(text)
	}
}
