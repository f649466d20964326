package demo_test

import (
	"testing"

	"github.com/flutewright/flutewright/plant/demo"
)

func TestBookReads(t *testing.T) {
	b := demo.Book()
	if len(b.Lines) != 42 || len(b.Items) != 42 || len(b.Rolls) != 217 || len(b.Plant.Grades) != 11 {
		t.Fatalf("lines %d, items %d, rolls %d, grades %d", len(b.Lines), len(b.Items), len(b.Rolls), len(b.Plant.Grades))
	}
}
