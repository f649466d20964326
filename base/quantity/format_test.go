package quantity

import (
	"errors"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/fault"
)

var (
	metric = Format{Currency: "EUR"}
	us16   = Format{US: true, InchParts: 16, Currency: "USD", Dates: "mdy"}
)

// Factors of NIST Special Publication 811 (2008), appendix B.8, each derived
// there from the international foot, pound and standard gravity.
func TestPublishedConversions(t *testing.T) {
	const source = "NIST SP 811 (2008) app. B.8, to 12 digits from its exact foot, pound and standard gravity"
	rows := []struct {
		quantity       string
		published, got float64
	}{
		{"lb/1000 ft² in g/m²", 4.88242763638, PoundPerMSF.Gsm()},
		{"lbf/in in kN/m", 0.175126835246476, PoundForcePerInch.KilonewtonsPerMetre()},
		{"lbf/in² in kPa", 6.89475729316836, float64(PSI) / 1000},
		{"lbf in N", 4.4482216152605, float64(PoundForce)},
		{"0.001 in in mm", 0.0254, FromInches(0.001).Millimetres()},
		{"lbf·in in N·m", 0.112984829027617, float64(PoundForce) * Inch.Metres()},
		{"32 lb/in in kN/m", 5.604058727887232, (32 * PoundForcePerInch).KilonewtonsPerMetre()},
		{"200 psi in kPa", 1378.951458633672, float64(200*PSI) / 1000},
		{"42 lb/MSF in g/m²", 205.06196072796, (42 * PoundPerMSF).Gsm()},
		{"short ton in kg", 907.18474, float64(ShortTon)},
	}
	for _, r := range rows {
		deviation := math.Abs(r.got/r.published - 1)
		t.Logf("conversions | %s | %s | %.12g | %.12g | %.9f %%", source, r.quantity, r.published, r.got, 100*deviation)
		if deviation > 1e-11 { // the published figures have 12 to 15 digits
			t.Errorf("%s: got %.14g, published %.14g", r.quantity, r.got, r.published)
		}
	}
}

func TestShow(t *testing.T) {
	at := time.Date(2031, time.March, 4, 14, 5, 0, 0, time.UTC)
	rows := []struct{ what, got, want string }{
		{"mm", metric.Length(443 * Millimetre), "443"},
		{"mm, tenth", metric.Length(FromMillimetres(18.54)), "18.5"},
		{"in, mixed", us16.Length(17*Inch + 7*Inch/16), "17 7/16"},
		{"in, reduced", us16.Length(22*Inch + 10*Inch/16), "22 5/8"},
		{"in, fraction", us16.Length(3 * Inch / 16), "3/16"},
		{"in, negative", us16.Length(-3 * Inch / 16), "-3/16"},
		{"in, nothing", us16.Length(0), "0"},
		{"in, rounded up to whole", us16.Length(2*Inch - 100), "2"},
		{"in, 1/32", Format{US: true, InchParts: 32}.Length(Inch / 32), "1/32"},
		{"m", metric.Run(FromMetres(4662)), "4,662"},
		{"ft", us16.Run(Distance(12 * Inch * 16258)), "16,258"},
		{"m²", metric.Area(31875), "31,875"},
		{"MSF", us16.Area(1000 * MSF), "1,000"},
		{"hand: 58 1/16 × 22 5/8 in", us16.SheetArea(Area((58*Inch + Inch/16).Metres() * (22*Inch + 10*Inch/16).Metres())), "9.12"},
		{"kg", metric.Mass(0.2775), "0.278"},
		{"lb", us16.Mass(4410 * Pound), "4,410"},
		{"t", metric.BigMass(24500), "24.5"},
		{"short ton", us16.BigMass(2 * ShortTon), "2.0"},
		{"g/m²", metric.Grammage(42 * PoundPerMSF), "205"},
		{"lb/MSF", us16.Grammage(205 * Gram), "42"},
		{"kN/m", metric.LineLoad(4900), "4.90"},
		{"lb/in", us16.LineLoad(32 * PoundForcePerInch), "32"},
		{"N", metric.Force(2501.2), "2,501"},
		{"lbf", us16.Force(562.27 * PoundForce), "562"},
		{"m/min", metric.Speed(280 * MetrePerMinute), "280"},
		{"°F", us16.Temperature(23), "73"},
		{"money", metric.Money(1234567.5), "1,234,567.50"},
		{"money, no sign of nothing", metric.Money(-0.001), "0.00"},
		{"count", metric.Count(-12000), "-12,000"},
		{"ymd", metric.DateTime(at), "2031-03-04 14:05"},
		{"mdy", us16.Date(at), "03/04/2031"},
		{"dmy", Format{Dates: "dmy"}.Date(at), "04.03.2031"},
		{"day", us16.Day(at), "Tue Mar 4"},
		{"no number", metric.Money(Money(math.NaN())), "–"},
	}
	for _, r := range rows {
		if r.got != r.want {
			t.Errorf("%s: shows %q, want %q", r.what, r.got, r.want)
		}
	}
}

