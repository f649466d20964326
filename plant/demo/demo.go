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
