package desk

import (
	"cmp"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/load"
)

// plantIndex finds the parts of the plant by code.
type plantIndex struct {
	papers   map[ident.Paper]board.Paper
	flutes   map[ident.Flute]board.Flute
	grades   map[ident.Grade]board.Grade
	machines map[ident.Machine]convert.Machine
	pallets  map[ident.Pallet]load.Pallet
}

func indexPlant(p plant.Plant) plantIndex {
	return plantIndex{
		papers:   byCode(p.Papers, func(v board.Paper) ident.Paper { return v.Code }),
		flutes:   byCode(p.Flutes, func(v board.Flute) ident.Flute { return v.Code }),
		grades:   byCode(p.Grades, func(v board.Grade) ident.Grade { return v.Code }),
		machines: byCode(p.Machines, func(v convert.Machine) ident.Machine { return v.Code }),
		pallets:  byCode(p.Pallets, func(v load.Pallet) ident.Pallet { return v.Code }),
	}
}

func byCode[K cmp.Ordered, V any](list []V, code func(V) K) map[K]V {
	m := make(map[K]V, len(list))
	for _, v := range list {
		m[code(v)] = v
	}
	return m
}
