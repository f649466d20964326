package rolls_test

import (
	"context"
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/roll"
)

func mm(v int) quantity.Length           { return quantity.Length(v) * quantity.Millimetre }
func metres(v float64) quantity.Distance { return quantity.FromMetres(v) }

// problem is B-ST runs of the demo's papers on the given rolls.
func problem(list []roll.Roll, lengths ...float64) rolls.Problem {
	b := demo.Book()
	p := rolls.Problem{
		Grades: b.Plant.Grades, Rolls: list, Now: demo.Now,
		Catalogue: board.Catalogue{Papers: map[ident.Paper]board.Paper{}, Flutes: map[ident.Flute]board.Flute{}},
	}
	for _, x := range b.Plant.Papers {
		p.Catalogue.Papers[x.Code] = x
	}
	for _, x := range b.Plant.Flutes {
		p.Catalogue.Flutes[x.Code] = x
	}
	at := demo.Now
	for i, l := range lengths {
		p.Runs = append(p.Runs, runs.Run{Seq: i + 1, Grade: "B-ST", Web: mm(2000), Length: metres(l)})
		p.Times = append(p.Times, jobs.RunTime{Run: i + 1, Start: at, End: at.Add(time.Hour)})
		at = at.Add(time.Hour)
	}
	return p
}

func full(id string, paper ident.Paper, length float64) roll.Roll {
	return roll.Roll{ID: ident.Roll(id), Paper: paper, Width: mm(2000), Length: metres(length), Received: demo.Now}
}

func solved(t interface{ Fatal(...any) }, p rolls.Problem) rolls.Answer {
	a, err := rolls.Solve(context.Background(), p, rolls.Options{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if err := rolls.Check(p, a); err != nil {
		t.Fatal(err)
	}
	return a
}

// TestWorkedNeed: 10,127 m of B-ST draw 10,127 m of each TL140 and 10,127 ×
// 1.33 = 13,469 m of RM110; on 2000 mm that is 8.63 t (worked by hand).
func TestWorkedNeed(t *testing.T) {
	a := solved(t, problem([]roll.Roll{full("R1", "TL140", 6000), full("R2", "TL140", 6000), full("R3", "TL140", 6000), full("R4", "TL140", 6000), full("R5", "RM110", 7000), full("R6", "RM110", 7000)}, 10127))
	var mass float64
	for _, n := range a.Needs {
		mass += float64(n.Mass)
		want := 10127.0
		if n.Paper == "RM110" {
			want = 13468.91
		}
		if d := n.Metres.Metres() - want; d > .01 || d < -.01 {
			t.Errorf("%s at %s: %.2f m, wanted %.2f", n.Paper, n.Stand, n.Metres.Metres(), want)
		}
		if len(n.Rolls) != 2 || n.Rolls[0].Splice || !n.Rolls[1].Splice {
			t.Errorf("%s: one splice is needed: %+v", n.Paper, n.Rolls)
		}
	}
	if mass < 8630 || mass > 8640 || a.Uncovered != 0 {
		t.Errorf("%.0f kg, %s uncovered", mass, a.Uncovered)
	}
}

// TestHeldRollsAreNeverUsed, though they are counted as held.
func TestHeldRollsAreNeverUsed(t *testing.T) {
	held := full("R1", "TL140", 6000)
	held.Hold = true
	a := solved(t, problem([]roll.Roll{held, full("R2", "TL140", 900), full("R3", "TL140", 900), full("R4", "RM110", 9000)}, 1000))
	if a.Uncovered != metres(200) {
		t.Errorf("%s uncovered, 200 m are: 100 on each of two stands", a.Uncovered)
	}
	p := a.Positions[0]
	if p.Paper != "TL140" || p.Held != metres(6000) || p.House != metres(1800) || p.Short != metres(200) || p.ShortRun != 1 || p.EndedBy != nil {
		t.Errorf("%+v", p)
	}
}

// TestTheTruckThatEndsTheShortage: in time for a later run, not for the first.
func TestTheTruckThatEndsTheShortage(t *testing.T) {
	p := problem([]roll.Roll{full("R2", "TL140", 1000), full("R3", "TL140", 1000), full("R4", "RM110", 9000)}, 1000, 1000)
	p.Inbound = []roll.Inbound{{ID: "T1", ETA: demo.Now.Add(30 * time.Minute), Paper: "TL140", Width: mm(2000), Rolls: 2, LengthEach: metres(2500)}}
	a := solved(t, p)
	pos := a.Positions[0]
	if a.Uncovered != 0 || pos.EndedBy == nil || pos.EndedBy.ID != "T1" || !pos.EndedBy.InTime || pos.ShortRun != 2 {
		t.Errorf("%s uncovered, %+v", a.Uncovered, pos)
	}
	p.Inbound[0].ETA = demo.Now.Add(90 * time.Minute)
	a = solved(t, p)
	if a.Uncovered != metres(2000) || a.Positions[0].EndedBy == nil || a.Positions[0].EndedBy.InTime {
		t.Errorf("a truck after the start: %s uncovered, %+v", a.Uncovered, a.Positions[0])
	}
}

// TestOldestFirst: rolls leave by the day they came.
func TestOldestFirst(t *testing.T) {
	young, old := full("A", "RM110", 5000), full("B", "RM110", 5000)
	old.Received = demo.Now.AddDate(0, -1, 0)
	var list []roll.Roll
	for _, id := range []string{"C", "D", "E", "F"} {
		list = append(list, full(id, "RM110", 5000))
	}
	a := solved(t, problem(append(list, young, old, full("T", "TL140", 5000), full("U", "TL140", 5000)), 1000))
	for _, n := range a.Needs {
		if n.Paper == "RM110" && n.Rolls[0].Roll != "B" {
			t.Errorf("roll %s was taken, B is older", n.Rolls[0].Roll)
		}
	}
}

// TestLaws: nothing is given twice, and need = given + uncovered.
func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var list []roll.Roll
		for i := range rapid.IntRange(0, 14).Draw(t, "rolls") {
			r := full(string(rune('A'+i)), rapid.SampledFrom([]ident.Paper{"TL140", "RM110"}).Draw(t, "paper"), float64(rapid.IntRange(20, 6000).Draw(t, "length")))
			r.Hold, r.Butt = rapid.IntRange(0, 5).Draw(t, "hold") == 0, rapid.Bool().Draw(t, "butt")
			list = append(list, r)
		}
		var lengths []float64
		for range rapid.IntRange(1, 6).Draw(t, "runs") {
			lengths = append(lengths, float64(rapid.IntRange(100, 5000).Draw(t, "run")))
		}
		p := problem(list, lengths...)
		p.RunChangeLoss, p.SpliceLoss, p.ButtMin = metres(1.6), metres(3), metres(60)
		solved(t, p)
	})
}