func TestParseLength(t *testing.T) {
	sixteen := 16*Inch + 3*Inch/16
	rows := []struct {
		f    Format
		text string
		want Length
	}{
		{metric, "443", 443 * Millimetre},
		{metric, "443 mm", 443 * Millimetre},
		{metric, "443.5", FromMillimetres(443.5)},
		{metric, "443,5", FromMillimetres(443.5)},
		{metric, "1,439", 1439 * Millimetre},
		{metric, "1 439", 1439 * Millimetre},
		{metric, "44.3cm", 443 * Millimetre},
		{metric, "16 3/16", sixteen},
		{metric, `16-3/16"`, sixteen},
		{us16, "16 3/16", sixteen},
		{us16, "16-3/16 in", sixteen},
		{us16, `16 3/16"`, sixteen},
		{us16, "16.1875", sixteen},
		{us16, "16 3/16 inches", sixteen},
		{us16, "443 mm", 443 * Millimetre},
		{us16, "½", Inch / 2},
		{us16, "16½", 16*Inch + Inch/2},
		{us16, "-1/16", -Inch / 16},
		{us16, "10 pt", Inch / 100},
	}
	for _, r := range rows {
		if got, err := r.f.ParseLength(r.text); err != nil || got != r.want {
			t.Errorf("%q (US %v): got %v, %v; want %v", r.text, r.f.US, got, err, r.want)
		}
	}
	for _, text := range []string{"", "x", "16-Mar", "3/16/2031", "16 18/16", "1/0", "1e9", "NaN", "12..5", "99999999 km", "16 3/"} {
		if got, err := us16.ParseLength(text); !errors.Is(err, fault.Invalid) {
			t.Errorf("%q: got %v, %v; want a refusal", text, got, err)
		}
	}
	_, err := us16.ParseLength("16-Mar")
	if want := `"16-Mar" is a date, not a length; a spreadsheet may have changed a fraction: format the cell as text and type it again, such as 16 3/16`; err.Error() != want {
		t.Errorf("got %q", err)
	}
}

func TestParseGrammage(t *testing.T) {
	if g, err := us16.ParseGrammage("42"); err != nil || g != 42*PoundPerMSF {
		t.Errorf("42 lb: %v, %v", g, err)
	}
	if g, err := us16.ParseGrammage("205 g/m²"); err != nil || math.Abs(g.Gsm()-205) > 1e-9 {
		t.Errorf("205 g/m²: %v, %v", g, err)
	}
	rows := []struct {
		f          Format
		text, want string
	}{
		{us16, "205", `"205" is outside 20–100 lb/MSF; did you mean 205 g/m² (42 lb)?`},
		{metric, "42", `"42" is outside 60–500 g/m²; did you mean 42 lb/MSF (205 g/m²)?`},
		{metric, "5000", `"5000" is outside 60–500 g/m²`},
		{us16, "2 g/m²", `"2 g/m²" is outside 20–100 lb/MSF`},
	}
	for _, r := range rows {
		if _, err := r.f.ParseGrammage(r.text); err == nil || err.Error() != r.want {
			t.Errorf("%q: got %v, want %s", r.text, err, r.want)
		}
	}
}

func TestParseCount(t *testing.T) {
	for text, want := range map[string]int{"5,000": 5000, "5000": 5000, "5 000": 5000, "5000.0": 5000, "0": 0, "1,250,000": 1250000, "5\u202f000": 5000} {
		if got, err := ParseCount(text); err != nil || got != want {
			t.Errorf("%q: got %d, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "-5", "5.000", "5,00", "five", "1e3", "5000000000", "99999999999999999999", "5.5"} {
		if got, err := ParseCount(text); !errors.Is(err, fault.Invalid) {
			t.Errorf("%q: got %d, %v; want a refusal", text, got, err)
		}
	}
}

// Showing a value that lies on the plant's step and reading it back changes nothing.
func TestShowThenParseKeepsTheValue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := Format{US: rapid.Bool().Draw(t, "us"), InchParts: rapid.SampledFrom([]int{0, 16, 32, 64}).Draw(t, "parts")}
		stored := Length(rapid.Int64Range(-200_000, 200_000).Draw(t, "steps")) * f.Step()
		if got, err := f.ParseLength(f.Length(stored)); err != nil || got != stored {
			t.Fatalf("%v shown as %q reads as %v, %v", stored, f.Length(stored), got, err)
		}
		n := rapid.IntRange(0, maxCount).Draw(t, "count")
		if got, err := ParseCount(f.Count(n)); err != nil || got != n {
			t.Fatalf("%d shown as %q reads as %d, %v", n, f.Count(n), got, err)
		}
		odd := Length(rapid.Int64Range(0, int64(3*Metre)).Draw(t, "odd"))
		if got, err := f.KeepLength(f.Exact(odd), odd); err != nil || got != odd {
			t.Fatalf("%d nm is saved as %d from an untouched field, %v", odd, got, err)
		}
	})
}

// By hand: what a form shows holds all that is stored.
func TestExact(t *testing.T) {
	us := Format{US: true, InchParts: 16}
	for _, tt := range []struct {
		source, metric, us string
		l                  Length
	}{
		{"a sixteenth", "1.5875", "1/16", Inch / 16},
		{"2 mm are no sixteenth", "2", "0.0787", 2 * Millimetre},
		{"a sixty-fourth", "0.396875", "1/64", Inch64},
		{"58 1/16 in", "1474.7875", "58 1/16", 58*Inch + Inch/16},
		{"nothing", "0", "0", 0},
	} {
		if m, u := (Format{}).Exact(tt.l), us.Exact(tt.l); m != tt.metric || u != tt.us {
			t.Errorf("%s: %q, %q, want %q, %q", tt.source, m, u, tt.metric, tt.us)
		}
	}
}

func FuzzParseLength(f *testing.F) {
	for _, s := range []string{"443", "16 3/16", `16-3/16"`, "1,439.5 mm", "½", "-", "9999999 1/9999 km"} {
		f.Add(s, true)
	}
	f.Fuzz(func(t *testing.T, s string, us bool) {
		l, err := Format{US: us}.ParseLength(s)
		if err == nil && (l > maxLength+Metre*1000 || l < -maxLength-Metre*1000) {
			t.Errorf("%q reads as %v", s, l)
		}
	})
}
