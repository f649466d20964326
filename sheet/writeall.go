package sheet

import (
	"fmt"
	"io"

	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
)

// WriteAll prints every sheet of a plan into files that open makes: the run
// list, the set-ups, the stack labels, the jobs of each machine that has any,
// and the tags of all units, numbered from the plant's next free number on. It
// stops at the first error; a file that was opened is always closed.
func WriteAll(book plant.Book, p *plan.Plan, open func(name string) (io.WriteCloser, error)) error {
	s, err := newSource(book, p)
	if err != nil {
		return err
	}
	files := []struct {
		name  string
		print func(io.Writer) error
	}{
		{"corrugator-runs.pdf", func(w io.Writer) error { return RunList(w, book, p) }},
		{"corrugator-setups.pdf", func(w io.Writer) error { return SetUpSheets(w, book, p) }},
		{"stack-labels.pdf", s.allStackLabels},
		{"tags.pdf", s.allTags},
	}
	for _, m := range book.Plant.Machines {
		if len(s.jobsOf(m.Code)) > 0 {
			files = append(files, struct {
				name  string
				print func(io.Writer) error
			}{fileName(string(m.Code)) + "-jobs.pdf", func(w io.Writer) error { return JobTickets(w, book, p, m.Code) }})
		}
	}
	for _, f := range files {
		if err := into(open, f.name, f.print); err != nil {
			return err
		}
	}
	return nil
}

func into(open func(string) (io.WriteCloser, error), name string, print func(io.Writer) error) (err error) {
	w, err := open(name)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	defer func() {
		if closed := w.Close(); err == nil && closed != nil {
			err = fmt.Errorf("%s: %w", name, closed)
		}
	}()
	if err := print(w); err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	return nil
}

// fileName keeps letters, digits, dots and hyphens of a machine's code.
func fileName(code string) string {
	out := []rune(code)
	for i, r := range out {
		if !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || i > 0 && r == '.') {
			out[i] = '_'
		}
	}
	return string(out)
}

func (s *source) allStackLabels(w io.Writer) error {
	var all []Stack
	for _, r := range s.plan.Runs {
		stacks, err := s.stacks(r)
		if err != nil {
			return err
		}
		all = append(all, stacks...)
	}
	return s.stackLabels(w, "Stack labels", all)
}

// allTags prints the tags of all loads; a load that cannot be built gets a page that says why.
func (s *source) allTags(w io.Writer) error {
	t := s.openTags("Load tags", TagOptions{})
	next := max(1, s.book.Plant.Tags.Next)
	for _, l := range s.plan.Loads {
		if l.Refusal != "" {
			t.noUnit(l.Release.String(), l.Refusal)
			continue
		}
		for _, u := range s.units(l, next) {
			if err := t.tag(u); err != nil {
				return err
			}
		}
		next += int64(l.Units)
	}
	if t.PageCount() == 0 {
		t.noUnit("No tags", "This plan holds no load.")
	}
	return t.finish(w)
}

func (t *tags) noUnit(head, why string) {
	x, y := t.corner()
	width := tagSize.width - 2*tagMargin
	t.fit(x+tagMargin, y+14, width, style{points: 26, bold: true}, head)
	t.put(x+tagMargin, y+22, style{points: strong, bold: true, tone: &signal}, "NO UNIT, NO TAG")
	t.paragraph(x+tagMargin, y+30, width, style{points: 12}, why)
}
