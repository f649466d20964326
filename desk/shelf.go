package desk

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"time"
)

// shelf holds the decoded entries of one kind, in the order of their keys. It
// is not changed once it stands in a snapshot.
type shelf[T any] struct {
	list     []T
	keys     []string
	index    map[string]int
	versions map[string]int
	changed  map[string]time.Time // when each entry was last changed
}

func newShelf[T any]() *shelf[T] {
	return &shelf[T]{index: map[string]int{}, versions: map[string]int{}, changed: map[string]time.Time{}}
}

func (s *shelf[T]) get(key string) (T, bool) {
	i, ok := s.index[key]
	if !ok {
		var none T
		return none, false
	}
	return s.list[i], true
}

// shelfEdit collects the changes of one shelf.
type shelfEdit[T any] struct {
	from     *shelf[T]
	put      map[string]T
	versions map[string]int
	changed  map[string]time.Time
	gone     map[string]bool
}

func (e *shelfEdit[T]) take(n Entry) error {
	if e.put == nil {
		e.put, e.versions, e.changed, e.gone = map[string]T{}, map[string]int{}, map[string]time.Time{}, map[string]bool{}
	}
	if n.Body == nil {
		e.gone[n.Key] = true
		return nil
	}
	var v T
	if err := json.Unmarshal(n.Body, &v); err != nil {
		return fmt.Errorf("%s %s: %w", n.Kind, n.Key, err)
	}
	e.put[n.Key], e.versions[n.Key], e.changed[n.Key] = v, n.Version, n.Changed
	return nil
}

// finish returns the shelf with the changes in it: the old one if there are none.
func (e *shelfEdit[T]) finish() *shelf[T] {
	if e.put == nil {
		return e.from
	}
	keys := make([]string, 0, len(e.from.keys)+len(e.put))
	for _, k := range e.from.keys {
		if _, changed := e.put[k]; !changed && !e.gone[k] {
			keys = append(keys, k)
		}
	}
	keys = slices.AppendSeq(keys, maps.Keys(e.put))
	slices.Sort(keys)
	s := &shelf[T]{
		list: make([]T, len(keys)), keys: keys,
		index: make(map[string]int, len(keys)), versions: make(map[string]int, len(keys)), changed: make(map[string]time.Time, len(keys)),
	}
	for i, k := range keys {
		s.index[k] = i
		if v, changed := e.put[k]; changed {
			s.list[i], s.versions[k], s.changed[k] = v, e.versions[k], e.changed[k]
			continue
		}
		s.list[i], s.versions[k], s.changed[k] = e.from.list[e.from.index[k]], e.from.versions[k], e.from.changed[k]
	}
	return s
}

func shelfOf[T any](list []T, key func(T) string) *shelf[T] {
	s := newShelf[T]()
	s.list = list
	for i, v := range list {
		s.index[key(v)] = i
		s.keys = append(s.keys, key(v))
	}
	return s
}
