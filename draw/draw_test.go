package draw

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/internal/pdfcheck"
)

var update = flag.Bool("update", false, "write the golden files anew")

const mil = quantity.Millimetre

var (
	metric = quantity.Format{}
	us     = quantity.Format{US: true, InchParts: 16}
)

func lengths(unit quantity.Length, v ...float64) (out []quantity.Length) {
	for _, x := range v {
		out = append(out, unit.Scale(x))
	}
	return out
}

// samples are one drawing of each kind and of each case that looks different.
func samples() map[string]Drawing {
	return map[string]Drawing{
		"blank-0201": Blank(BlankShape{Title: "0201, inside 398 × 299 × 135 mm, B flute",
			Panels: lengths(mil, 35, 401, 302, 401, 300), Strips: lengths(mil, 151, 141, 151), SlotWidth: 7 * mil}, metric),
		"blank-0200": Blank(BlankShape{Title: "0200, inside 250 × 250 × 790 mm, C flute", OneFlap: true,
			Panels: lengths(mil, 35, 254, 254, 254, 252), Strips: lengths(mil, 128, 794), SlotWidth: 8 * mil}, metric),
		"blank-0204": Blank(BlankShape{Title: "0204, inside 400 × 300 × 220 mm, C flute",
			Panels: lengths(mil, 35, 404, 304, 404, 302), Strips: lengths(mil, 203, 228, 203), SlotWidth: 8 * mil, OuterFlap: 153 * mil, InnerFlap: 203 * mil}, metric),
		"blank-us": Blank(BlankShape{Title: "0201, inside 16 × 12 × 10 in, C flute",
			Panels: lengths(quantity.Inch, 1.375, 16.1875, 12.1875, 16.1875, 12.125), Strips: lengths(quantity.Inch, 6.125, 10.375, 6.125), SlotWidth: 3 * quantity.Inch / 8}, us),
		"sheet": Blank(BlankShape{Title: "0427, die-cut sheet", Panels: lengths(mil, 1450), Strips: lengths(mil, 1052)}, metric),
		"section": WebSection(Section{Title: "Run 7", Web: 2350 * mil, TrimOperator: 17 * mil, TrimDrive: 18 * mil, Lanes: []SectionLane{
			{"J1001", 1, 3, 443 * mil, lengths(mil, 151, 292)}, {"J1024", 2, 2, 360 * mil, lengths(mil, 107, 253)}, {"J1018", 1, 1, 266 * mil, nil}}}, metric),
		"section-us": WebSection(Section{Title: "Run 8", Web: 93 * quantity.Inch, TrimOperator: 5 * quantity.Inch / 4, TrimDrive: 5 * quantity.Inch / 4,
			Lanes: []SectionLane{{"004512", 1, 4, quantity.FromInches(22.625), lengths(quantity.Inch, 6.125, 16.5)}}}, us),
		"layer": Layer(PalletLayer{Title: "Layer of P1210", DeckLength: 1200 * mil, DeckWidth: 1000 * mil, Bundles: []LayerBundle{
			{0, 0, 703 * mil, 443 * mil, 25}, {0, 443 * mil, 703 * mil, 443 * mil, 25}, {703 * mil, 0, 443 * mil, 703 * mil, 25}}}, metric),
		"layer-overhang": Layer(PalletLayer{Title: "Layer of P1212", DeckLength: 1200 * mil, DeckWidth: 1200 * mil,
			Bundles: []LayerBundle{{-37 * mil, -159 * mil, 1274 * mil, 1518 * mil, 10}}}, metric),
	}
}

func svgOf(t testing.TB, d Drawing) string {
	t.Helper()
	var b bytes.Buffer
	if err := WriteSVG(&b, d); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestGoldenSVG(t *testing.T) {
	for name, d := range samples() {
		path := filepath.Join("testdata", name+".svg")
		got := svgOf(t, d)
		if *update {
			if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s has changed: look at it, then run with -update", name)
		}
	}
}

// A page's content security policy forbids inline styles and scripts, and the desk makes no outside request.
func TestSVGStandsAlone(t *testing.T) {
	for name, d := range samples() {
		s := svgOf(t, d)
		for _, bad := range []string{" style=", "<style", "<script", "href", "url(http", "onload"} {
			if strings.Contains(s, bad) {
				t.Errorf("%s contains %q", name, bad)
			}
		}
		for _, want := range []string{`role="img"`, "<title id=", "<desc id=", "viewBox=\"0 0 "} {
			if !strings.Contains(s, want) {
				t.Errorf("%s lacks %q", name, want)
			}
		}
		wellFormed(t, s)
	}
}

func wellFormed(t testing.TB, s string) {
	t.Helper()
	dec := xml.NewDecoder(strings.NewReader(s))
	for {
		_, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.Fatalf("not well formed: %v", err)
		}
	}
}

var ids = regexp.MustCompile(` id="([^"]+)"`)

