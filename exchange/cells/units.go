package cells

import (
	"strings"

	"github.com/flutewright/flutewright/base/quantity"
)

// in returns 1 for the metric column and factor for the other unit.
func (r *Record) in(name, unit string, factor float64) float64 {
	if _, as := r.cell(name); strings.HasSuffix(as, unit) {
		return factor
	}
	return 1
}

// Distance returns a length along the web or the road, in m, or ft where the column says so.
func (r *Record) Distance(name string) quantity.Distance {
	return quantity.FromMetres(r.Number(name) * r.in(name, "_ft", 0.3048))
}

// Mass returns a mass in kg, or lb where the column says so.
func (r *Record) Mass(name string) quantity.Mass {
	return quantity.Mass(r.Number(name) * r.in(name, "_lb", float64(quantity.Pound)))
}

// Grammage returns a mass per area in g/m², or lb/1000 ft² where the column says so.
func (r *Record) Grammage(name string) quantity.Grammage {
	v := r.Number(name)
	if r.in(name, "_lb_msf", 2) == 2 {
		return quantity.Grammage(v) * quantity.PoundPerMSF
	}
	return quantity.Grammage(v) * quantity.Gram
}

// LineLoad returns a force per length in kN/m, or lbf/in where the column says so.
func (r *Record) LineLoad(name string) quantity.LineLoad {
	v := r.Number(name)
	if r.in(name, "_lb_in", 2) == 2 {
		return quantity.LineLoad(v) * quantity.PoundForcePerInch
	}
	return quantity.LineLoad(v) * quantity.KilonewtonPerM
}

// Pressure returns a pressure in kPa, or psi where the column says so.
func (r *Record) Pressure(name string) quantity.Pressure {
	v := r.Number(name)
	if r.in(name, "_psi", 2) == 2 {
		return quantity.Pressure(v) * quantity.PSI
	}
	return quantity.Pressure(v * 1000)
}

// Road returns a distance on the road in km, or miles where the column says so.
func (r *Record) Road(name string) quantity.Distance {
	return quantity.FromMetres(r.Number(name) * r.in(name, "_mi", 1.609344) * 1000)
}

// PerTonne returns a price of a tonne, or of a short ton where the column says so.
func (r *Record) PerTonne(name string) quantity.Money {
	return quantity.Money(r.Number(name) / r.in(name, "_per_short_ton", float64(quantity.ShortTon)/1000))
}
