package sheet

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
)

// TagOptions say how tags are printed; the zero value prints the originals of
// all units of a release on labels of 4 × 6 in.
type TagOptions struct {
	Copy    bool // a reprint: same numbers, marked COPY
	OnSheet bool // two side by side on the plant's page, to be cut out
	Unit    int  // this unit alone, from 1; 0: all
}

// tagSize is 4 × 6 in in millimetres, above the least size of a logistic label, A6.
var tagSize = pageSize{101.6, 152.4}

// LoadTags prints a tag for every unit of a release. Units are numbered from
// first on, by the plant's rule: a GS1 serial shipping container code, or the
// plant's own range; the caller allots the numbers and passes the same first
// for a reprint.
//
// It returns fault.NotFound when the plan holds no load of the release or the
// load no such unit, and fault.Refused with the reason when no unit can be built.
func LoadTags(w io.Writer, book plant.Book, p *plan.Plan, release ident.Release, first int64, opt TagOptions) error {
	s, err := newSource(book, p)
	if err != nil {
		return err
	}
	l, err := s.load(release)
	if err != nil {
		return err
	}
	if l.Refusal != "" {
		return fmt.Errorf("release %s: no unit can be built: %s: %w", release, l.Refusal, fault.Refused)
	}
	units := s.units(l, first)
	if opt.Unit != 0 {
		if opt.Unit < 1 || opt.Unit > len(units) {
			return fmt.Errorf("release %s has units 1 to %d, not %d: %w", release, len(units), opt.Unit, fault.NotFound)
		}
		units = units[opt.Unit-1 : opt.Unit]
	}
	t := s.openTags("Tags of "+release.String(), opt)
	for _, u := range units {
		if err := t.tag(u); err != nil {
			return err
		}
	}
	return t.finish(w)
}

// tags is a folio of tags, one a page or two on a sheet.
type tags struct {
	*source
	*folio
	opt   TagOptions
	count int
}

func (s *source) openTags(title string, opt TagOptions) *tags {
	size := tagSize
	if opt.OnSheet {
		size = s.words.page()
	}
	return &tags{source: s, folio: newFolio(s.words, title, size, s.plan.Now), opt: opt}
}

// corner opens a page where needed and returns the upper left corner of the next tag.
func (t *tags) corner() (x, y float64) {
	defer func() { t.count++ }()
	if !t.opt.OnSheet {
		t.AddPage()
		t.colour(ink)
		return 0, 0
	}
	side := t.count % 2
	x, y = (t.width-2*tagSize.width)/2+float64(side)*tagSize.width, margin
	if side == 0 {
		t.AddPage()
		t.colour(ink)
	}
	t.SetDashPattern([]float64{2, 2}, 0)
	t.SetDrawColor(faint[0], faint[1], faint[2])
	t.Rect(x, y, tagSize.width, tagSize.height, "D")
	t.SetDashPattern(nil, 0)
	t.colour(ink)
	return x, y
}

const (
	tagMargin = 5.0
	barHeight = 32 * quantity.Millimetre // at least 31.75 mm on a logistic label, GS1 General Specifications 6.7 (from a retailer's guide)
)

// tag prints one unit's tag: words above, the barcode lowest.
func (t *tags) tag(u unit) error {
	n, err := t.book.Plant.Tags.Number(u.serial)
	if err != nil {
		return fmt.Errorf("release %s, unit %d: %w", u.load.Release, u.number, err)
	}
	symbol := BarcodeDrawing(n.Symbols, BarcodeModule, barHeight, n.Text)
	left, top := t.corner()
	x, y, width := left+tagMargin, top+tagMargin, tagSize.width-2*tagMargin
	d := t.demands[u.load.Release.String()]
	line := t.lines[u.load.Release]
	customer := cmp.Or(line.Customer, d.Customer)
	item := cmp.Or(line.Item, d.Item)

	t.fit(x, y+7, width, style{points: 22, bold: true}, t.customerName(customer))
	t.fit(x, y+14, width, style{points: 14}, cmp.Or(line.ShipTo, "ship to the customer's dock"))
	t.line(x, y+17, x+width, y+17, rule)
	y = t.numbers(x, y+17.5, width, 30, []number{{"order, line, release", u.load.Release.String()}, {"unit", fmt.Sprintf("%d of %d", u.number, u.of)}})
	t.line(x, y, x+width, y, 0.3)
	y = t.numbers(x, y+0.5, width, 40, []number{{"pieces", t.Count(u.boxes)}})
	t.font(style{points: 40, bold: true})
	t.fit(x+width, y-2.5, width-t.GetStringWidth(t.Count(u.boxes))-3, style{points: 14, bold: true, anchor: "end"}, u.contents(t.folio.words))
	t.line(x, y, x+width, y, 0.3)
	t.fit(x, y+7, width, style{points: 17, bold: true}, fmt.Sprintf("%s  %s", item, t.describe(item)))
	t.fit(x, y+13.5, width, style{points: strong}, fmt.Sprintf("due %s at %s", t.moment(d.Due), cmp.Or(string(line.DueAt), "gate")))
	t.fit(x, y+19.5, width, style{points: strong}, fmt.Sprintf("gross about %s  ·  %s × %s × %s", t.mass(u.mass),
		t.Length(t.long(u.load)), t.Length(t.broad(u.load)), t.size(u.height.RoundTo(t.Step()))))
	t.fit(x, y+25, width, style{points: 12, tone: &quiet}, t.origin(u.load.Release))
	t.copyMark(x, y+27, width)
	t.place(symbol, left+(tagSize.width-symbol.Width.Millimetres())/2, top+tagSize.height-7.5-symbol.Height.Millimetres())
	t.paragraph(x, top+tagSize.height-5, width, style{points: 6.5, tone: &quiet}, cautionLoad)
	return nil
}

// origin names the runs and machines that a release comes from: with the plan's moment they lead to rolls and crews.
func (t *tags) origin(release ident.Release) string {
	var from []string
	for _, r := range t.plan.Runs {
		for _, l := range r.Lanes {
			if l.Order == release.String() {
				from = append(from, fmt.Sprintf("run %d", r.Seq))
			}
		}
	}
	for _, j := range t.jobs[release.String()] {
		from = append(from, string(j.Machine))
	}
	return "from " + cmp.Or(strings.Join(from, ", "), "the floor") + "  ·  plan of " + t.moment(t.plan.Now)
}

// copyMark says of a reprint what it is, in white on ink.
func (t *tags) copyMark(x, y, width float64) {
	if !t.opt.Copy {
		return
	}
	t.band(x, y, width, 8, ink)
	t.put(x+width/2, y+6, style{points: 17, bold: true, anchor: "middle", tone: &white}, "COPY")
}
