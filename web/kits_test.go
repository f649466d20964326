package web_test

import (
	"fmt"
	"testing"
)

// A truck that carries a part of a kit says where the others are.
func TestATruckSaysItsKits(t *testing.T) {
	b := planned(t)
	p, err := demoPlan()
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, truck := range p.Trucks.Trucks {
		for _, part := range truck.Parts {
			if part.Kit != "" {
				seen++
				b.says(fmt.Sprintf("/trucks/1/%d", truck.Number), "Kit "+part.Kit)
			}
		}
	}
	if seen == 0 {
		t.Error("the demo has a kit, and no truck carries one")
	}
}
