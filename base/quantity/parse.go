package quantity

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
)

// Unreadable says why a typed text is no such quantity. errors.Is(err, fault.Invalid) holds.
type Unreadable struct {
	Text   string
	Rule   string // what is allowed
	Remedy string // what to type instead, where it is known
}

// Error is the rule, and the remedy where there is one.
func (u *Unreadable) Error() string {
	if u.Remedy == "" {
		return fmt.Sprintf("%.40q %s", u.Text, u.Rule)
	}
	return fmt.Sprintf("%.40q %s; %s", u.Text, u.Rule, u.Remedy)
}

// Is makes errors.Is(u, fault.Invalid) true.
func (u *Unreadable) Is(target error) bool { return target == fault.Invalid }

// Violation is the same fault as a broken rule of a field; row 0 where there is none.
func (u *Unreadable) Violation(row int, field string) fault.Violation {
	return fault.Violation{Row: row, Field: field, Value: u.Text, Rule: u.Rule, Remedy: u.Remedy}
}

var (
	spaces  = strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2009", " ", "\t", " ", "−", "-")
	groups  = regexp.MustCompile(`^[+-]?\d{1,3}([, ]\d{3})+(\.\d+)?$`)
	plain   = regexp.MustCompile(`^[+-]?(\d+(\.\d*)?|\.\d+)$`)
	comma   = regexp.MustCompile(`^[+-]?\d+,\d{1,2}$`)
	onlyInt = regexp.MustCompile(`^[+-]?\d+(\.0{1,2})?$`)
)

func tidy(s string) string { return strings.TrimSpace(spaces.Replace(s)) }

// ParseNumber reads a decimal number: "1439", "1,439.5", "1 439", and "0,25"
// with one or two digits behind a decimal comma.
func ParseNumber(s string) (float64, error) {
	t := tidy(s)
	switch {
	case groups.MatchString(t):
		t = strings.NewReplacer(",", "", " ", "").Replace(t)
	case comma.MatchString(t):
		t = strings.Replace(t, ",", ".", 1)
	case !plain.MatchString(t):
		return 0, &Unreadable{Text: s, Rule: "is not a number"}
	}
	v, err := strconv.ParseFloat(t, 64)
	if err != nil || math.IsInf(v, 0) {
		return 0, &Unreadable{Text: s, Rule: "is not a number in range"}
	}
	return v, nil
}

// maxCount is beyond any order: a larger number is a slip of the keys.
const maxCount = 1_000_000_000

// ParseCount reads a whole number, zero or more: "5000", "5,000", "5 000", "5000.0".
func ParseCount(s string) (int, error) {
	t := tidy(s)
	if groups.MatchString(t) {
		t = strings.NewReplacer(",", "", " ", "").Replace(t)
	}
	if !onlyInt.MatchString(t) {
		return 0, &Unreadable{Text: s, Rule: "is not a whole number", Remedy: "type digits, with or without commas: 5000 or 5,000"}
	}
	whole, _, _ := strings.Cut(t, ".")
	n, err := strconv.ParseInt(whole, 10, 64)
	switch {
	case err != nil || n > maxCount:
		return 0, &Unreadable{Text: s, Rule: "must be at most 1,000,000,000"}
	case n < 0:
		return 0, &Unreadable{Text: s, Rule: "must not be negative"}
	}
	return int(n), nil
}

// unit is one spelling of a unit and its size in the quantity's own unit.
type unit struct {
	suffix string
	size   float64
}

// measured reads a number with one of the units, the longest spelling first,
// or a bare number times bare. It says whether a unit was given.
func measured(s string, bare float64, units []unit) (v float64, given bool, err error) {
	t := tidy(s)
	size := bare
	low := strings.ToLower(t)
	for _, u := range units {
		if strings.HasSuffix(low, u.suffix) {
			t, size, given = t[:len(t)-len(u.suffix)], u.size, true
			break
		}
	}
	v, err = ParseNumber(t)
	if err != nil {
		return 0, given, &Unreadable{Text: s, Rule: "is not a number with a unit"}
	}
	return v * size, given, nil
}

func (f Format) bare(metric, us float64) float64 {
	if f.US {
		return us
	}
	return metric
}

