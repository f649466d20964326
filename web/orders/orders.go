// Package orders shows the order book: the open lines with their quantities
// stage by stage, one order's way through the plant, and the import of order files.
package orders

import (
	"embed"

	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "list.html", "order.html", "import.html", "review.html", "customers.html", "customer.html", "goods.html")

// Pages of orders.
type Pages struct{ *frame.Frame }
