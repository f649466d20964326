package sheet_test

import (
	"context"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/internal/pdfcheck"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/sheet"
)

// Whatever plan the engines find for the demo's book, its sheets hold all of it:
// every run, every job, a tag for every unit, and nothing printed over something else.
func TestSheetsOfAWholePlan(t *testing.T) {
	for name, b := range map[string]book{"metric, A4": demo.Book(), "US, Letter": american()} {
		t.Run(name, func(t *testing.T) {
			p, err := plan.Make(context.Background(), b, plan.Options{Now: demo.Now, Seconds: 0.3, Seed: 1})
			if err != nil {
				t.Fatal(err)
			}
			files := map[string]*file{}
			err = sheet.WriteAll(b, p, func(name string) (io.WriteCloser, error) {
				files[name] = &file{}
				return files[name], nil
			})
			if err != nil {
				t.Fatal(err)
			}
			if got := len(pdfcheck.Sizes(t, files["corrugator-setups.pdf"].Bytes())); got != len(p.Runs) {
				t.Errorf("%d set-ups for %d runs", got, len(p.Runs))
			}
			list := words(t, files["corrugator-runs.pdf"].Bytes())
			for _, r := range p.Runs {
				for _, l := range r.Lanes {
					if !strings.Contains(list, l.Order+" ") {
						t.Errorf("run %d: %s is not in the run list", r.Seq, l.Order)
					}
				}
			}
			tickets := map[ident.Machine]string{}
			for _, j := range p.Clock.Jobs {
				if tickets[j.Machine] == "" {
					tickets[j.Machine] = words(t, files[string(j.Machine)+"-jobs.pdf"].Bytes())
				}
				if want := fmt.Sprintf("%s %s job %d", j.Release, j.Machine, j.Seq); !strings.Contains(tickets[j.Machine], want) {
					t.Errorf("%q is not in the tickets of %s", want, j.Machine)
				}
			}
			units := 0
			for _, l := range p.Loads {
				units += max(1, l.Units) // a refused load has a page that says why
			}
			if got := len(pdfcheck.Sizes(t, files["tags.pdf"].Bytes())); got != units {
				t.Errorf("%d tags for %d units", got, units)
			}
			for name, f := range files {
				if name != "tags.pdf" && name != "stack-labels.pdf" {
					stays(t, f.Bytes())
					apart(t, f.Bytes())
				}
			}
		})
	}
}
