package box_test

import (
	"encoding/json"
	"errors"
	"os"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/demo"
)

const (
	mm = quantity.Millimetre
	in = quantity.Inch
)

// usC are the working allowances of C flute in a US plant that rounds to 1/16 in.
func usC() box.Allowance {
	return box.Allowance{
		Flute: "C", PanelAdd: 3 * in / 16, LastPanelLess: in / 16, DepthAdd: 3 * in / 8, SlotWidth: 3 * in / 8,
		GlueLap: in + 3*in/8, Caliper: quantity.FromInches(.16), RoundUpTo: in / 16,
	}
}

// The C-flute allowances (3/16 in on each panel, 3/8 in on the depth) are a
// trade guide's; the blank is worked from them by hand.
func TestPublishedRegularSlotted(t *testing.T) {
	const guide = "packageit.com, Box 101: C-flute allowances; blank worked by hand"
	us := quantity.Format{US: true}
	inside, err := box.NewInside(16*in, 12*in, 10*in)
	if err != nil {
		t.Fatal(err)
	}
	full := usC()
	full.LastPanelLess = 0
	rows := []struct {
		what      string
		a         box.Allowance
		get       func(box.Blank) quantity.Length
		published quantity.Length
	}{
		{"length panel", full, func(b box.Blank) quantity.Length { return b.Panels[1] }, 16*in + 3*in/16},
		{"width panel", full, func(b box.Blank) quantity.Length { return b.Panels[2] }, 12*in + 3*in/16},
		{"depth between scores", full, func(b box.Blank) quantity.Length { return b.Depth }, 10*in + 3*in/8},
		{"flap, rounded up", full, func(b box.Blank) quantity.Length { return b.OuterFlap }, 6*in + in/8},
		{"chop, last panel full", full, func(b box.Blank) quantity.Length { return b.Sheet.Chop }, 58*in + in/8},
		{"chop, last panel 1/16 less", usC(), func(b box.Blank) quantity.Length { return b.Sheet.Chop }, 58*in + in/16},
		{"slit", usC(), func(b box.Blank) quantity.Length { return b.Sheet.Slit }, 22*in + 5*in/8},
	}
	for _, r := range rows {
		b, err := box.Compute("0201", inside, 0, r.a)
		if err != nil {
			t.Fatal(err)
		}
		got := r.get(b)
		t.Logf("blank 0201, 16 × 12 × 10 in, C flute | %s | %s, in | %s | %s | %v", guide, r.what, us.Length(r.published), us.Length(got), got-r.published)
		if got != r.published {
			t.Errorf("%s: got %v, want %v", r.what, got, r.published)
		}
	}
}

// Every item of the demo plant whose style has a formula gives the sheet that
// an independent hand computed for it.
func TestDemoReferenceBlanks(t *testing.T) {
	raw, err := os.ReadFile("../demo/testdata/reference.json")
	if err != nil {
		t.Fatal(err)
	}
	var file map[string]struct {
		Chop   quantity.Length   `json:"chop_mm"`
		Slit   quantity.Length   `json:"slit_mm"`
		Panels []quantity.Length `json:"panels_mm"`
		Strips []quantity.Length `json:"strips_mm"`
	}
	if err := json.Unmarshal(raw, &file); err != nil {
		t.Fatal(err)
	}
	book := demo.Book()
	items, grades, allowances := map[ident.Item]int{}, map[ident.Grade]ident.Flute{}, map[ident.Flute]box.Allowance{}
	for i, it := range book.Items {
		items[it.Code] = i
	}
	for _, g := range book.Plant.Grades {
		grades[g.Code] = g.Flute
	}
	for _, a := range book.Plant.Allowances {
		allowances[a.Flute] = a
	}
	seen := map[box.Style]int{}
	for _, line := range book.Lines {
		it := book.Items[items[line.Item]]
		info, err := it.Style.Describe()
		if err != nil {
			t.Fatal(err)
		}
		want, ok := file[line.Key.Order]
		if !info.Computed || !ok {
			continue
		}
		seen[it.Style]++
		b, err := box.Compute(it.Style, it.Inside, it.Overlap, allowances[grades[it.Grade]])
		if err != nil {
			t.Errorf("%s: %v", line.Key, err)
			continue
		}
		if b.Sheet.Chop != want.Chop || b.Sheet.Slit != want.Slit {
			t.Errorf("%s, %s: sheet %v × %v, reference %v × %v", line.Key, it.Style, b.Sheet.Chop, b.Sheet.Slit, want.Chop, want.Slit)
		}
		if len(want.Panels) > 0 && !slices.Equal(b.Panels, want.Panels) {
			t.Errorf("%s: panels %v, reference %v", line.Key, b.Panels, want.Panels)
		}
		if len(want.Strips) > 0 && !slices.Equal(b.Strips, want.Strips) {
			t.Errorf("%s: strips %v, reference %v", line.Key, b.Strips, want.Strips)
		}
	}
	for _, s := range box.ComputedStyles() {
		if seen[s.Style] == 0 {
			t.Errorf("no reference reached style %s", s.Style)
		}
	}
}