func TestCheckSeesWhatIsBroken(t *testing.T) {
	list := []roll.Roll{full("R1", "TL140", 3000), full("R2", "TL140", 3000), full("R3", "RM110", 3000), full("R4", "TL140", 3000)}
	list[3].Hold = true
	p := problem(list, 1000)
	p.Inbound = []roll.Inbound{{ID: "T1", ETA: demo.Now.Add(time.Hour), Paper: "TL140", Width: mm(2000), Rolls: 1, LengthEach: metres(5000)}}
	for name, spoil := range map[string]func(*rolls.Answer){
		"a ply left out":          func(a *rolls.Answer) { a.Needs = a.Needs[:2] },
		"less than the run draws": func(a *rolls.Answer) { a.Needs[0].Metres, a.Needs[0].Rolls[0].Metres = metres(900), metres(900) },
		"without take-up":         func(a *rolls.Answer) { a.Needs[1].Metres, a.Needs[1].Rolls[0].Metres = metres(1000), metres(1000) },
		"a roll on hold":          func(a *rolls.Answer) { a.Needs[0].Rolls[0].Roll = "R4" },
		"another paper's roll":    func(a *rolls.Answer) { a.Needs[0].Rolls[0].Roll = "R3" },
		"one roll on two stands":  func(a *rolls.Answer) { a.Needs[2].Rolls[0].Roll = a.Needs[0].Rolls[0].Roll },
		"a truck that is not here": func(a *rolls.Answer) {
			a.Needs[0].Rolls[0].Roll, a.Needs[0].Rolls[0].Truck, a.Needs[0].Rolls[0].Nth = "", "T1", 1
		},
		"uncovered not stated": func(a *rolls.Answer) { a.Needs[0].Rolls = nil },
		"a position's need":    func(a *rolls.Answer) { a.Positions[0].Need += metres(1) },
	} {
		a := solved(t, p)
		spoil(&a)
		if rolls.Check(p, a) == nil {
			t.Errorf("%s: not seen", name)
		}
	}
}
