package desk_test

import (
	"math"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan/waste"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/trace"
)

// TestSkeletonIsPlannedWaste: hand. Sixteen pieces of 330 × 297 mm from a sheet of
// 1208 × 1340 mm leave (1.61872 − 16 × 0.09801) / 16 = 0.00316 m² each; 1,000 of
// them at 370.4 g/m² are 1.1705 kg. What the job wastes stays controllable beside it.
func TestSkeletonIsPlannedWaste(t *testing.T) {
	h := demoHouse(t)
	key := ident.NewRelease("J1009", "", "")
	s := h.snapshot(t)
	l, ok := s.Line(key)
	if !ok {
		t.Fatal("no J1009")
	}
	i, _ := s.Item(l.Item)
	version := s.Version(desk.KindItem, string(i.Code))
	i.PieceArea = i.Sheet.Area()
	if err := h.SaveItem(t.Context(), i, version, "Ana", ""); err == nil {
		t.Error("16 pieces as large as their sheet were taken")
	}
	i.PieceArea = 0.330 * 0.297
	if err := h.SaveItem(t.Context(), i, version, "Ana", ""); err != nil {
		t.Fatal(err)
	}
	record(t, h, trace.Fact{ID: "st", At: demo.Now, Kind: trace.StackFound, Source: "desk", Release: key, Good: 5000, Place: "L01"})
	record(t, h, trace.Fact{ID: "end", At: demo.Now.Add(time.Minute), Kind: trace.JobEnded, Source: "desk", Release: key, Machine: "RDC-1", Good: 1000, Waste: 8})
	rows, err := h.Waste(t.Context(), demo.Now.Add(-time.Hour), demo.Now.Add(time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, r := range rows {
		if r.Reason != waste.Skeleton {
			continue
		}
		found = true
		if !r.Planned || r.Place != "RDC-1" || math.Abs(float64(r.Mass)-1.1705) > 0.001 {
			t.Errorf("%+v, wanted 1.1705 kg", r)
		}
	}
	if !found {
		t.Errorf("no skeleton: %+v", rows)
	}
}
