package plant

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/calendar"
	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/load"
)

// Validate returns every broken rule of the plant as fault.Violations, or nil:
// values out of range, codes that stand twice, and names of things that the
// plant does not have. Fields are JSON paths, counted from 0.
func (p Plant) Validate() error {
	c := check{names: namesOf(p)}
	c.add("name", p.Name, p.Name != "" && len(p.Name) <= 200, "must be a name of at most 200 characters")
	c.display(p.Display)
	if _, err := calendar.Compile(p.Calendar); err != nil {
		c.under("calendar", err)
	}
	c.corrugator(p)
	c.machines(p)
	c.papers(p.Papers)
	c.flutes(p.Flutes)
	c.allowances(p.Allowances)
	c.grades(p)
	c.pallets(p.Pallets, p.Trailers)
	c.rest(p)
	c.day(p)
	return c.v.Err()
}

// check collects violations against the plant's own names.
type check struct {
	v     fault.Violations
	names names
}

// names are the codes that a plant has, by kind.
type names struct {
	papers, flutes, boards, grades, machines, pallets, shifts, adhesives []string
}

func namesOf(p Plant) names {
	return names{
		papers:    each(p.Papers, func(v board.Paper) ident.Paper { return v.Code }),
		flutes:    each(p.Flutes, func(v board.Flute) ident.Flute { return v.Code }),
		boards:    each(p.Allowances, func(v box.Allowance) ident.Flute { return v.Flute }),
		grades:    each(p.Grades, func(v board.Grade) ident.Grade { return v.Code }),
		machines:  append(each(p.Machines, machineCode), string(p.Corrugator.Code)),
		pallets:   each(p.Pallets, func(v load.Pallet) ident.Pallet { return v.Code }),
		shifts:    each(p.Calendar.Shifts, func(v calendar.Shift) string { return v.Name }),
		adhesives: p.Adhesives,
	}
}

func each[T any, S ~string](list []T, code func(T) S) []string {
	out := make([]string, len(list))
	for i, v := range list {
		out[i] = string(code(v))
	}
	return out
}

func (c *check) add(field, value string, ok bool, rule string) {
	c.v.Require(ok, field, clip(value), rule)
}

func (c *check) under(path string, err error) { c.v.Under(path, err) }

// within judges a number; not a number is outside every range.
func (c *check) within(field string, v, least, most float64) {
	c.add(field, number(v), v >= least && v <= most, fmt.Sprintf("must be from %s to %s", number(least), number(most)))
}

// length judges a length in millimetres.
func (c *check) length(field string, l, least, most quantity.Length) {
	c.add(field, l.String(), l >= least && l <= most, fmt.Sprintf("must be from %v to %v", least, most))
}

// unique judges a list of codes: each stated, none twice.
func (c *check) unique(path string, codes []string) {
	at := map[string]int{}
	for i, code := range codes {
		field := fmt.Sprintf("%s[%d]", path, i)
		first, twice := at[code]
		switch {
		case code == "" || strings.TrimSpace(code) != code || len(code) > 60:
			c.v.Add(field, clip(code), "must have a code of at most 60 characters without spaces around it", "")
		case twice:
			c.v.Add(field, code, fmt.Sprintf("stands twice, first at %s[%d]", path, first), "")
		default:
			at[code] = i
		}
	}
}

// known judges a name against the names of its kind.
func (c *check) known(field, name, plural string, all []string) {
	if slices.Contains(all, name) {
		return
	}
	said := "there are none"
	if len(all) > 0 {
		said = "known: " + strings.Join(all[:min(len(all), 12)], ", ")
		if len(all) > 12 {
			said += fmt.Sprintf(" and %d more", len(all)-12)
		}
	}
	c.v.Add(field, clip(name), "is not among the "+plural+" of the plant", said)
}

func (c *check) word(field, s string, allowed ...string) {
	c.add(field, s, s == "" || slices.Contains(allowed, s), "must be "+strings.Join(allowed, " or "))
}

func (c *check) display(d Display) {
	c.word("display.units", d.Units, "metric", "us")
	c.word("display.page", d.Page, "A4", "Letter")
	c.word("display.dates", d.Dates, "ymd", "dmy", "mdy")
	c.add("display.inch_parts", strconv.Itoa(d.InchParts), slices.Contains([]int{0, 16, 32, 64}, d.InchParts), "must be 16, 32 or 64")
	c.add("display.currency", d.Currency, len(d.Currency) <= 12, "must have at most 12 characters")
}

func number(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return fmt.Sprint(v)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

// atLeast1 lets a count that is left out stand for 1.
func atLeast1(n int) int { return cmp.Or(n, 1) }