func metricC() box.Allowance {
	return box.Allowance{Flute: "C", PanelAdd: 4 * mm, LastPanelLess: 2 * mm, DepthAdd: 8 * mm, FlapAdd: mm, SlotWidth: 8 * mm, GlueLap: 35 * mm, Caliper: 4100 * quantity.Micrometre}
}

func TestComputeByHand(t *testing.T) {
	rows := []struct {
		source  string
		style   box.Style
		inside  box.Inside
		overlap quantity.Length
		want    box.Sheet
		outside box.Outside
		flat    box.FoldedFlat
	}{
		{"hand, 0203 C", "0203", box.Inside{Length: 390 * mm, Width: 290 * mm, Height: 540 * mm}, 0,
			box.Sheet{Chop: 1409 * mm, Slit: 1130 * mm, Scores: []quantity.Length{291 * mm, 839 * mm}},
			box.Outside{Length: 398200 * quantity.Micrometre, Width: 298200 * quantity.Micrometre, Height: 564600 * quantity.Micrometre}, box.FoldedFlat{Length: 688 * mm, Width: 1130 * mm}},
		{"hand, 0200 C", "0200", box.Inside{Length: 250 * mm, Width: 250 * mm, Height: 790 * mm}, 0,
			box.Sheet{Chop: 1049 * mm, Slit: 922 * mm, Scores: []quantity.Length{128 * mm}},
			box.Outside{Length: 258200 * quantity.Micrometre, Width: 258200 * quantity.Micrometre, Height: 798200 * quantity.Micrometre}, box.FoldedFlat{Length: 508 * mm, Width: 922 * mm}},
		{"hand, 0202 C, overlap 60", "0202", box.Inside{Length: 570 * mm, Width: 370 * mm, Height: 160 * mm}, 60 * mm,
			box.Sheet{Chop: 1929 * mm, Slit: 604 * mm, Scores: []quantity.Length{218 * mm, 386 * mm}},
			box.Outside{Length: 578200 * quantity.Micrometre, Width: 378200 * quantity.Micrometre, Height: 184600 * quantity.Micrometre}, box.FoldedFlat{Length: 948 * mm, Width: 604 * mm}},
		{"hand, sleeve shorter than wide", "0501", box.Inside{Length: 100 * mm, Width: 200 * mm, Height: 60 * mm}, 0,
			box.Sheet{Chop: 569 * mm, Slit: 100 * mm},
			box.Outside{Length: 100 * mm, Width: 208200 * quantity.Micrometre, Height: 68200 * quantity.Micrometre}, box.FoldedFlat{Length: 268 * mm, Width: 100 * mm}},
		{"hand, sheet as ordered", "0110", box.Inside{Length: 640 * mm, Width: 990 * mm}, 0,
			box.Sheet{Chop: 640 * mm, Slit: 990 * mm},
			box.Outside{Length: 640 * mm, Width: 990 * mm, Height: 4100 * quantity.Micrometre}, box.FoldedFlat{Length: 640 * mm, Width: 990 * mm}},
	}
	for _, r := range rows {
		b, err := box.Compute(r.style, r.inside, r.overlap, metricC())
		if err != nil {
			t.Errorf("%s: %v", r.source, err)
			continue
		}
		if b.Sheet.Chop != r.want.Chop || b.Sheet.Slit != r.want.Slit || !slices.Equal(b.Sheet.Scores, r.want.Scores) {
			t.Errorf("%s: sheet %v, want %v", r.source, b.Sheet, r.want)
		}
		if b.Outside != r.outside {
			t.Errorf("%s: outside %v, want %v", r.source, b.Outside, r.outside)
		}
		if b.FoldedFlat != r.flat {
			t.Errorf("%s: flat %v, want %v", r.source, b.FoldedFlat, r.flat)
		}
	}
}

