package sheet_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/internal/pdfcheck"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/sheet"
)

func TestRunListHoldsWhatTheCrewNeeds(t *testing.T) {
	text := words(t, must(t, printer{"run list", func(w writer, b book, p *plan.Plan) error { return sheet.RunList(w, b, p) }}, demo.Book()))
	for what, want := range map[string]string{
		"block":               "B-ST B flute, brown, standard runs 1–2 · 12,082 m",
		"stand, summed":       "facer B medium RM110 2000 13,474 2,964 R0003 butt (480 m from B-RACK), R0120 (6,900 m from C7; run 1 at 361 m), R0121 (6,094 m from A10; run 1 at 5,549 m)",
		"paper not yet here":  "DELIVERY IN-01 (1,972 m)",
		"run":                 "Mon 06:00 Mon 06:47 2000 10,130 17 218",
		"lane":                "J1024 Butter case 2 3 360 1085 9,336 28,002 16 FFG-1",
		"lane to dispatch":    "J1018 Base pad (upgraded) 2 1 630 650 5,002 5,000 21 dispatch",
		"web change":          "CHANGE WEB 2000 to 2200 mm",
		"grade change":        "CHANGE GRADE B-ST to BC-HV · DOUBLE WALL",
		"caution":             "Nips draw in",
		"who rules":           "The plant's own procedures and local codes rule",
		"paper of the plan":   "10.5 t of paper",
		"the moment it holds": "planned Mon 2031-03-03 06:00",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%s: %q is not in\n%s", what, want, text)
		}
	}
}

// A stand with many rolls takes more rows; none is cut short, and what no roll covers is said.
func TestEveryRollToStageIsNamed(t *testing.T) {
	p := handPlan()
	n := &p.Rolls.Needs[0]
	n.Rolls = nil
	for i := range 9 {
		n.Rolls = append(n.Rolls, rolls.RollUse{Roll: ident.Roll(fmt.Sprintf("R9%03d", i)), Metres: quantity.FromMetres(1000)})
	}
	text := words(t, print(t, func(w writer) error { return sheet.RunList(w, demo.Book(), p) }))
	for i := range 9 {
		if roll := fmt.Sprintf("R9%03d (1,000 m)", i); !strings.Contains(text, roll) {
			t.Errorf("%s is not named", roll)
		}
	}
	for _, want := range []string{"NOT COVERED 1,131 m", "PAPER MISSING TL140 at 2000 mm on double backer liner: 1,131 m"} { // 10,131 less 9 × 1,000
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
}

func TestLongRunListTakesPagesAndKeepsEveryRun(t *testing.T) {
	p := handPlan()
	one := p.Runs[0]
	p.Runs = nil
	for i := range 40 {
		r := one
		r.Seq = i + 1
		p.Runs = append(p.Runs, r)
	}
	pdf := print(t, func(w writer) error { return sheet.RunList(w, demo.Book(), p) })
	if n := len(pdfcheck.Sizes(t, pdf)); n < 4 {
		t.Errorf("40 runs on %d pages", n)
	}
	text := words(t, pdf)
	if n := strings.Count(text, "J1024 Butter case"); n != 40 {
		t.Errorf("%d of 40 runs are printed", n)
	}
	stays(t, pdf)
}
