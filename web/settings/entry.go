package settings

import (
	"errors"
	"strconv"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/web/frame"
)

// entry says what a field is: its name is the value's JSON path.
type entry struct {
	name, label, hint string
	wide              bool
}

func (e entry) field(unit, value string) frame.Field {
	label := e.label
	if unit != "" {
		label += ", " + unit
	}
	return frame.Field{Name: e.name, Label: label, Value: value, Hint: e.hint, Wide: e.wide}
}

func (b *form) text(e entry, v *string) {
	b.add(e.field("", *v), func(s string) error { *v = s; return nil })
}

// code is a name of one of the plant's kinds.
func code[T ~string](b *form, e entry, v *T) {
	b.add(e.field("", string(*v)), func(s string) error { *v = T(s); return nil })
}

func choice[T ~string](b *form, e entry, v *T, options ...frame.Option) {
	f := e.field("", string(*v))
	f.Kind, f.Options = "select", options
	b.add(f, func(s string) error { *v = T(s); return nil })
}

func (b *form) yes(e entry, v *bool) {
	value := ""
	if *v {
		value = "yes"
	}
	f := e.field("", value)
	f.Kind, f.Options = "select", []frame.Option{{Value: "", Words: "no"}, {Value: "yes", Words: "yes"}}
	b.add(f, func(s string) error { *v = s == "yes"; return nil })
}

func (b *form) count(e entry, v *int) {
	b.add(e.field("", blank(b.Count(*v))), func(s string) error {
		n, err := parsed(s, quantity.ParseCount)
		if err == nil {
			*v = n
		}
		return err
	})
}

// countOr is a count that may be left out: then it sets no limit.
func (b *form) countOr(e entry, v **int) {
	value := ""
	if *v != nil {
		value = b.Count(**v)
	}
	b.add(e.field("", value), func(s string) error {
		if s == "" {
			*v = nil
			return nil
		}
		n, err := quantity.ParseCount(s)
		if err == nil {
			*v = &n
		}
		return err
	})
}

func (b *form) number(e entry, unit string, v *float64) {
	b.add(e.field(unit, blank(strconv.FormatFloat(*v, 'f', -1, 64))), func(s string) error {
		n, err := parsed(s, quantity.ParseNumber)
		if err == nil {
			*v = n
		}
		return err
	})
}

func (b *form) minutes(e entry, v *quantity.Minutes) { b.number(e, "min", (*float64)(v)) }

// hours shows minutes as hours.
func (b *form) hours(e entry, v *quantity.Minutes) {
	h := float64(*v) / 60
	b.add(e.field("h", blank(strconv.FormatFloat(h, 'f', -1, 64))), func(s string) error {
		n, err := parsed(s, quantity.ParseNumber)
		if err == nil {
			*v = quantity.Minutes(n * 60)
		}
		return err
	})
}

func (b *form) money(e entry, v *quantity.Money) {
	b.add(e.field(b.MoneyUnit(), blank(strconv.FormatFloat(float64(*v), 'f', -1, 64))), func(s string) error {
		n, err := parsed(s, b.ParseMoney)
		if err == nil {
			*v = n
		}
		return err
	})
}

// perTonne is a price of paper.
func (b *form) perTonne(e entry, v *quantity.Money) {
	b.add(e.field(b.PerTonneUnit(), blank(b.PerTonne(*v))), func(s string) error {
		n, err := parsed(s, b.ParsePerTonne)
		if err == nil {
			*v = n
		}
		return err
	})
}

func (b *form) length(e entry, v *quantity.Length) {
	b.add(e.field(b.LengthUnit(), blank(b.Exact(*v))), func(s string) error {
		l, err := parsed(s, b.ParseLength)
		if err == nil {
			*v = l
		}
		return err
	})
}

// lengthOr is a length that may be left out: then it sets no limit.
func (b *form) lengthOr(e entry, v **quantity.Length) {
	value := ""
	if *v != nil {
		value = b.Exact(**v)
	}
	b.add(e.field(b.LengthUnit(), value), func(s string) error {
		if s == "" {
			*v = nil
			return nil
		}
		l, err := b.ParseLength(s)
		if err == nil {
			*v = &l
		}
		return err
	})
}

// caliper is a thickness, which is shown finer than a length.
func (b *form) caliper(e entry, v *quantity.Length) {
	b.add(e.field(b.CaliperUnit(), blank(trimmed(b.Caliper(*v)))), func(s string) error {
		l, err := parsed(s, b.ParseLength)
		if err == nil {
			*v = l
		}
		return err
	})
}

