package quantity

import (
	"strconv"
	"time"
)

// Length is a width, chop or size: mm to a tenth, or inches as a fraction, "17 7/16".
func (f Format) Length(l Length) string {
	if f.US {
		return inches(l, f.inchParts())
	}
	tenth := l.RoundTo(Millimetre / 10)
	return decimal(int64(tenth), int64(Millimetre))
}

// Exact is Length as a form shows it, rounding nothing away: all of its
// decimals in mm; in inches a fraction down to 1/64, and four decimals for what
// is no such fraction, so that a length from elsewhere is not taken for one.
func (f Format) Exact(l Length) string {
	switch {
	case !f.US:
		return decimal(int64(l), int64(Millimetre))
	case l%Inch64 == 0:
		return inches(l, 64)
	}
	return f.upTo(l.Inches(), 4)
}

// LengthUnit is the unit of Length: mm or in.
func (f Format) LengthUnit() string { return f.pick("mm", "in") }

// inches writes l to the nearest 1/parts inch as whole number and reduced fraction.
func inches(l Length, parts int) string {
	sign := ""
	if l < 0 {
		sign, l = "-", -l
	}
	step := Inch / Length(parts)
	n := int64(l.RoundTo(step) / step)
	if n == 0 {
		return "0"
	}
	whole, num, den := n/int64(parts), n%int64(parts), int64(parts)
	for num > 0 && num%2 == 0 && den%2 == 0 {
		num, den = num/2, den/2
	}
	text := strconv.FormatInt(num, 10) + "/" + strconv.FormatInt(den, 10)
	switch {
	case num == 0:
		text = strconv.FormatInt(whole, 10)
	case whole > 0:
		text = strconv.FormatInt(whole, 10) + " " + text
	}
	return sign + text
}

// Caliper is a board or paper thickness: mm to 0.01, or inches to 0.001.
func (f Format) Caliper(l Length) string {
	if f.US {
		return f.Number(l.Inches(), 3)
	}
	return f.Number(l.Millimetres(), 2)
}

// CaliperUnit is the unit of Caliper: mm or in.
func (f Format) CaliperUnit() string { return f.pick("mm", "in") }

// Run is a length along the web: whole metres or feet, a tenth below 10.
func (f Format) Run(d Distance) string {
	v := d.Metres()
	if f.US {
		v = float64(d) / float64(12*Inch)
	}
	if v < 10 {
		return f.upTo(v, 1)
	}
	return f.Number(v, 0)
}

// RunUnit is the unit of Run: m or ft.
func (f Format) RunUnit() string { return f.pick("m", "ft") }

// Road is a distance on the road: whole km or miles.
func (f Format) Road(d Distance) string {
	if f.US {
		return f.Number(d.Metres()/1609.344, 0)
	}
	return f.Number(d.Metres()/1000, 0)
}

// RoadUnit is the unit of Road: km or mi.
func (f Format) RoadUnit() string { return f.pick("km", "mi") }

// Area is an area of production: m² or thousands of square feet.
func (f Format) Area(a Area) string {
	if f.US {
		return f.scaled(float64(a / MSF))
	}
	return f.scaled(float64(a))
}

// AreaUnit is the unit of Area: m² or MSF.
func (f Format) AreaUnit() string { return f.pick("m²", "MSF") }

// SheetArea is the area of one sheet or blank: m² to 0.0001, ft² to 0.01.
func (f Format) SheetArea(a Area) string {
	if f.US {
		return f.Number(float64(a/MSF)*1000, 2)
	}
	return f.Number(float64(a), 4)
}

// SheetAreaUnit is the unit of SheetArea: m² or ft².
func (f Format) SheetAreaUnit() string { return f.pick("m²", "ft²") }

// Mass is a mass up to a load: kg or lb.
func (f Format) Mass(m Mass) string {
	if f.US {
		return f.scaled(float64(m / Pound))
	}
	return f.scaled(float64(m))
}

// MassUnit is the unit of Mass: kg or lb.
func (f Format) MassUnit() string { return f.pick("kg", "lb") }

// BigMass is a mass of paper or of a day: metric or short tons, to a tenth.
func (f Format) BigMass(m Mass) string {
	if f.US {
		return f.Number(float64(m/ShortTon), 1)
	}
	return f.Number(float64(m)/1000, 1)
}

// BigMassUnit is the unit of BigMass: t or short ton.
func (f Format) BigMassUnit() string { return f.pick("t", "short ton") }

// Grammage is a basis weight: whole g/m², or lb/MSF to a tenth.
func (f Format) Grammage(g Grammage) string {
	if f.US {
		return f.upTo(float64(g/PoundPerMSF), 1)
	}
	return f.Number(g.Gsm(), 0)
}

