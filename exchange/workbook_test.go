package exchange_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"github.com/flutewright/flutewright/exchange"
	"github.com/flutewright/flutewright/plant/order"
)

// workbook builds an XLSX of one sheet as a spreadsheet would save it.
func workbook(t *testing.T, fill func(f *excelize.File, sheet string)) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	fill(f, "Sheet1")
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func set(t *testing.T, f *excelize.File, cell string, v any) {
	t.Helper()
	if err := f.SetCellValue("Sheet1", cell, v); err != nil {
		t.Fatal(err)
	}
}

func style(t *testing.T, f *excelize.File, cell, format string) {
	t.Helper()
	id, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
	if err != nil {
		t.Fatal(err)
	}
	if err := f.SetCellStyle("Sheet1", cell, cell, id); err != nil {
		t.Fatal(err)
	}
}

func TestWorkbook(t *testing.T) {
	raw := workbook(t, func(f *excelize.File, sheet string) {
		for i, h := range []string{"order", "customer", "item", "due", "quantity", "under_pct", "line"} {
			cell, _ := excelize.CoordinatesToCellName(i+1, 1)
			set(t, f, cell, h)
		}
		// row 2: text with zeros, a date cell, a grouped number, a share in percent
		set(t, f, "A2", "004512")
		set(t, f, "B2", "C01")
		set(t, f, "C2", "FW-1001")
		set(t, f, "D2", time.Date(2031, 4, 3, 14, 30, 0, 0, time.UTC))
		style(t, f, "D2", "m/d/yyyy h:mm")
		set(t, f, "E2", 5000)
		style(t, f, "E2", "#,##0")
		set(t, f, "F2", 0.05)
		style(t, f, "F2", "0%")
		set(t, f, "G2", 7)
		// row 4: a number shown with zeros, text date; row 3 is left blank
		set(t, f, "A4", 4513)
		style(t, f, "A4", "000000")
		set(t, f, "B4", "C01")
		set(t, f, "C4", "FW-1001")
		set(t, f, "D4", "2031-04-03")
		set(t, f, "E4", 6000)
		// row 5: a formula without a value
		set(t, f, "A5", "A5")
		set(t, f, "B5", "C01")
		set(t, f, "C5", "FW-1001")
		set(t, f, "D5", "2031-04-03")
		if err := f.SetCellFormula(sheet, "E5", "E2*2"); err != nil {
			t.Fatal(err)
		}
		// row 6: a size that became a day; row 7: a day number that is no date cell
		set(t, f, "A6", "A6")
		set(t, f, "B6", "C01")
		set(t, f, "C6", "FW-1001")
		set(t, f, "D6", "2031-04-03")
		set(t, f, "E6", time.Date(2031, 3, 16, 0, 0, 0, 0, time.UTC))
		style(t, f, "E6", "d-mmm")
		set(t, f, "A7", 451230000000)
		set(t, f, "B7", "C01")
		set(t, f, "C7", "FW-1001")
		set(t, f, "D7", 47910)
		set(t, f, "E7", 5)
	})
	file, err := exchange.Orders{}.ReadOrders("orders.xlsx", bytes.NewReader(raw), known())
	if err != nil {
		t.Fatal(err)
	}
	if len(file.Rows) != 2 || len(file.Waiting) != 3 {
		t.Fatalf("%d rows, waiting %q", len(file.Rows), faults(file))
	}
	first, second := file.Rows[0], file.Rows[1]
	if l := first.Line; l.Key.Order != "004512" || l.Key.Line != "7" || l.Quantity != 5000 || l.UnderPct != 5 ||
		l.Due.UTC().Format(time.RFC3339) != "2031-04-03T13:30:00Z" {
		t.Errorf("row 2: %+v", l)
	}
	if second.Row != 4 || second.Line.Key.Order != "004513" {
		t.Errorf("row 4: %d %+v", second.Row, second.Line)
	}
	for i, want := range []string{"is a formula whose value is not in the file", "has made a day of it", "it would be 2031-03-03"} {
		if got := file.Waiting[i].Faults[0].String(); !strings.Contains(got, want) {
			t.Errorf("%q does not say %q", got, want)
		}
	}
	if got := file.Waiting[2].Cells["order"]; got != "451230000000" {
		t.Errorf("a long order number is shown as %q", got)
	}
}

// The demo's order file as a workbook says the same as the CSV.
func TestDemoOrdersAsWorkbook(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(plainHead+"004512,,,C01,FW-1001,2031-03-04T14:00,5000\nA2,2,3,C02,FW-1003,2031-03-05,700"), "\n")
	raw := workbook(t, func(f *excelize.File, sheet string) {
		for y, l := range lines {
			for x, c := range strings.Split(l, ",") {
				cell, _ := excelize.CoordinatesToCellName(x+1, y+1)
				set(t, f, cell, c)
			}
		}
	})
	book, err := exchange.Orders{}.ReadOrders("o.xlsx", bytes.NewReader(raw), known())
	if err != nil {
		t.Fatal(err)
	}
	text := read(t, exchange.Orders{}, known(), strings.Join(lines, "\n"))
	var a, b []order.Line
	for i := range text.Rows {
		a, b = append(a, text.Rows[i].Line), append(b, book.Rows[i].Line)
	}
	same(t, "lines", b, a)
}