// A blank's parts always add up to its sheet, lie on the plant's step, and leave room for the contents.
func TestBlankAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := usC()
		if rapid.Bool().Draw(t, "metric") {
			a = metricC()
		}
		size := func(name string) quantity.Length {
			return quantity.Length(rapid.Int64Range(int64(30*mm), int64(2000*mm)).Draw(t, name))
		}
		l, w, h := size("length"), size("width"), size("height")
		inside, err := box.NewInside(max(l, w), min(l, w), h)
		if err != nil {
			t.Fatal(err)
		}
		style := rapid.SampledFrom([]box.Style{"0200", "0201", "0203", "0204", "0501"}).Draw(t, "style")
		b, err := box.Compute(style, inside, 0, a)
		if err != nil {
			t.Fatal(err)
		}
		var chop, slit quantity.Length
		for _, p := range b.Panels {
			chop += p
		}
		for i, s := range b.Strips {
			slit += s
			if i < len(b.Strips)-1 && b.Sheet.Scores[i] != slit {
				t.Fatalf("score %d at %v, strips say %v", i, b.Sheet.Scores[i], slit)
			}
		}
		if chop != b.Sheet.Chop || slit != b.Sheet.Slit {
			t.Fatalf("panels add up to %v, strips to %v; sheet %v", chop, slit, b.Sheet)
		}
		step := max(a.RoundUpTo, mm)
		for _, p := range append(b.Panels[1:], b.Strips...) {
			if p%step != 0 {
				t.Fatalf("%v is off the step %v", p, step)
			}
		}
		if style != "0501" && (b.Panels[1] < inside.Length || b.Panels[2] < inside.Width || b.Depth < inside.Height || b.OuterFlap > b.Panels[2]) {
			t.Fatalf("%v does not hold %v", b, inside)
		}
		if _, err := box.NewSheet(b.Sheet.Chop, b.Sheet.Slit, b.Sheet.Scores); err != nil && b.Sheet.Chop <= box.MaxSheet && b.Sheet.Slit <= box.MaxSheet {
			t.Fatalf("the computed sheet is no sheet: %v", err)
		}
	})
}

