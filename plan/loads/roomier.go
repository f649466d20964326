package loads

import (
	"cmp"
	"context"
	"slices"

	"github.com/flutewright/flutewright/plant/load"
	"github.com/flutewright/flutewright/solve/pack"
)

// Roomier returns the smallest of decks on which more bundles lie in a layer
// than in l's, none over the edge, and how many; 0 where no deck takes more or l
// has no layer.
func Roomier(decks []load.Pallet, l Load) (deck load.Pallet, bundles int, err error) {
	if l.PerLayer == 0 || l.BundleLength <= 0 || l.BundleWidth <= 0 {
		return load.Pallet{}, 0, nil
	}
	list := slices.Clone(decks)
	slices.SortStableFunc(list, func(a, b load.Pallet) int {
		return cmp.Compare(a.Length.Metres()*a.Width.Metres(), b.Length.Metres()*b.Width.Metres())
	})
	for _, d := range list {
		r, err := pack.Solve(context.Background(), pack.Problem{
			DeckX: int64(d.Length), DeckY: int64(d.Width), BoxX: int64(l.BundleLength), BoxY: int64(l.BundleWidth),
		}, pack.Options{MaxWork: layerWork})
		if err != nil {
			return load.Pallet{}, 0, err
		}
		if r.Count > l.PerLayer {
			return d, r.Count, nil
		}
	}
	return load.Pallet{}, 0, nil
}
