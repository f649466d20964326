package rolls

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/board"
)

// Solve works out what each run draws ply by ply, names the rolls that give it
// with the metre of the run at which each comes on, and sets need against stock
// paper by paper and width by width.
//
// A ply draws (run length + change losses) × take-up. The losses of a run are
// those of its own start, and of the web or grade change before it. A roll on
// hold is never used; a delivery is used only when it is in the house before the
// run starts. A paper that stands on two stands at once needs two rolls: then a
// roll may run part of its length on one stand and, MoveTime later, the rest on
// the other. What no roll gives is Uncovered.
//
// Uncovered is least, then Cost. Papers and widths do not touch each other, so
// each is searched by itself: from the best of three ways to choose the next
// roll, by changes of the rolls' order. LeastUncovered is a greatest flow from
// rolls to runs in which a roll gives a run no more than runs past one stand.
// Where two stands draw alike and moving is free, cutting the rolls' sequence at
// the run's end (McNaughton, "Scheduling with deadlines and loss functions",
// Management Science 6(1), 1959, 1–12) reaches that flow.
//
// It returns fault.Violations when a run names an unknown grade or paper.
// Cancelling ctx ends the search with the best so far.
func Solve(ctx context.Context, p Problem, opt Options) (Answer, error) {
	a := Answer{Needs: []PlyNeed{}, Positions: []Position{}, Rests: []Rest{}, Status: Optimal}
	var err error
	if a.Needs, err = p.needs(); err != nil {
		return Answer{}, err
	}
	rounds := max(0, cmp.Or(opt.Rounds, defaultRounds))
	least := 0.0
	for _, t := range p.tasks(a.Needs) {
		least += t.sortOut(ctx, rounds, opt.Seed)
		t.tell(&a)
	}
	a.LeastCost = quantity.Money(least)
	sortRests(a.Rests)
	a.Positions = p.Positions(a.Needs)
	if a.Status != Optimal && ctx.Err() != nil {
		a.Status = Stopped
	}
	return a, nil
}

const defaultRounds = 300

// needs are the plies of all runs in sequence, outside first, without rolls.
func (p Problem) needs() ([]PlyNeed, error) {
	grades := map[ident.Grade]board.Grade{}
	for _, g := range p.Grades {
		grades[g.Code] = g
	}
	out := []PlyNeed{}
	for i, r := range p.Runs {
		g, ok := grades[r.Grade]
		if !ok {
			return nil, fault.Violations{{Field: "runs.grade", Value: string(r.Grade), Rule: "is not a grade of the plant"}}
		}
		for k, ply := range g.Plies {
			paper, ok := p.Catalogue.Papers[ply.Paper]
			if !ok {
				return nil, fault.Violations{{Field: "grades.plies", Value: string(ply.Paper), Rule: "is not a paper of the plant"}}
			}
			n := PlyNeed{Run: r.Seq, Ply: k + 1, Stand: Stand(g, k), Paper: ply.Paper, Web: r.Web}
			n.Metres = quantity.FromMetres((r.Length + p.loss(i)).Metres() * ply.TakeUp(p.Catalogue))
			n.Mass = quantity.Mass(n.Metres.Metres() * r.Web.Metres() * float64(paper.Grammage))
			out = append(out, n)
		}
	}
	return out, nil
}

// loss is the web lost at the start of the run at place i.
func (p Problem) loss(i int) quantity.Distance {
	loss := p.RunChangeLoss
	if i > 0 {
		if p.Runs[i].Web != p.Runs[i-1].Web {
			loss += p.WebChangeLoss
		}
		if p.Runs[i].Grade != p.Runs[i-1].Grade {
			loss += p.GradeChangeLoss
		}
	}
	return loss
}

// Stand names where a ply is unrolled: the outside liner at the double backer,
// each medium and the liner inside it at a single facer, counted from the outside.
func Stand(g board.Grade, k int) string {
	if k == 0 {
		return "double backer"
	}
	facer := (k + 1) / 2
	if g.Plies[k].Flute != "" {
		return fmt.Sprintf("facer %d medium", facer)
	}
	return fmt.Sprintf("facer %d liner", facer)
}

// Stands names every stand that the grades need, in the order of the plies.
func Stands(grades []board.Grade) []string {
	var out []string
	for _, g := range grades {
		for k := range g.Plies {
			if s := Stand(g, k); !slices.Contains(out, s) {
				out = append(out, s)
			}
		}
	}
	return out
}