func (b *form) run(e entry, v *quantity.Distance) {
	b.add(e.field(b.RunUnit(), blank(b.Run(*v))), func(s string) error {
		d, err := parsed(s, b.ParseRun)
		if err == nil {
			*v = d
		}
		return err
	})
}

func (b *form) speed(e entry, v *quantity.Speed) {
	b.add(e.field(b.SpeedUnit(), blank(b.Speed(*v))), func(s string) error {
		n, err := parsed(s, b.ParseSpeed)
		if err == nil {
			*v = n
		}
		return err
	})
}

func (b *form) mass(e entry, v *quantity.Mass) {
	b.add(e.field(b.MassUnit(), blank(trimmed(b.Mass(*v)))), func(s string) error {
		n, err := parsed(s, b.ParseMass)
		if err == nil {
			*v = n
		}
		return err
	})
}

// grammage is a paper's basis weight.
func (b *form) grammage(e entry, v *quantity.Grammage) {
	b.add(e.field(b.GrammageUnit(), blank(b.Grammage(*v))), func(s string) error {
		n, err := parsed(s, b.ParseGrammage)
		if err == nil {
			*v = n
		}
		return err
	})
}

func (b *form) lineLoad(e entry, v *quantity.LineLoad) {
	b.add(e.field(b.LineLoadUnit(), blank(trimmed(b.LineLoad(*v)))), func(s string) error {
		n, err := parsed(s, b.ParseLineLoad)
		if err == nil {
			*v = n
		}
		return err
	})
}

// lengths are parted by semicolons, since an inch fraction has a slash of its own.
func (b *form) lengths(e entry, v *[]quantity.Length) {
	shown := make([]string, len(*v))
	for i, l := range *v {
		shown[i] = b.Exact(l)
	}
	old := *v
	f := e.field(b.LengthUnit(), strings.Join(shown, "; "))
	b.add(f, func(s string) error {
		var out []quantity.Length
		for _, part := range words(s) {
			l, err := b.ParseLength(part)
			if err != nil {
				return err
			}
			for i, text := range shown {
				if text == part {
					l = old[i]
				}
			}
			out = append(out, l)
		}
		*v = out
		return nil
	})
}

// codes are names parted by semicolons or commas.
func codes[T ~string](b *form, e entry, v *[]T) {
	shown := make([]string, len(*v))
	for i, c := range *v {
		shown[i] = string(c)
	}
	b.add(e.field("", strings.Join(shown, "; ")), func(s string) error {
		*v = nil
		for _, part := range words(strings.ReplaceAll(s, ",", ";")) {
			*v = append(*v, T(part))
		}
		return nil
	})
}

func (b *form) numbers(e entry, v *[]int) {
	shown := make([]string, len(*v))
	for i, n := range *v {
		shown[i] = strconv.Itoa(n)
	}
	b.add(e.field("", strings.Join(shown, "; ")), func(s string) error {
		*v = nil
		for _, part := range words(strings.ReplaceAll(s, ",", ";")) {
			n, err := quantity.ParseCount(part)
			if err != nil {
				return err
			}
			*v = append(*v, n)
		}
		return nil
	})
}

func (b *form) moment(e entry, v *time.Time) {
	f := e.field("", frame.LocalTime(*v, b.Zone))
	f.Kind = "datetime-local"
	b.add(f, func(s string) error {
		if s == "" {
			*v = time.Time{}
			return nil
		}
		t, err := time.ParseInLocation("2006-01-02T15:04", s, b.Zone)
		if err != nil {
			return fault.Violations{{Rule: "must be a date and time such as 2031-03-04T14:00"}}
		}
		*v = t
		return nil
	})
}

// words parts a text at its semicolons.
func words(s string) []string {
	var out []string
	for part := range strings.SplitSeq(s, ";") {
		if part = strings.TrimSpace(part); part != "" {
			out = append(out, part)
		}
	}
	return out
}

// parsed reads a text; an empty one is the zero value.
func parsed[T any](s string, parse func(string) (T, error)) (T, error) {
	var zero T
	if s == "" {
		return zero, nil
	}
	v, err := parse(s)
	var u *quantity.Unreadable
	if errors.As(err, &u) {
		return zero, fault.Violations{u.Violation(0, "")}
	}
	return v, err
}

// blank shows nothing for a value that is not stated.
func blank(s string) string {
	if strings.Trim(s, "0.") == "" {
		return ""
	}
	return s
}

// trimmed takes the zeros behind a point away.
func trimmed(s string) string {
	if strings.Contains(s, ".") {
		return strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}
