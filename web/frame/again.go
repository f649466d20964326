package frame

import (
	"maps"
	"net/http"
	"slices"
	"strings"
)

// again is a form's field as it was sent, to be mended and sent again.
type again struct {
	Name, Label, Value string
	Hidden             bool
	Fault              string
}

// carried are fields that say what a form is about; nobody types them.
var carried = []string{"fact", "plan", "run", "version", "key", "machine", "step", "what", "from"}

// sentAgain lists what a refused form held, so that nothing typed is lost where
// a page has no form of its own to show it in; nil for a form with files.
func sentAgain(r *http.Request, lines []string) []again {
	if r.Method != http.MethodPost || r.MultipartForm != nil || len(r.PostForm) == 0 {
		return nil
	}
	var out []again
	for _, name := range slices.Sorted(maps.Keys(r.PostForm)) {
		for _, value := range r.PostForm[name] {
			a := again{Name: name, Label: strings.NewReplacer("-", " ", "_", " ", ".", " ").Replace(name), Value: value, Hidden: slices.Contains(carried, name)}
			for _, l := range lines {
				if strings.HasPrefix(l, name+" ") || strings.HasPrefix(l, name+":") {
					a.Fault = l
				}
			}
			out = append(out, a)
		}
	}
	return out
}
