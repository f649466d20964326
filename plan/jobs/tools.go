package jobs

import (
	"fmt"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
)

// toolsOf names the plate and die of a task; later steps have none.
func (f *floor) toolsOf(t *task) (out []string) {
	r := f.Releases[t.release]
	for _, id := range []string{string(r.Plate), string(r.Die)} {
		if id != "" && t.step == 0 {
			out = append(out, id)
		}
	}
	return out
}

// linkTools lets jobs that share a plate or die on different machines wait for
// one another, in the order in which they stand now: one tool is at one place.
func (f *floor) linkTools() {
	by := map[string][]*task{}
	for _, t := range f.tasks {
		for _, id := range f.toolsOf(t) {
			by[id] = append(by[id], t)
		}
	}
	ids := make([]string, 0, len(by))
	for id := range by {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	f.retime()
	for _, id := range ids {
		list := by[id]
		slices.SortStableFunc(list, func(a, b *task) int { return a.start.Compare(b.start) })
		for i, t := range list {
			t.shared = t.shared || len(list) > 1
			if i > 0 && list[i-1].choice().press != t.choice().press && (t.after == nil || list[i-1].start.After(t.after.start)) {
				t.after = list[i-1]
			}
		}
	}
}

// wear refuses what a strict tool has no hits left for, and writes on each job
// that takes a tool past its limit, or near it, by how much. Jobs count in the
// order of their starts.
func (f *floor) wear() {
	used := map[string]int{}
	list := slices.Clone(f.tasks)
	slices.SortStableFunc(list, func(a, b *task) int { return a.start.Compare(b.start) })
	for _, t := range list {
		var said []string
		for _, id := range f.toolsOf(t) {
			tool, ok := f.tool(id)
			if !ok || tool.Limit <= 0 {
				continue
			}
			had := tool.Limit - tool.Hits - used[id]
			used[id] += t.choice().fed
			switch left := had - t.choice().fed; {
			case left < 0:
				said = append(said, fmt.Sprintf("%s has %d hits left of %d and this job takes %d: %d too many; repair it first, or split the job", id, max(had, 0), tool.Limit, t.choice().fed, -left))
			case left < had/10:
				said = append(said, fmt.Sprintf("%s has %d hits left of %d; this job leaves %d: order the repair", id, had, tool.Limit, left))
			}
		}
		t.warning = strings.Join(said, " · ")
	}
}

func (s *shop) tool(id string) (plant.Tool, bool) {
	i := slices.IndexFunc(s.Tools, func(t plant.Tool) bool { return t.ID == id })
	if i < 0 {
		return plant.Tool{}, false
	}
	return s.Tools[i], true
}

// wornOut returns the releases that a strict tool has no hits left for, with
// the reason: tools serve the releases by latest start.
func (s *shop) wornOut() map[ident.Release]string {
	left := map[string]int{}
	for _, t := range s.Tools {
		if t.Strict && t.Limit > 0 {
			left[t.ID] = t.Limit - t.Hits
		}
	}
	if len(left) == 0 {
		return nil
	}
	order := slices.Clone(s.Releases)
	slices.SortStableFunc(order, func(a, b Release) int { return a.Due.Compare(b.Due) })
	out := map[ident.Release]string{}
	for _, r := range order {
		need := max((r.Pieces+max(r.PiecesPerSheet, 1)-1)/max(r.PiecesPerSheet, 1), 0)
		for _, id := range []string{string(r.Plate), string(r.Die)} {
			had, strict := left[id]
			switch {
			case !strict || need == 0:
			case had < need:
				out[r.Key] = fmt.Sprintf("%s has %d hits left and the order takes %d: repair it, or split the order", id, max(had, 0), need)
			default:
				left[id] -= need
			}
		}
	}
	return out
}
