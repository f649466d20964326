package desk_test

import (
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/roll"
	"github.com/flutewright/flutewright/plant/trace"
)

// TestTheNewerOfCountAndFactRules: hand. A roll told off its stand with 2,000 m
// is counted at 1,500 m by import, held by hand, then told used up to 900 m.
func TestTheNewerOfCountAndFactRules(t *testing.T) {
	h := demoHouse(t)
	stated := h.snapshot(t).Rolls[0]
	id := stated.ID
	off := func(name ident.Fact, before time.Duration, metres float64) {
		record(t, h, trace.Fact{ID: name, At: demo.Now.Add(-before), Kind: trace.RollOff, Source: "desk", Roll: id, Length: quantity.FromMetres(metres)})
	}
	left := func(when string, metres float64, place string) {
		t.Helper()
		for _, r := range h.snapshot(t).Rolls {
			if r.ID != id {
				continue
			}
			if r.Length.Metres() != metres || r.Location != place {
				t.Errorf("%s: %v m at %q, want %v at %q", when, r.Length.Metres(), r.Location, metres, place)
			}
			return
		}
		t.Errorf("%s: the roll is gone", when)
	}
	off("off", time.Hour, 2000)
	left("told", 2000, stated.Location)

	counted := stated
	counted.Length, counted.Location = quantity.FromMetres(1500), "COUNTED"
	h.table = desk.Table{Kind: desk.TableRolls, Rolls: []roll.Roll{counted}}
	got, err := h.ImportTable(t.Context(), desk.TableRolls, "count.csv", strings.NewReader(""), "Ana")
	if err != nil || got.Changed != 1 || got.New != 0 || got.Same != 0 {
		t.Fatalf("%+v, %v", got, err)
	}
	left("counted", 1500, "COUNTED")
	if got, err = h.ImportTable(t.Context(), desk.TableRolls, "count.csv", strings.NewReader(""), "Ana"); err != nil || got.Same != 1 || got.New != 0 {
		t.Errorf("the same count again: %+v, %v", got, err)
	}
	off("late", 30*time.Minute, 1800)
	left("a fact from before the count, told late", 1500, "COUNTED")

	h.later(2 * time.Hour)
	off("later", -time.Hour, 900)
	left("told after the count", 900, "COUNTED")
	held, _ := h.snapshot(t).Roll(id)
	held.Hold, held.HoldReason = true, "wet"
	if err := h.SaveRoll(t.Context(), held, h.snapshot(t).Version(desk.KindRoll, string(id)), "Ana", "wet"); err != nil {
		t.Fatal(err)
	}
	left("held, which is no count", 900, "COUNTED")
	held.Length = quantity.FromMetres(850)
	if err := h.SaveRoll(t.Context(), held, h.snapshot(t).Version(desk.KindRoll, string(id)), "Ana", "measured"); err != nil {
		t.Fatal(err)
	}
	left("measured by hand", 850, "COUNTED")
}
