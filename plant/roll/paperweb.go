package roll

import (
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
)

// PaperWeb is one paper at one width: what is bought, stocked, reserved and short.
type PaperWeb struct {
	Paper ident.Paper     `json:"paper"`
	Web   quantity.Length `json:"web_mm"`
}
