package frame

import (
	"embed"
	"fmt"
	"html/template"
	"io/fs"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/web/look"
)

//go:embed layout.html parts.html wasted.html error.html
var files embed.FS

// Parse returns each named page with the layout and the parts that all pages
// share, beside the area's own parts.html where it has one. A template that
// does not parse is our own fault and ends the program at its start.
func Parse(area fs.FS, names ...string) map[string]*template.Template {
	shared := template.Must(template.New("").Funcs(funcs).ParseFS(files, "layout.html", "parts.html", "wasted.html"))
	if _, err := fs.Stat(area, "shared.html"); err == nil {
		shared = template.Must(shared.ParseFS(area, "shared.html"))
	}
	out := map[string]*template.Template{}
	for _, n := range names {
		out[n] = template.Must(template.Must(shared.Clone()).ParseFS(area, n))
	}
	return out
}

var funcs = template.FuncMap{
	"style":       look.Style,
	"script":      look.Script,
	"icon":        look.Icon,
	"sections":    func() []Link { return Sections },
	"orderpath":   OrderPath,
	"orderpathof": OrderPathOf,
	"loadpath":    LoadPath,
	"itempath":    ItemPath,
	"planpath":    PlanPath,
	"sentence":    Sentence,
	"ofplan":      OfPlan,
	"mm":          func(l quantity.Length) string { return strconv.FormatFloat(l.Millimetres(), 'f', -1, 64) },
	"count":       Plural,
	"pct":         func(share float64) float64 { return 100 * share },
	"pair":        func(a, b any) Pair { return Pair{a, b} },
	"add":         func(a, b int) int { return a + b },
}

// Pair hands two values to a part.
type Pair struct{ A, B any }

// Plural returns "1 run", "2 runs"; plural forms that only add an s.
func Plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%s %ss", grouped(n), noun)
}

func grouped(n int) string {
	s := fmt.Sprint(n)
	for i := len(s) - 3; i > 0 && s[i-1] != '-'; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// Sentence begins words with a capital, unless they begin with a code, and ends them with a full stop.
func Sentence(s string) string {
	if s == "" {
		return s
	}
	first, size := utf8.DecodeRuneInString(s)
	s = string(unicode.ToUpper(first)) + s[size:]
	if !strings.ContainsAny(s[len(s)-1:], ".!?") {
		s += "."
	}
	return s
}
