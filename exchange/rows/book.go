package rows

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"
)

// maxUnzipped bounds what a small file may unfold to.
const maxUnzipped = 512 << 20

// dateLike is how a date cell looks in any of the usual formats.
var dateLike = regexp.MustCompile(`\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}|\d{1,2}[- /][A-Z][a-z]{2}|[A-Z][a-z]{2,8}[- ]\d|\d:\d\d`)

// book reads the first sheet of a workbook twice in step: as shown, and as
// stored. The shown text keeps an order number's leading zeros, the stored
// number tells which day a date cell means.
type book struct {
	name     string
	f        *excelize.File
	shown    *excelize.Rows
	stored   *excelize.Rows
	from1904 bool
	formulas map[[2]int]bool // row, column (from 1) of formulas without a value
	number   int
}

func openBook(name string, r io.Reader) (src source, notes []string, err error) {
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, nil, err
	}
	damaged := func(err error) error {
		return refuse(name, fmt.Sprintf("cannot be read as a workbook (%v)", err), "save it again as .xlsx, or as CSV UTF-8")
	}
	defer func() { // the workbook library may trip over a damaged part
		if p := recover(); p != nil {
			src, notes, err = nil, nil, damaged(fmt.Errorf("%v", p))
		}
	}()
	if err := checkUnzipped(name, data); err != nil {
		return nil, nil, err
	}
	b := &book{name: name}
	if b.f, err = excelize.OpenReader(bytes.NewReader(data), excelize.Options{UnzipSizeLimit: maxUnzipped, UnzipXMLSizeLimit: 16 << 20}); err != nil {
		return nil, nil, damaged(err)
	}
	sheets := b.f.GetSheetList()
	if len(sheets) == 0 {
		return nil, nil, refuse(name, "the workbook has no sheet", "")
	}
	if len(sheets) > 1 {
		notes = []string{fmt.Sprintf("%s: only the first sheet, %q, of %d is read", name, sheets[0], len(sheets))}
	}
	if b.formulas, err = openFormulas(data, sheets[0]); err != nil {
		return nil, nil, damaged(err)
	}
	if b.shown, err = b.f.Rows(sheets[0]); err != nil {
		return nil, nil, damaged(err)
	}
	if b.stored, err = b.f.Rows(sheets[0]); err != nil {
		return nil, nil, damaged(err)
	}
	if p, err := b.f.GetWorkbookProps(); err == nil && p.Date1904 != nil {
		b.from1904 = *p.Date1904
	}
	return b, notes, nil
}

// checkUnzipped refuses a workbook whose parts say that they unfold beyond the limit.
func checkUnzipped(name string, data []byte) error {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return refuse(name, fmt.Sprintf("is a damaged workbook (%v)", err), "save it again as .xlsx, or as CSV UTF-8")
	}
	total := uint64(0)
	for _, part := range z.File {
		if total += part.UncompressedSize64; part.UncompressedSize64 > maxUnzipped || total > maxUnzipped {
			return refuse(name, fmt.Sprintf("unfolds to more than %d MB", maxUnzipped>>20), "delete unused sheets and pictures, or save it as CSV UTF-8")
		}
	}
	return nil
}

func (b *book) close() error {
	return errors.Join(b.shown.Close(), b.stored.Close(), b.f.Close())
}

func (b *book) next() (row Row, err error) {
	defer func() {
		if p := recover(); p != nil {
			row, err = Row{}, refuse(b.name, fmt.Sprintf("row %d of the workbook is damaged (%v)", b.number, p), "save it again as .xlsx, or as CSV UTF-8")
		}
	}()
	if !b.shown.Next() || !b.stored.Next() {
		return Row{}, io.EOF
	}
	b.number++
	shown, err := b.shown.Columns()
	if err != nil {
		return Row{}, refuse(b.name, fmt.Sprintf("row %d: %v", b.number, err), "")
	}
	stored, err := b.stored.Columns(excelize.Options{RawCellValue: true})
	if err != nil {
		return Row{}, refuse(b.name, fmt.Sprintf("row %d: %v", b.number, err), "")
	}
	row = Row{Number: b.number, Cells: make([]Cell, max(len(shown), len(stored)))}
	for i := range row.Cells {
		var s, raw string
		if i < len(shown) {
			s = shown[i]
		}
		if i < len(stored) {
			raw = stored[i]
		}
		row.Cells[i] = b.cell(s, raw, b.formulas[[2]int{b.number, i + 1}])
	}
	return row, nil
}

func (b *book) cell(shown, stored string, bareFormula bool) Cell {
	c := Cell{Text: shown, Fault: errorValue(shown)}
	if bareFormula {
		c.Fault = "is a formula whose value is not in the file"
		return c
	}
	v, err := strconv.ParseFloat(stored, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || strings.TrimSpace(stored) == "" {
		return c
	}
	if shown != stored && dateLike.MatchString(shown) {
		c.Day = dayOf(v, b.from1904)
	}
	c.Number = stored
	return c
}

// dayOf turns a workbook's day number into a local date, with the time unless it is midnight.
func dayOf(v float64, from1904 bool) string {
	if v < 1 || v > 100_000 {
		return ""
	}
	t, err := excelize.ExcelDateToTime(v, from1904)
	if err != nil {
		return ""
	}
	t = t.Round(time.Minute)
	if t.Hour() == 0 && t.Minute() == 0 {
		return t.Format("2006-01-02")
	}
	return t.Format("2006-01-02T15:04")
}
