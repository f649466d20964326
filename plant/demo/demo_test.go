package demo_test

import (
	"testing"
	"time"

	"github.com/flutewright/flutewright/plant/demo"
)

func TestBookReads(t *testing.T) {
	b := demo.Book()
	if len(b.Lines) != 42 || len(b.Items) != 42 || len(b.Rolls) != 217 || len(b.Plant.Grades) != 11 {
		t.Fatalf("lines %d, items %d, rolls %d, grades %d", len(b.Lines), len(b.Items), len(b.Rolls), len(b.Plant.Grades))
	}
}

func TestBookFrom(t *testing.T) {
	if b := demo.BookFrom(demo.Now); !b.Lines[0].Due.Equal(demo.Book().Lines[0].Due) {
		t.Error("from its own Monday the book is moved")
	}
	for _, now := range []time.Time{demo.Now.Add(time.Hour), demo.Now.AddDate(-5, 0, 2), demo.Now.AddDate(3, 1, 4)} {
		b := demo.BookFrom(now)
		moved := b.Lines[0].Due.Sub(demo.Book().Lines[0].Due)
		if monday := demo.Now.Add(moved); moved%(7*24*time.Hour) != 0 || monday.Before(now) || monday.Sub(now) >= 7*24*time.Hour {
			t.Errorf("from %s the book begins on %s", now, demo.Now.Add(moved))
		}
		if in := b.Inbound[0].ETA.Sub(demo.Book().Inbound[0].ETA); in != moved {
			t.Errorf("orders are moved by %s, deliveries by %s", moved, in)
		}
	}
}
