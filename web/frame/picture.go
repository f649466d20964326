package frame

import (
	"fmt"
	"html/template"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/draw"
)

// Picture returns a drawing for a page. The writer escapes every word in it.
func Picture(d draw.Drawing) (template.HTML, error) {
	var b strings.Builder
	if err := draw.WriteSVG(&b, d); err != nil {
		return "", fmt.Errorf("picture %q: %w", d.Title, err)
	}
	return template.HTML(b.String()), nil
}

// OfPlan returns an address that stays with one plan; plan 0 is the current one.
func OfPlan(path string, id ident.Plan) string {
	if id == 0 {
		return path
	}
	return fmt.Sprintf("%s?plan=%d", path, id)
}
