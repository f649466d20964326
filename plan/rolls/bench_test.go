package rolls_test

import (
	"context"
	"fmt"
	"testing"

	"github.com/flutewright/flutewright/plan/rolls"
	"github.com/flutewright/flutewright/plant/roll"
)

// BenchmarkNaming names rolls for 60 runs on two papers of 40 rolls each.
func BenchmarkNaming(b *testing.B) {
	var list []roll.Roll
	for i := range 40 {
		list = append(list, full(fmt.Sprint("T", i), "TL140", float64(1000+i*137%5000)), full(fmt.Sprint("M", i), "RM110", float64(1500+i*211%5000)))
	}
	var lengths []float64
	for i := range 60 {
		lengths = append(lengths, float64(300+i*97%900))
	}
	p := problem(list, lengths...)
	p.Handling, p.SpliceLoss, p.MoveTime = 6.5, metres(3), 12
	for b.Loop() {
		if _, err := rolls.Solve(context.Background(), p, rolls.Options{Seed: 1}); err != nil {
			b.Fatal(err)
		}
	}
}
