package sheet

import (
	"bytes"
	"fmt"
	"testing"
	"time"

	"github.com/flutewright/flutewright/plant/demo"
)

// TestHandoverIsOnePage prints a shift with far more to say than fits, in A4 and Letter.
func TestHandoverIsOnePage(t *testing.T) {
	h := Handover{Shift: "early", From: demo.Now, Until: demo.Now.Add(8 * time.Hour), Now: demo.Now.Add(8 * time.Hour), Who: []string{"Ana", "Ben"}}
	for i := range 60 {
		line := fmt.Sprintf("sentence %d about order J1%03d, which waits for its sheets, its plate and its crew until the paper comes on Tuesday at 07:00", i, i)
		h.Running, h.Waits, h.Holds, h.Questions = append(h.Running, line), append(h.Waits, line), append(h.Holds, line), append(h.Questions, line)
		h.Waste = append(h.Waste, HandoverWaste{Reason: fmt.Sprintf("reason %d", i), Place: "dry end", Mass: 12, Sheets: 3})
	}
	for i := range 6 {
		h.Made = append(h.Made, HandoverMade{Machine: fmt.Sprintf("FFG-%d", i), Unit: "boxes", Planned: "12,000", Made: "11,350", Done: 3, Of: 4, Stood: 90 * time.Minute, Why: []string{"feed drive"}})
	}
	for _, page := range []string{"A4", "Letter"} {
		for _, full := range []Handover{h, {Shift: "night", From: demo.Now, Until: demo.Now, Now: demo.Now}} {
			book := demo.Book()
			book.Plant.Display.Page = page
			var b bytes.Buffer
			if err := HandoverSheet(&b, book, full); err != nil {
				t.Fatal(err)
			}
			if n := bytes.Count(b.Bytes(), []byte("/Type /Page\n")); n != 1 {
				t.Errorf("%s: %d pages, want 1", page, n)
			}
		}
	}
}
