package trucks_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/trucks"
	"github.com/flutewright/flutewright/plant/load"
)

var (
	noon   = time.Date(2031, 3, 4, 12, 0, 0, 0, time.UTC)
	europe = load.Trailer{Code: "T136", Length: mm(13600), Width: mm(2450), Height: mm(2650), Payload: 24500}
	short  = load.Trailer{Code: "RIGID", Length: mm(7300), Width: mm(2450), Height: mm(2500), Payload: 9500}
	feet53 = load.Trailer{Code: "53FT", Length: 630 * quantity.Inch, Width: quantity.Length(98.5 * float64(quantity.Inch)), Height: 110 * quantity.Inch, Payload: 20400}
)

func mm(n int) quantity.Length { return quantity.Length(n) * quantity.Millimetre }

func parcel(order string, units int, l, w quantity.Length) trucks.Parcel {
	return trucks.Parcel{Release: ident.NewRelease(order, "", ""), Customer: "C01", Ready: noon, Leave: noon.Add(4 * time.Hour), Units: units, Length: l, Width: w, Height: mm(1800), Mass: 400}
}

func solve(t interface{ Fatal(...any) }, p trucks.Problem) trucks.Answer {
	a, err := trucks.Solve(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	if err := trucks.Check(p, a); err != nil {
		t.Fatal(err)
	}
	return a
}

// How many decks stand on a trailer's floor in one layer.
func TestDecksOnAFloor(t *testing.T) {
	for _, c := range []struct {
		source  string
		trailer load.Trailer
		l, w    quantity.Length
		most    int
	}{
		{"common practice, no published source: 33 decks of 1200 × 800 on 13.6 m", europe, mm(1200), mm(800), 33},
		{"common practice, no published source: 26 decks of 1200 × 1000 on 13.6 m", europe, mm(1200), mm(1000), 26},
		{"hand: 6 rows of 3 on 7.3 m", short, mm(1200), mm(800), 18},
		{"hand: 7 rows of 2 on 7.3 m", short, mm(1200), mm(1000), 14},
		{"common practice, no published source: 30 decks of 48 × 40 in turned on 53 ft", feet53, 48 * quantity.Inch, 40 * quantity.Inch, 30},
	} {
		p := trucks.Problem{Trailers: []load.Trailer{c.trailer}, Parcels: []trucks.Parcel{parcel("A", c.most, c.l, c.w)}}
		if a := solve(t, p); len(a.Trucks) != 1 {
			t.Errorf("%s: %d stand on %d trucks", c.source, c.most, len(a.Trucks))
		}
		p.Parcels[0].Units++
		if a := solve(t, p); len(a.Trucks) != 2 {
			t.Errorf("%s: one more stands on %d trucks", c.source, len(a.Trucks))
		}
	}
}

func TestWhatTravelsTogether(t *testing.T) {
	late := func(p trucks.Parcel, ready, leave time.Duration) trucks.Parcel {
		p.Ready, p.Leave = noon.Add(ready), noon.Add(leave)
		return p
	}
	to := func(p trucks.Parcel, where string) trucks.Parcel { p.ShipTo = where; return p }
	a, b := parcel("A", 3, mm(1200), mm(1000)), parcel("B", 2, mm(1200), mm(800))
	for _, c := range []struct {
		source string
		second trucks.Parcel
		trucks int
	}{
		{"hand: one dock, one day", b, 1},
		{"hand: another dock", to(b, "works 2"), 2},
		{"hand: the next day", late(b, 0, 24*time.Hour), 2},
		{"hand: ready when the first must have left", late(b, 5*time.Hour, 8*time.Hour), 2},
		{"hand: ready later, both in time", late(b, 3*time.Hour, 8*time.Hour), 1},
	} {
		p := trucks.Problem{Trailers: []load.Trailer{europe, short}, Parcels: []trucks.Parcel{a, c.second}}
		got := solve(t, p)
		if len(got.Trucks) != c.trucks {
			t.Errorf("%s: %d trucks, want %d", c.source, len(got.Trucks), c.trucks)
		}
		if got.Trucks[0].Trailer != "RIGID" {
			t.Errorf("%s: the least trailer that takes it is RIGID, got %s", c.source, got.Trucks[0].Trailer)
		}
	}
}

// Parts of a kit for one dock and day share a truck where one takes them; what
// would fill up another truck first does not tear them apart.
func TestKitsTravelTogether(t *testing.T) {
	in := func(p trucks.Parcel, kit string, ready time.Duration) trucks.Parcel {
		p.Kit, p.Ready = kit, noon.Add(ready)
		return p
	}
	first := parcel("A", 20, mm(1200), mm(1000)) // leaves 6 places on a trailer of 26
	for _, c := range []struct {
		source string
		parts  []trucks.Parcel
		one    bool // truck for all parts
	}{
		{"hand: 4 + 6 units beside 20 would be split over two trucks", []trucks.Parcel{in(parcel("B", 4, mm(1200), mm(1000)), "k", 0), in(parcel("C", 6, mm(1200), mm(1000)), "k", 0)}, true},
		{"hand: the same units, no kit: the first truck is filled", []trucks.Parcel{in(parcel("B", 4, mm(1200), mm(1000)), "", 0), in(parcel("C", 6, mm(1200), mm(1000)), "", 0)}, false},
		{"hand: 20 + 20 units are more than a trailer takes", []trucks.Parcel{in(parcel("B", 20, mm(1200), mm(1000)), "k", 0), in(parcel("C", 20, mm(1200), mm(1000)), "k", 0)}, false},
		{"hand: one part is ready when the other must have left", []trucks.Parcel{in(parcel("B", 4, mm(1200), mm(1000)), "k", 0), in(parcel("C", 6, mm(1200), mm(1000)), "k", 5*time.Hour)}, false},
	} {
		p := trucks.Problem{Trailers: []load.Trailer{europe}, Parcels: append([]trucks.Parcel{first}, c.parts...)}
		a := solve(t, p)
		on := map[int]bool{}
		for _, tr := range a.Trucks {
			for _, part := range tr.Parts {
				if part.Release != first.Release {
					on[tr.Number] = true
				}
			}
		}
		if (len(on) == 1) != c.one {
			t.Errorf("%s: its parts are on %d trucks", c.source, len(on))
		}
	}
}

// A torn kit is found by the check.
func TestCheckFindsATornKit(t *testing.T) {
	p := trucks.Problem{Trailers: []load.Trailer{europe}, Parcels: []trucks.Parcel{parcel("B", 20, mm(1200), mm(1000)), parcel("C", 20, mm(1200), mm(1000)), parcel("D", 5, mm(1200), mm(1000))}}
	a := solve(t, p)
	p.Parcels[1].Kit, p.Parcels[2].Kit = "k", "k"
	if err := trucks.Check(p, a); err == nil || !strings.Contains(err.Error(), "kit k is on 2 trucks") {
		t.Errorf("%v", err)
	}
}

func TestWhatNoTrailerTakes(t *testing.T) {
	high := parcel("A", 3, mm(1200), mm(1000))
	high.Height = mm(2610)
	a := solve(t, trucks.Problem{Trailers: []load.Trailer{europe}, Parcels: []trucks.Parcel{high}})
	if len(a.Left) != 1 {
		t.Fatalf("%+v", a.Left)
	}
	if got := a.Left[0].Words(quantity.Format{}, europe); got != "a unit needs 2660 mm of height to be lifted; trailer T136 has 2650" {
		t.Error(got)
	}
}

// law: every answer passes Check and the bound is never above it.
func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := trucks.Problem{Trailers: []load.Trailer{europe, short}}
		decks := [][2]int{{1200, 800}, {1200, 1000}, {1200, 1200}, {1516, 1200}}
		for i := range rapid.IntRange(0, 12).Draw(t, "parcels") {
			d := rapid.SampledFrom(decks).Draw(t, "deck")
			c := parcel(fmt.Sprint("J", i), rapid.IntRange(0, 40).Draw(t, "units"), mm(d[0]), mm(d[1]))
			c.Customer = rapid.SampledFrom([]ident.Customer{"C01", "C02"}).Draw(t, "customer")
			c.Kit = rapid.SampledFrom([]string{"", "", "k1", "k2"}).Draw(t, "kit")
			c.Mass, c.LastMass = quantity.Mass(rapid.IntRange(50, 1500).Draw(t, "kg")), 40
			c.Ready = noon.Add(time.Duration(rapid.IntRange(-8, 40).Draw(t, "ready")) * time.Hour)
			c.Leave = noon.Add(time.Duration(rapid.IntRange(-8, 40).Draw(t, "leave")) * time.Hour)
			p.Parcels = append(p.Parcels, c)
		}
		if a := solve(t, p); a.Bound > len(a.Trucks) {
			t.Fatalf("bound %d above %d trucks", a.Bound, len(a.Trucks))
		}
	})
}