var grammages = []unit{
	{"g/m²", float64(Gram)}, {"g/m2", float64(Gram)}, {"gsm", float64(Gram)}, {"g", float64(Gram)},
	{"lb/msf", float64(PoundPerMSF)}, {"lbs", float64(PoundPerMSF)}, {"lb", float64(PoundPerMSF)}, {"#", float64(PoundPerMSF)},
}

// ParseGrammage reads a paper's basis weight: 60–500 g/m², or 20–100 lb/MSF
// where the plant counts in pounds. A number that only makes sense in the
// other unit is refused with that guess.
func (f Format) ParseGrammage(s string) (Grammage, error) {
	v, given, err := measured(s, f.bare(float64(Gram), float64(PoundPerMSF)), grammages)
	if err != nil {
		return 0, err
	}
	g := Grammage(v)
	low, high, rule := 60*Gram, 500*Gram, "is outside 60–500 g/m²"
	if f.US {
		low, high, rule = 20*PoundPerMSF, 100*PoundPerMSF, "is outside 20–100 lb/MSF"
	}
	const hair = 1e-9 // of the unit conversion
	within := func(g Grammage) bool { return g >= low*(1-hair) && g <= high*(1+hair) }
	if within(g) {
		return g, nil
	}
	u := &Unreadable{Text: tidy(s), Rule: rule}
	if other := f.swap().read(v / f.bare(float64(Gram), float64(PoundPerMSF))); !given && within(other) {
		u.Remedy = "did you mean " + f.both(tidy(s), other) + "?"
	}
	return 0, u
}

func (f Format) swap() Format { f.US = !f.US; return f }

func (f Format) read(v float64) Grammage {
	return Grammage(v * f.bare(float64(Gram), float64(PoundPerMSF)))
}

// both writes a guess in the other unit, and in the plant's own: "205 g/m² (42 lb)".
func (f Format) both(typed string, g Grammage) string {
	own := "g/m²"
	if f.US {
		own = "lb"
	}
	return typed + " " + f.swap().GrammageUnit() + " (" + f.Grammage(g) + " " + own + ")"
}

// ParseLineLoad reads an edge or ring crush: "4.9", "32 lb/in".
func (f Format) ParseLineLoad(s string) (LineLoad, error) {
	v, _, err := measured(s, f.bare(1000, float64(PoundForcePerInch)), []unit{
		{"kn/m", 1000}, {"n/mm", 1000}, {"n/m", 1}, {"lbf/in", float64(PoundForcePerInch)}, {"lb/in", float64(PoundForcePerInch)}, {"ect", float64(PoundForcePerInch)},
	})
	return LineLoad(v), err
}

// ParseMass reads a mass: "9.2", "74 kg", "20 lb", "1.2 t".
func (f Format) ParseMass(s string) (Mass, error) {
	v, _, err := measured(s, f.bare(1, float64(Pound)), []unit{
		{"short ton", float64(ShortTon)}, {"kg", 1}, {"lbs", float64(Pound)}, {"lb", float64(Pound)}, {"g", 0.001}, {"t", 1000},
	})
	return Mass(v), err
}

// ParseSpeed reads a web speed: "280", "900 ft/min".
func (f Format) ParseSpeed(s string) (Speed, error) {
	v, _, err := measured(s, f.bare(float64(MetrePerMinute), float64(FootPerMinute)), []unit{
		{"ft/min", float64(FootPerMinute)}, {"fpm", float64(FootPerMinute)}, {"m/min", float64(MetrePerMinute)}, {"m/s", 1},
	})
	return Speed(v), err
}

// ParseMoney reads an amount: "1,250.00".
func (f Format) ParseMoney(s string) (Money, error) {
	t := strings.Trim(tidy(s), "€$£ ")
	if f.Currency != "" {
		t = strings.TrimSpace(strings.TrimSuffix(t, f.Currency))
	}
	v, err := ParseNumber(t)
	if err != nil {
		return 0, &Unreadable{Text: s, Rule: "is not an amount of money"}
	}
	return Money(v), nil
}

// ParsePerTonne reads a price of a tonne, or of a short ton in a US plant.
func (f Format) ParsePerTonne(s string) (Money, error) {
	m, err := f.ParseMoney(s)
	if f.US {
		m = m * 1000 / Money(ShortTon)
	}
	return m, err
}
