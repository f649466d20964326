package sheet

import (
	"fmt"
	"io"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/tag"
)

// StackLabels prints a label for every stack of a run, two on a page to be cut
// apart: where the stack goes, whether it is turned over, how many sheets, and
// from when it may be fed.
//
// It returns fault.NotFound when the plan holds no run runSeq.
func StackLabels(w io.Writer, book plant.Book, p *plan.Plan, runSeq int) error {
	s, err := newSource(book, p)
	if err != nil {
		return err
	}
	r, err := s.run(runSeq)
	if err != nil {
		return err
	}
	all, err := s.stacks(r)
	if err != nil {
		return err
	}
	return s.stackLabels(w, fmt.Sprintf("Stack labels of run %d", runSeq), all)
}

func (s *source) stackLabels(w io.Writer, title string, all []Stack) error {
	size := s.words.page()
	f := newFolio(s.words, title, size, s.plan.Now)
	for i, st := range all {
		if i%2 == 0 {
			f.AddPage()
			f.colour(ink)
			f.SetDashPattern([]float64{2, 2}, 0)
			f.between(0, size.height/2, size.width)
			f.SetDashPattern(nil, 0)
		}
		if err := s.stackLabel(f, float64(i%2)*size.height/2, size.height/2, st); err != nil {
			return err
		}
	}
	if len(all) == 0 {
		f.AddPage()
		f.put(margin, 30, style{points: strong}, "This plan makes no stack.")
	}
	return f.finish(w)
}

// stackLabel prints one label between top and top + h.
func (s *source) stackLabel(f *folio, top, h float64, st Stack) error {
	r, err := s.run(st.Run)
	if err != nil {
		return err
	}
	symbols, err := tag.Encode(string(st.ID), false)
	if err != nil {
		return fmt.Errorf("stack %s: %w", st.ID, err)
	}
	symbol := BarcodeDrawing(symbols, BarcodeModule, 14*quantity.Millimetre, string(st.ID))
	d := s.demands[st.Order]
	x, width := margin, f.inner()
	y := top + margin
	to := "DISPATCH"
	if st.Next != "" {
		to = string(st.Next)
	}
	f.put(x, y+3, style{points: plain, tone: &quiet}, "to")
	f.fit(x, y+22, width*0.58, style{points: 62, bold: true}, to)
	s.turnMark(f, x+width*0.62, y, width*0.38, st)
	y += 27
	f.line(x, y, x+width, y, rule)
	y = f.numbers(x, y+1, width, 44, []number{
		{"order", st.Order}, {"sheets", f.Count(st.Sheets)}, {"stack", fmt.Sprintf("%d of %d", st.Number, st.Of)},
	}) + 1
	f.line(x, y, x+width, y, 0.3)
	y = f.numbers(x, y+1, width, 26, []number{
		{"may be fed from", f.clock(st.Cured)}, {"piles × sheets high", fmt.Sprintf("%d × %s", st.Piles, f.Count(st.High))},
		{"run, lane, level", fmt.Sprintf("%d %c, %d", st.Run, 'A'+st.Lane-1, st.Level)},
	}) + 1
	f.line(x, y, x+width, y, 0.3)
	f.fit(x, y+6.5, width, style{points: 15}, fmt.Sprintf("%s  ·  %s  ·  %s", s.customerName(d.Customer), s.itemName(st.Order), r.Grade))
	f.fit(x, y+13, width, style{points: 15}, fmt.Sprintf("sheet %s × %s  ·  height about %s", f.Length(d.Sheet.Chop), f.size(d.Sheet.Slit), f.size(st.Height.RoundTo(f.Step()))))
	f.place(symbol, x-quietZone*BarcodeModule.Millimetres(), top+h-margin-4-symbol.Height.Millimetres())
	f.fit(x, top+h-margin, width, style{points: tiny, tone: &quiet}, cautionStack)
	return nil
}

// turnMark is white on ink when the stack must be turned over, and plain when not: told apart without colour.
func (s *source) turnMark(f *folio, x, y, w float64, st Stack) {
	name, words := "turn over before feeding", "NO TURN"
	if st.Next == "" {
		words = "–"
	}
	text := style{points: 40, bold: true, anchor: "middle"}
	if st.Turn {
		words, text.tone = "TURN", &white
		f.band(x, y, w, 24, ink)
		f.put(x+w/2, y+5, style{points: small, anchor: "middle", tone: &white}, name)
	} else {
		f.frame(x, y, w, 24, 0.3)
		f.put(x+w/2, y+5, style{points: small, anchor: "middle", tone: &quiet}, name)
	}
	f.fit(x+w/2, y+20, w-4, text, words)
}