// GrammageUnit is the unit of Grammage: g/m² or lb/MSF.
func (f Format) GrammageUnit() string { return f.pick("g/m²", "lb/MSF") }

// LineLoad is an edge or ring crush: kN/m to 0.01, or lb/in to a tenth.
func (f Format) LineLoad(l LineLoad) string {
	if f.US {
		return f.upTo(float64(l/PoundForcePerInch), 1)
	}
	return f.Number(l.KilonewtonsPerMetre(), 2)
}

// LineLoadUnit is the unit of LineLoad: kN/m or lb/in.
func (f Format) LineLoadUnit() string { return f.pick("kN/m", "lb/in") }

// Pressure is a bursting strength: whole kPa or psi.
func (f Format) Pressure(p Pressure) string {
	if f.US {
		return f.Number(float64(p/PSI), 0)
	}
	return f.Number(float64(p)/1000, 0)
}

// PressureUnit is the unit of Pressure: kPa or psi.
func (f Format) PressureUnit() string { return f.pick("kPa", "psi") }

// Force is a compression strength or load: whole N or lbf.
func (f Format) Force(n Force) string {
	if f.US {
		return f.Number(float64(n/PoundForce), 0)
	}
	return f.Number(float64(n), 0)
}

// ForceUnit is the unit of Force: N or lbf.
func (f Format) ForceUnit() string { return f.pick("N", "lbf") }

// Speed is a web speed: whole m/min or ft/min.
func (f Format) Speed(s Speed) string {
	if f.US {
		return f.Number(float64(s/FootPerMinute), 0)
	}
	return f.Number(s.MetresPerMinute(), 0)
}

// SpeedUnit is the unit of Speed: m/min or ft/min.
func (f Format) SpeedUnit() string { return f.pick("m/min", "ft/min") }

// Temperature is a temperature given in °C: whole °C or °F.
func (f Format) Temperature(celsius float64) string {
	if f.US {
		return f.Number(celsius*9/5+32, 0)
	}
	return f.Number(celsius, 0)
}

// TemperatureUnit is the unit of Temperature: °C or °F.
func (f Format) TemperatureUnit() string { return f.pick("°C", "°F") }

// Money is an amount to the hundredth: "1,234.50".
func (f Format) Money(m Money) string { return f.Number(float64(m), 2) }

// WholeMoney is an amount to the unit, for totals of a plan: "48,210".
func (f Format) WholeMoney(m Money) string { return f.Number(float64(m), 0) }

// MoneyUnit is the plant's currency.
func (f Format) MoneyUnit() string { return f.Currency }

// Date is t's calendar day in t's own zone: 2031-03-04, 04.03.2031 or 03/04/2031.
func (f Format) Date(t time.Time) string { return t.Format(f.dateLayout()) }

func (f Format) dateLayout() string {
	switch f.Dates {
	case "dmy":
		return "02.01.2006"
	case "mdy":
		return "01/02/2006"
	}
	return "2006-01-02"
}

// Day is t's day without the year: "Tue 4 Mar", or "Tue Mar 4" where the month goes first.
func (f Format) Day(t time.Time) string {
	if f.Dates == "mdy" {
		return t.Format("Mon Jan 2")
	}
	return t.Format("Mon 2 Jan")
}

// Time is t's time of day in t's own zone on the 24-hour clock of shift plans: "14:05".
func (f Format) Time(t time.Time) string { return t.Format("15:04") }

// DateTime is Date and Time.
func (f Format) DateTime(t time.Time) string { return f.Date(t) + " " + f.Time(t) }

// PerTonne is a price of a tonne, or of a short ton, to the hundredth.
func (f Format) PerTonne(m Money) string {
	if f.US {
		return f.upTo(float64(m)*float64(ShortTon)/1000, 2)
	}
	return f.upTo(float64(m), 2)
}

// PerTonneUnit is the unit of PerTonne: EUR/t or USD/short ton.
func (f Format) PerTonneUnit() string { return f.Currency + f.pick("/t", "/short ton") }

// PerArea is a price of an area of board: of a m² to a hundredth of a cent, or of 1000 ft² to the hundredth.
func (f Format) PerArea(m Money) string {
	if f.US {
		return f.Number(float64(m)*float64(MSF), 2)
	}
	return f.Number(float64(m), 4)
}

// PerAreaUnit is the unit of PerArea: EUR/m² or USD/MSF.
func (f Format) PerAreaUnit() string { return f.Currency + f.pick("/m²", "/MSF") }
