package sheet_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/internal/pdfcheck"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/sheet"
)

// B-ST is 2.45 + 0.9 × (0.21 + 0.182 + 0.21) = 2.99 mm, and the stacker takes
// 1800 mm (both from the demo plant): the figures below are divided by hand.
func TestStacksOfARun(t *testing.T) {
	all, err := sheet.Stacks(demo.Book(), handPlan(), 1)
	if err != nil {
		t.Fatal(err)
	}
	// J1001: 7037 sheets a pile are 11 × 601 and 426; J1024: 9334 are 15 × 601 and 319.
	if len(all) != 12+16 {
		t.Fatalf("%d stacks", len(all))
	}
	first, last := all[0], all[11]
	if first.High != 601 || first.Piles != 2 || first.Sheets != 1202 || last.High != 426 || all[27].High != 319 {
		t.Errorf("first %+v, last %+v, very last %+v", first, last, all[27])
	}
	if first.Next != "FFG-1" || !first.Turn {
		t.Errorf("goes to %q, turned %v", first.Next, first.Turn)
	}
	if want := at(3, 8, 47); !first.Cured.Equal(want) { // 06:47 and the demo's two hours for single wall
		t.Errorf("may be fed from %v", first.Cured)
	}
}

// Double wall waits the demo's four hours from the run's end at 07:32.
func TestDoubleWallCuresLonger(t *testing.T) {
	all, err := sheet.Stacks(demo.Book(), handPlan(), 3)
	if err != nil {
		t.Fatal(err)
	}
	if got := all[0].Cured.Sub(at(3, 7, 32)); got != 4*time.Hour {
		t.Errorf("waits %v", got)
	}
	if end := all[len(all)-1]; end.Next != "" || end.Turn { // the pad goes to dispatch
		t.Errorf("%+v", end)
	}
}

// Whatever a run makes, its stacks hold exactly its good sheets, none is higher than the stacker, no number is used twice.
func TestStacksAddUp(t *testing.T) {
	b := demo.Book()
	rapid.Check(t, func(r *rapid.T) {
		p := handPlan()
		lanes := p.Runs[0].Lanes
		for i := range lanes {
			lanes[i].Outs = rapid.IntRange(1, 7).Draw(r, "outs")
			lanes[i].Sheets = lanes[i].Outs * rapid.IntRange(0, 30000).Draw(r, "cuts")
		}
		all, err := sheet.Stacks(b, p, 1)
		if err != nil {
			r.Fatal(err)
		}
		sums, seen := map[int]int{}, map[string]bool{}
		for _, s := range all {
			sums[s.Lane] += s.Sheets
			if s.Height > b.Plant.Corrugator.StackHeightMax || s.High < 1 || seen[string(s.ID)] {
				r.Fatalf("%+v", s)
			}
			seen[string(s.ID)] = true
		}
		for i, l := range lanes {
			if sums[i+1] != l.Sheets {
				r.Fatalf("lane %d makes %d sheets, its stacks hold %d", i+1, l.Sheets, sums[i+1])
			}
		}
	})
}

func TestStackLabelSaysWhereToAndWhetherTurned(t *testing.T) {
	pdf := print(t, func(w writer) error { return sheet.StackLabels(w, demo.Book(), handPlan(), 1) })
	read := pdfcheck.ZBar(t, pdfcheck.Picture(t, pdf, 1, 203))
	if !slices.Contains(read, "03030600-1A-01") || !slices.Contains(read, "03030600-1A-02") {
		t.Errorf("zbar reads %q", read)
	}
	text := words(t, pdf)
	for _, want := range []string{"FFG-1", "TURN", "1,202", "1 of 12", "2 × 601", "Mon 08:47", "03030600-1A-01", "03030600-1B-16", "957"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in %.900s", want, text)
		}
	}
}

func TestStacksOfAnUnknownGrade(t *testing.T) {
	p := handPlan()
	p.Runs[0].Grade = "Z-99"
	if _, err := sheet.Stacks(demo.Book(), p, 1); !errors.Is(err, fault.NotFound) {
		t.Error(err)
	}
}
