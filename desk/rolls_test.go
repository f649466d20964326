package desk_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/board"
)

// TestRollsComeOffADelivery: hand. 1,941.1 kg of TL140 at 2350 are 5,900 m; the
// ring of 1,258 mm on a core of 100 mm at 0.21 mm holds 5,881 m, which agrees. A roll 10 % light is taken and named.
func TestRollsComeOffADelivery(t *testing.T) {
	h := demoHouse(t)
	ctx := context.Background()
	list := []desk.Arrival{
		{Roll: "N1", Mass: 1941.1, Diameter: 1258 * quantity.Millimetre, Moisture: 7.4, Place: "H2"},
		{Roll: "N2", Mass: 1747, Moisture: 10.4, Hold: "wet edge"},
	}
	taken, odd, err := h.Receive(ctx, "IN-1", list, "Ana")
	if err != nil || taken != 2 {
		t.Fatalf("%d taken: %v", taken, err)
	}
	said := strings.Join(odd, "; ")
	if strings.Contains(said, "N1") || !strings.Contains(said, "N2 holds 5310 m") || !strings.Contains(said, "10.4 % moisture") {
		t.Errorf("said %q", said)
	}
	s := h.snapshot(t)
	came := map[string]quantity.Distance{}
	for _, r := range s.Rolls {
		if r.ID == "N1" || r.ID == "N2" {
			came[string(r.ID)] = r.Length
			if r.Hold != (r.ID == "N2") || r.Paper != "TL140" {
				t.Errorf("%+v", r)
			}
		}
	}
	if math.Abs(came["N1"].Metres()-5900) > 1 || len(came) != 2 {
		t.Errorf("%v", came)
	}
	for _, in := range s.Inbound {
		if in.ID == "IN-1" && in.Rolls != 8 {
			t.Errorf("IN-1 still brings %d rolls, 8 are to come", in.Rolls)
		}
	}
	if taken, _, err = h.Receive(ctx, "IN-1", list, "Ana"); err != nil || taken != 0 {
		t.Errorf("the same list again took %d: %v", taken, err)
	}
	if _, _, err = h.Receive(ctx, "IN-1", []desk.Arrival{{Roll: "N3", Mass: 1900}, {Roll: "R0001", Mass: 1900}, {Roll: "N4"}}, "Ana"); !errors.Is(err, fault.Invalid) || len(fault.Lines(err)) != 2 {
		t.Errorf("a roll of the house and one without measures: %v", err)
	}
	if _, told := h.snapshot(t).Floor.Rolls["N3"]; told {
		t.Error("a refused list was taken in part")
	}
	more := desk.Receipt{}
	for n := range 9 { // 2 of 10 came before
		more.Rolls = append(more.Rolls, desk.Arrival{Delivery: "IN-1", Roll: ident.Roll(fmt.Sprint("M", n)), Mass: 1941.1})
	}
	if got, err := h.another(t).ReceiveTruck(ctx, more, "Ana"); err != nil || got.Taken != 9 || len(got.Notes) != 1 || got.Notes[0] != "IN-1 has brought 11 rolls, 10 were called off" {
		t.Errorf("one more than called off: %+v, %v", got, err)
	}
	p := h.snapshot(t).Plant
	p.Papers = slices.Clone(p.Papers)
	p.Papers[slices.IndexFunc(p.Papers, func(p board.Paper) bool { return p.Code == "TL140" })].MoistureBand = 0.5
	if err := h.SavePlant(ctx, p, 1, "Ana", ""); err != nil {
		t.Fatal(err)
	}
	damp := desk.Receipt{Rolls: []desk.Arrival{{Delivery: "IN-1", Roll: "N9", Mass: 1941.1, Moisture: 8.1}}} // 0.6 off 7.5
	if odd, err := h.OddRolls(ctx, damp); err != nil || len(odd) != 1 || !strings.Contains(odd[0].Why[0], "7.5 ± 0.5 %") {
		t.Errorf("a band of half a point: %+v, %v", odd, err)
	}
	if _, _, err = h.Receive(ctx, "NONE", list, "Ana"); !errors.Is(err, fault.NotFound) {
		t.Errorf("a delivery nobody expects: %v", err)
	}
}