// All drawings fit on one page together: no id is used twice, every used pattern is defined.
func TestPatternsAreUnique(t *testing.T) {
	seen := map[string]string{}
	for name, d := range samples() {
		s := svgOf(t, d)
		for _, m := range ids.FindAllStringSubmatch(s, -1) {
			if other, twice := seen[m[1]]; twice {
				t.Errorf("id %s in %s and %s", m[1], name, other)
			}
			seen[m[1]] = name
		}
		for _, m := range regexp.MustCompile(`url\(#([^)]+)\)`).FindAllStringSubmatch(s, -1) {
			if seen[m[1]] != name {
				t.Errorf("%s uses the pattern %s and does not define it", name, m[1])
			}
		}
	}
	own := samples()["layer"]
	own.ID = "mine"
	if s := svgOf(t, own); !strings.Contains(s, `id="mine-waste"`) {
		t.Error("the drawing's own id is not used")
	}
}

// Every class that a writer sets takes the page's colours. The hatched copy of a second lane has no line of its own.
func TestEveryClassIsStyled(t *testing.T) {
	for name, d := range samples() {
		for _, m := range regexp.MustCompile(`class="(dr-[a-z-]+)"`).FindAllStringSubmatch(svgOf(t, d), -1) {
			if m[1] != "dr-boardalt-lines" && !regexp.MustCompile(`\.`+m[1]+`[,{]`).MatchString(CSS) {
				t.Errorf("%s: class %s has no rule", name, m[1])
			}
		}
	}
}

func TestRolesHaveLooks(t *testing.T) {
	for _, r := range []Role{Cut, Score, Outline, Dim, Centre, Board, BoardAlt, Waste, Deck, Bar, Label, Strong, Signal} {
		if _, ok := looks[r]; !ok {
			t.Errorf("role %s has no look", r)
		}
	}
	if looks[Cut].dash != nil || looks[Score].dash == nil || looks[Centre].dash == nil || looks[Waste].hatch == plain {
		t.Error("a cut must be solid, a score and a centre line broken, waste hatched")
	}
	if looks[Board].fill == looks[BoardAlt].fill || looks[BoardAlt].hatch == looks[Waste].hatch {
		t.Error("the second board tone differs by tone and by the lean of its hatching")
	}
}

// inFrame faults every mark that leaves the frame. Text may be as wide as the estimate says.
func inFrame(t interface{ Fatalf(string, ...any) }, d Drawing) {
	inside := func(what string, p Point) {
		if p.X < 0 || p.Y < 0 || p.X > d.Width || p.Y > d.Height {
			t.Fatalf("%s: %s at %v, %v outside the frame %v × %v", d.Title, what, p.X, p.Y, d.Width, d.Height)
		}
	}
	for _, r := range d.Rects {
		if r.Width < 0 || r.Height < 0 {
			t.Fatalf("%s: rectangle turned inside out: %v", d.Title, r)
		}
		inside(string(r.Role)+" rectangle", r.At)
		inside(string(r.Role)+" rectangle", Point{r.At.X + r.Width, r.At.Y + r.Height})
	}
	for _, l := range d.Lines {
		inside(string(l.Role)+" line", l.A)
		inside(string(l.Role)+" line", l.B)
		for _, head := range arrowheads(l, arrowSize(d)) {
			for _, p := range head {
				if l.Arrows {
					inside("arrow", p)
				}
			}
		}
	}
	for _, x := range d.Texts {
		w, up, down := wordWidth(x.Words, x.Size), x.Size.Scale(.8), x.Size.Scale(.25)
		from := quantity.Length(0)
		switch x.Anchor {
		case "middle":
			from = -w / 2
		case "end":
			from = -w
		}
		if x.Turned {
			inside("text "+x.Words, Point{x.At.X - up, x.At.Y - from - w})
			inside("text "+x.Words, Point{x.At.X + down, x.At.Y - from})
			continue
		}
		inside("text "+x.Words, Point{x.At.X + from, x.At.Y - up})
		inside("text "+x.Words, Point{x.At.X + from + w, x.At.Y + down})
	}
}

func TestSamplesStayInTheFrame(t *testing.T) {
	for _, d := range samples() {
		inFrame(t, d)
	}
}

func pick(t *rapid.T, name string, low, high int64) quantity.Length {
	return quantity.Length(rapid.Int64Range(low, high).Draw(t, name)) * quantity.Millimetre
}

