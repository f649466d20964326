package desk_test

import (
	"errors"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/trace"
)

// TestHandover tells a morning's facts and reads them back at 14:00.
func TestHandover(t *testing.T) {
	h := weekendHouse(t)
	p, err := demoPlanned()
	if err != nil {
		t.Fatal(err)
	}
	corrugator := h.snapshot(t).Plant.Corrugator.Code
	at := func(hours, minutes int) time.Time {
		return demo.Now.Add(time.Duration(hours)*time.Hour + time.Duration(minutes)*time.Minute)
	}
	h.later(8*time.Hour + time.Minute)
	first := p.Runs[0]
	one, _ := ident.ParseRelease(first.Lanes[0].Order)
	h.told(t, trace.Fact{At: at(0, 1), Kind: trace.RunStarted, Plan: 1, Run: first.Seq, Machine: corrugator, Release: one, Who: "Ana"})
	h.told(t, trace.Fact{At: at(0, 30), Kind: trace.RunEnded, Plan: 1, Run: first.Seq, Machine: corrugator, Release: one, Good: 500, Waste: 12, Reason: "warp", Who: "Ana"})
	h.told(t, trace.Fact{At: at(1, 0), Kind: trace.Stopped, Machine: "FFG-2", Reason: "feed drive", Who: "Ben"})
	h.told(t, trace.Fact{At: at(2, 30), Kind: trace.Running, Machine: "FFG-2", Who: "Ben"})
	h.told(t, trace.Fact{At: at(3, 0), Kind: trace.WasteBooked, Mass: 120, Reason: "splice", Place: "dry end", Who: "Ana"})
	h.told(t, trace.Fact{At: at(8, 0), Kind: trace.WasteBooked, Mass: 55, Reason: "splice", Place: "dry end", Who: "Cid"}) // of the next shift
	got, err := h.Handover(t.Context(), time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	if got.Shift != "early" || !got.From.Equal(at(0, 0)) || !got.Until.Equal(at(8, 0)) {
		t.Errorf("%s shift, %v to %v", got.Shift, got.From, got.Until)
	}
	if len(got.Who) != 2 || got.Who[0] != "Ana" || got.Who[1] != "Ben" {
		t.Errorf("told by %v", got.Who)
	}
	if len(got.Waste) != 2 || got.Waste[0].Mass != 120 || got.Waste[1].Sheets != 12 || got.Waste[1].Reason != "warp" { // hand
		t.Errorf("waste %+v", got.Waste)
	}
	for _, m := range got.Made {
		switch m.Machine {
		case string(corrugator):
			if m.Done != 1 || m.Of < 2 {
				t.Errorf("the corrugator ended %d of %d runs", m.Done, m.Of)
			}
		case "FFG-2":
			if m.Stood != 90*time.Minute || len(m.Why) != 1 || m.Why[0] != "feed drive" { // hand: 07:00 to 08:30
				t.Errorf("FFG-2 stood %v: %v", m.Stood, m.Why)
			}
		}
	}
	if len(got.Questions) == 0 {
		t.Error("no open question is handed over")
	}
	if _, err := h.Handover(t.Context(), at(-30, 0)); !errors.Is(err, fault.NotFound) { // Sunday 00:00
		t.Errorf("a shift on a Sunday: %v", err)
	}
}
