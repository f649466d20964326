package corrugator

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// Board is what the machine must know of a grade, and of the adhesive it is bonded with.
type Board struct {
	Flute    ident.Flute
	Walls    int // 1 single wall, 2 double wall
	White    bool
	Grammage quantity.Grammage // of the board
	Adhesive string            // recipe in the pan; "" takes any
}

// Refuse says why the machine cannot make the board; "" when it can.
func (c Corrugator) Refuse(b Board) string {
	if c.SpeedMax[b.Flute] <= 0 {
		return fmt.Sprintf("flute %s: %s has no rolls for it; it makes %s", b.Flute, c.Code, c.flutes())
	}
	return ""
}

func (c Corrugator) flutes() string {
	var names []string
	for f := range c.SpeedMax {
		names = append(names, string(f))
	}
	slices.Sort(names)
	return fmt.Sprint(names)
}

// Speed is what a run may go at, and what it is planned at.
type Speed struct {
	Allowed quantity.Speed
	Average quantity.Speed // Allowed × average factor
	Why     string         // what limits Allowed
}

// Speed returns the speed of a run of the given length with the given chop
// lengths on its knives. Allowed is the least of
//
//	v ≤ greatest speed of the flute, × heavy factor over the heavy grammage
//	v ≤ k·l         for the shortest chop l, when it is below the full-speed chop (knife rule)
//	v ≤ R·60/S      for run length R and section set-up time S, in m/min (set-up rule: the
//	                idle slitter-scorer section must be ready when the run ends)
//
// A flute without a greatest speed takes the speed of the trim limits. Rules:
// common practice, no published source; the set-up rule is explained in the
// background part of US patent 9,933,777.
func (c Corrugator) Speed(b Board, length quantity.Distance, chops ...quantity.Length) Speed {
	s := Speed{Allowed: cmp.Or(c.SpeedMax[b.Flute], c.Limits.Speed), Why: "flute " + string(b.Flute)}
	if c.HeavyOver > 0 && b.Grammage > c.HeavyOver && c.HeavyFactor > 0 {
		s.Allowed *= quantity.Speed(c.HeavyFactor)
		s.Why = fmt.Sprintf("heavy board over %.0f g/m²", c.HeavyOver.Gsm())
	}
	if len(chops) > 0 && c.KnifeSpeedPerMM > 0 {
		chop := slices.Min(chops)
		knife := quantity.Speed(c.KnifeSpeedPerMM*chop.Millimetres()) * quantity.MetrePerMinute
		if chop < c.FullSpeedChop && knife < s.Allowed {
			s.Allowed, s.Why = knife, fmt.Sprintf("knife at %s chop", chop)
		}
	}
	if c.Limits.SectionSetup > 0 {
		setUp := quantity.Speed(length.Metres() / c.Limits.SectionSetup)
		if setUp < s.Allowed {
			s.Allowed, s.Why = setUp, fmt.Sprintf("set-up of the next section, %g s", c.Limits.SectionSetup)
		}
	}
	s.Average = s.Allowed * quantity.Speed(cmp.Or(c.AverageFactor, 1))
	return s
}

// RunMinutes is length at the planned average speed; 0 when no speed is known.
func (s Speed) RunMinutes(length quantity.Distance) quantity.Minutes {
	if s.Average <= 0 {
		return 0
	}
	return quantity.Minutes(length.Metres() / float64(s.Average) / 60)
}

// Changeover is what stands between two runs.
type Changeover struct {
	Minutes quantity.Minutes
	Loss    quantity.Distance
	What    string // flute, single to double wall, adhesive, … joined by " and "; "" for none
}

// Between returns the changeover from board a to board b. Single to double
// wall and back is one change, in which the flutes are changed too; otherwise a
// flute change counts. An adhesive change counts beside either when both
// boards state a recipe and they differ. Minutes and metres add up.
func (c Corrugator) Between(a, b Board) Changeover {
	var out Changeover
	add := func(ch Change, what string) {
		out.Minutes += ch.Minutes
		out.Loss += ch.Loss
		if out.What != "" {
			out.What += " and "
		}
		out.What += what
	}
	switch {
	case a.Walls != b.Walls:
		add(c.WallChange, "wall change")
	case a.Flute != b.Flute:
		add(c.FluteChange, "flute change")
	}
	if a.Adhesive != "" && b.Adhesive != "" && a.Adhesive != b.Adhesive {
		add(c.AdhesiveChange, "adhesive change")
	}
	return out
}