func TestEveryMarkStaysInTheFrame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := quantity.Format{US: rapid.Bool().Draw(t, "us")}
		b := BlankShape{Title: rapid.StringN(0, 60, 200).Draw(t, "title"), SlotWidth: pick(t, "slot", 0, 12), OneFlap: rapid.Bool().Draw(t, "one")}
		for range rapid.SampledFrom([]int{1, 5}).Draw(t, "panels") {
			b.Panels = append(b.Panels, pick(t, "panel", 20, 2000))
		}
		for range rapid.IntRange(1, 4).Draw(t, "strips") {
			b.Strips = append(b.Strips, pick(t, "strip", 20, 2000))
		}
		b.OuterFlap, b.InnerFlap = pick(t, "outer", 0, 2000), pick(t, "inner", 0, 2000)
		inFrame(t, Blank(b, f))

		s := Section{Title: "web", TrimOperator: pick(t, "trim", 0, 120), TrimDrive: pick(t, "trim", 0, 120)}
		s.Web = s.TrimOperator + s.TrimDrive
		for range rapid.IntRange(1, 4).Draw(t, "lanes") {
			l := SectionLane{Label: rapid.StringN(0, 20, 60).Draw(t, "label"), Level: rapid.IntRange(1, 2).Draw(t, "level"), Outs: rapid.IntRange(1, 4).Draw(t, "outs"), Slit: pick(t, "slit", 150, 900)}
			if rapid.Bool().Draw(t, "scored") {
				l.Scores = []quantity.Length{l.Slit / 4, l.Slit / 2}
			}
			s.Lanes = append(s.Lanes, l)
			s.Web += l.Slit * quantity.Length(l.Outs)
		}
		inFrame(t, WebSection(s, f))

		p := PalletLayer{DeckLength: pick(t, "deck", 400, 1600), DeckWidth: pick(t, "deck", 400, 1600)}
		for range rapid.IntRange(0, 8).Draw(t, "bundles") {
			p.Bundles = append(p.Bundles, LayerBundle{pick(t, "x", -500, 1500), pick(t, "y", -500, 1500), pick(t, "l", 50, 1600), pick(t, "w", 50, 1600), rapid.IntRange(0, 500).Draw(t, "pieces")})
		}
		inFrame(t, Layer(p, f))
	})
}

// Figures spread apart keep their order, their distance and the frame, and move only where they must.
func TestSpread(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := sorted(rapid.SliceOfN(rapid.Map(rapid.Int64Range(0, 1000), func(v int64) quantity.Length { return quantity.Length(v) }), 1, 40).Draw(t, "at"))
		gap := quantity.Length(rapid.Int64Range(1, 20).Draw(t, "gap"))
		got := spread(at, gap, 0, 1000)
		apart := true
		for i, x := range got {
			if x < 0 || x > 1000 || i > 0 && x-got[i-1] < gap {
				t.Fatalf("%v spread by %v: %v", at, gap, got)
			}
			apart = apart && (i == 0 || at[i]-at[i-1] >= gap)
		}
		for i := range got {
			if apart && got[i] != at[i] {
				t.Fatalf("%v needed no spreading: %v", at, got)
			}
		}
	})
}

func TestSectionPositions(t *testing.T) {
	s := Section{Web: 1000 * mil, TrimOperator: 20 * mil, TrimDrive: 20 * mil, Lanes: []SectionLane{
		{"A", 1, 2, 300 * mil, lengths(mil, 100, 200)}, {"B", 2, 1, 360 * mil, nil}}}
	if got := listed(s.Slits(), metric); got != "20, 320, 620, 980" {
		t.Errorf("slits at %s", got)
	}
	if got := listed(s.Scores(), metric); got != "120, 220, 420, 520" {
		t.Errorf("scores at %s", got)
	}
}

func TestOverhang(t *testing.T) {
	l := PalletLayer{DeckLength: 1200 * mil, DeckWidth: 1000 * mil, Bundles: []LayerBundle{{0, 0, 600 * mil, 500 * mil, 0}, {600 * mil, -30 * mil, 640 * mil, 500 * mil, 0}}}
	if got := l.Overhang(); got != 40*mil {
		t.Errorf("overhang %v, want 40 mm", got)
	}
	l.Bundles = l.Bundles[:1]
	if got := l.Overhang(); got != 0 {
		t.Errorf("overhang %v of a bundle within the deck", got)
	}
	for _, r := range Layer(l, metric).Rects {
		if r.Role == Signal {
			t.Error("a signal where nothing hangs over")
		}
	}
}

func TestPDF(t *testing.T) {
	var a, b bytes.Buffer
	d := samples()["blank-us"]
	for _, w := range []*bytes.Buffer{&a, &b} {
		if err := WritePDF(w, d, "Letter"); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the same drawing gives different files")
	}
	if err := WritePDF(io.Discard, d, "A3"); !errors.Is(err, fault.Invalid) {
		t.Errorf("page A3: %v", err)
	}
	text := pdfcheck.Text(t, a.Bytes())
	for _, want := range []string{"0201, inside 16 × 12 × 10 in, C flute", "58 1/16", "22 5/8", "16 3/16", "glue lap"} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
}

// Whatever a label says, both writers give a well-formed file.
func FuzzWriters(f *testing.F) {
	f.Add("J1001 <&>\"'", "blank")
	f.Add("\x00\xff\u2028🎁", "ärgerlich ½ × ²")
	f.Fuzz(func(t *testing.T, label, title string) {
		d := WebSection(Section{Title: title, Web: 500 * mil, Lanes: []SectionLane{{label, 1, 1, 500 * mil, nil}}}, metric)
		wellFormed(t, svgOf(t, d))
		if err := WritePDF(io.Discard, d, "A4"); err != nil {
			t.Errorf("PDF of %q: %v", label, err)
		}
	})
}
