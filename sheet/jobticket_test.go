package sheet_test

import (
	"strings"
	"testing"

	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/sheet"
)

func TestJobTicketHoldsTheJob(t *testing.T) {
	text := words(t, print(t, func(w writer) error { return sheet.JobTicket(w, demo.Book(), handPlan(), rel("J1024"), 1) }))
	for what, want := range map[string]string{
		"large":     "28,197 28,000 YES 25",
		"times":     "Mon 08:47 Mon 08:47 Mon 11:05 Mon 19:40 13 125 sheets",
		"sheet":     "1085 × 360 mm",
		"print":     "2 colours, outside",
		"plate":     "PL-1001",
		"runs":      "1 (28,002)",
		"odd":       "10 pieces",
		"units":     "19, last one 1,010",
		"mass":      "unit mass, about ±5 % 280 kg",
		"joint":     "3.2 to 12.7 mm", // 1/8 to 1/2 in: trade association's question column, October 2023
		"fish-tail": "4.8 mm",         // 3/16 in: same
		"stacking":  "close: 673 of 651 N",
		"error":     "±20 to 25 %, no test",
		"caution":   "Straps spring back",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%s: %q is not in\n%s", what, want, text)
		}
	}
	for _, size := range []string{"313", "213", "211", "107", "146"} { // panels and strips: demo's reference blank of J1024
		if !strings.Contains(text, " "+size+" ") {
			t.Errorf("the drawing has no dimension %s", size)
		}
	}
}

// A case erector's customer gets half the joint's spread and fish-tail: 7.94 ± 2.38 mm, 2.4 mm (hand).
func TestErectorCustomersGetHalfTheSpread(t *testing.T) {
	b := demo.Book()
	for i := range b.Customers {
		if b.Customers[i].Code == "C09" {
			b.Customers[i].CaseErector = true
		}
	}
	text := words(t, print(t, func(w writer) error { return sheet.JobTicket(w, b, handPlan(), rel("J1024"), 1) }))
	for _, want := range []string{"5.6 to 10.3 mm", "2.4 mm"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
}

func TestJobTicketOfADieCutterNamesTheDieAndDoesNotTurn(t *testing.T) {
	text := words(t, print(t, func(w writer) error { return sheet.JobTickets(w, demo.Book(), handPlan(), "RDC-2") }))
	for _, want := range []string{"7,100 14,020 NO 25", "die D-301", "prints from below", "print to cut, ± 2 mm", "none: sheets from the floor"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
	if strings.Contains(text, "joint gap") {
		t.Error("a die cutter glues no joint")
	}
}

func TestSecondStepFeedsCutPiecesAndPrintsNothing(t *testing.T) {
	text := words(t, print(t, func(w writer) error { return sheet.JobTicket(w, demo.Book(), handPlan(), rel("J1027"), 2) }))
	if !strings.Contains(text, "FEED, cut pieces") || strings.Contains(text, "prints from") || strings.Contains(text, "colour to colour") {
		t.Error(text)
	}
}

func TestRefusedLoadIsSaidOnTheTicket(t *testing.T) {
	text := words(t, print(t, func(w writer) error { return sheet.JobTickets(w, demo.Book(), handPlan(), "FFG-3") }))
	if !strings.Contains(text, "overhangs P1212 by 318 mm") {
		t.Error(text)
	}
}

func TestAwayPlateIsSaidOnTheTicket(t *testing.T) {
	b := demo.Book()
	found := false
	for i := range b.Plant.Tools {
		if b.Plant.Tools[i].ID == "PL-1001" {
			b.Plant.Tools[i].Away, b.Plant.Tools[i].BackAt, found = true, at(4, 12, 0), true
		}
	}
	if !found {
		t.Fatal("the demo has no plate PL-1001")
	}
	text := words(t, print(t, func(w writer) error { return sheet.JobTicket(w, b, handPlan(), rel("J1024"), 1) }))
	if !strings.Contains(text, "PL-1001: AWAY until Tue 12:00") {
		t.Error(text)
	}
}