func TestFaults(t *testing.T) {
	good := box.Inside{Length: 398 * mm, Width: 299 * mm, Height: 135 * mm}
	rows := []struct {
		what    string
		style   box.Style
		inside  box.Inside
		overlap quantity.Length
		a       box.Allowance
		broken  int
	}{
		{"unknown code", "9999", good, 0, metricC(), 1},
		{"no code", "", good, 0, metricC(), 1},
		{"not four digits", "201", good, 0, metricC(), 1},
		{"signed", "+201", good, 0, metricC(), 1},
		{"die-cut style without a sheet", "0427", good, 0, metricC(), 1},
		{"no height", "0201", box.Inside{Length: 398 * mm, Width: 299 * mm}, 0, metricC(), 1},
		{"all three sides", "0201", box.Inside{Length: -1, Width: 0, Height: 7000 * mm}, 0, metricC(), 4},
		{"width before length", "0201", box.Inside{Length: 299 * mm, Width: 398 * mm, Height: 135 * mm}, 0, metricC(), 1},
		{"overlap where none is", "0201", good, 40 * mm, metricC(), 1},
		{"overlap missing", "0202", good, 0, metricC(), 1},
		{"overlap too long to close", "0202", good, 400 * mm, metricC(), 1},
		{"sheet with a height", "0110", good, 0, metricC(), 1},
		{"allowance", "0201", good, 0, box.Allowance{Flute: "C", PanelAdd: -mm, RoundUpTo: -1}, 2},
		{"nothing left of the flaps", "0203", box.Inside{Length: 2 * mm, Width: 1 * mm, Height: 5 * mm}, 0, box.Allowance{Flute: "C"}, 1},
	}
	for _, r := range rows {
		_, err := box.Compute(r.style, r.inside, r.overlap, r.a)
		var v fault.Violations
		if !errors.As(err, &v) || len(v) != r.broken {
			t.Errorf("%s: %v; want %d violations", r.what, err, r.broken)
		}
	}
}

func TestSignedCodeIsNone(t *testing.T) {
	if info, err := box.Style("+201").Describe(); err == nil {
		t.Errorf("+201 is taken for %v", info)
	}
}

func TestWarnings(t *testing.T) {
	b, err := box.Compute("0202", box.Inside{Length: 120 * mm, Width: 60 * mm, Height: 25 * mm}, 5*mm, metricC())
	if err != nil {
		t.Fatal(err)
	}
	var fields []string
	for _, w := range b.Warnings() {
		fields = append(fields, w.Field)
	}
	want := []string{"flap", "depth between flap scores", "panel", "overlap"}
	if !slices.Equal(fields, want) {
		t.Errorf("warned about %v, want %v", fields, want)
	}
	if got := b.Warnings()[0].Text(quantity.Format{}); got != "flap 36 mm is under 40 mm: too short for machine folding" {
		t.Errorf("got %q", got)
	}
	plain, err := box.Compute("0201", box.Inside{Length: 398 * mm, Width: 299 * mm, Height: 135 * mm}, 0, metricC())
	if err != nil || len(plain.Warnings()) > 0 {
		t.Errorf("an ordinary box is warned about: %v, %v", plain.Warnings(), err)
	}
}

// The house's own ticket says 58 × 22 1/2 in where the formula says 58 1/16 × 22 5/8.
func TestApprovedSheetAgainstFormula(t *testing.T) {
	b, err := box.Compute("0201", box.Inside{Length: 16 * in, Width: 12 * in, Height: 10 * in}, 0, usC())
	if err != nil {
		t.Fatal(err)
	}
	ticket, err := box.NewSheet(58*in, 22*in+in/2, b.Sheet.Scores)
	if err != nil {
		t.Fatal(err)
	}
	d := ticket.Against(b.Sheet)
	if d.Chop != -in/16 || d.Slit != -in/8 || !d.Notice {
		t.Errorf("difference %+v, want -1/16 and -1/8 in, worth a look", d)
	}
	near := box.Sheet{Chop: b.Sheet.Chop + 2*mm, Slit: b.Sheet.Slit - 2*mm, Scores: b.Sheet.Scores}
	if d := near.Against(b.Sheet); d.Notice {
		t.Errorf("2 mm are within the usual: %+v", d)
	}
	near.Scores = near.Scores[:1]
	if d := near.Against(b.Sheet); !d.Notice || !d.ScoreSets {
		t.Errorf("a missing score goes unnoticed: %+v", d)
	}
	if _, err := box.NewSheet(0, 100*mm, []quantity.Length{50 * mm, 40 * mm, 100 * mm}); len(fault.Lines(err)) != 3 {
		t.Errorf("want three violations, got %v", err)
	}
}
