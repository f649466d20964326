// Package demo is an invented plant with its order book: Fenwright Board & Box,
// 42 orders on a Monday morning. All names, orders and prices are fictitious.
package demo

import (
	_ "embed"
	"encoding/json"
	"time"

	"github.com/flutewright/flutewright/plant"
)

//go:embed book.json
var book []byte

// Now is the moment the demo book describes.
var Now = time.Date(2031, time.March, 3, 6, 0, 0, 0, time.UTC)

// Book returns a fresh copy of the demo plant's book. It panics only if the embedded file is broken.
func Book() plant.Book {
	var b plant.Book
	if err := json.Unmarshal(book, &b); err != nil {
		panic("demo: embedded book: " + err.Error())
	}
	return b
}

// week is the step by which BookFrom moves the book: days of the week stay.
const week = 7 * 24 * time.Hour

// BookFrom returns the book moved by whole weeks, so that its Monday morning is
// the first that is not before now. From Now itself it is Book.
func BookFrom(now time.Time) plant.Book {
	b := Book()
	weeks := now.Sub(Now) / week
	if Now.Add(weeks * week).Before(now) {
		weeks++
	}
	move := func(t *time.Time) {
		if !t.IsZero() {
			*t = t.Add(weeks * week)
		}
	}
	for i := range b.Lines {
		move(&b.Lines[i].Due)
	}
	for i := range b.Rolls {
		move(&b.Rolls[i].Received)
	}
	for i := range b.Inbound {
		move(&b.Inbound[i].ETA)
	}
	for i := range b.Plant.Tools {
		move(&b.Plant.Tools[i].BackAt)
	}
	for i := range b.Plant.Stops {
		move(&b.Plant.Stops[i].From)
		move(&b.Plant.Stops[i].Until)
	}
	return b
}
