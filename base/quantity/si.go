package quantity

import (
	"math"
	"strconv"
	"time"
)

type (
	Area     float64 // m². JSON: m², suffix _m2
	Mass     float64 // kg. JSON: kg, suffix _kg
	Force    float64 // N. JSON: N, suffix _n
	Grammage float64 // kg/m². JSON: g/m², suffix _gsm
	LineLoad float64 // N/m. JSON: kN/m, suffix _kn_m
	Pressure float64 // Pa. JSON: kPa, suffix _kpa
	Speed    float64 // m/s. JSON: m/min, suffix _m_min
	Money    float64 // in the plant's currency
	Minutes  float64 // JSON: minutes, suffix _min
)

// Exact conversion factors to SI: international foot and pound (NIST SP 811, 2008, appendix B).
const (
	PoundPerMSF       Grammage = 0.45359237 / 92.90304 // lb/1000 ft²
	PoundForcePerInch LineLoad = 4.4482216152605 / 0.0254
	PoundForce        Force    = 4.4482216152605
	PSI               Pressure = 6894.757293168361
	Pound             Mass     = 0.45359237
	ShortTon          Mass     = 907.18474
	Gram              Grammage = 0.001 // 1 g/m²
	KilonewtonPerM    LineLoad = 1000
	MetrePerMinute    Speed    = 1.0 / 60
	MSF               Area     = 92.90304 // 1000 ft²
	FootPerMinute     Speed    = 0.3048 / 60
)

// Gsm returns g in g/m².
func (g Grammage) Gsm() float64 { return float64(g) * 1000 }

// KilonewtonsPerMetre returns l in kN/m.
func (l LineLoad) KilonewtonsPerMetre() float64 { return float64(l) / 1000 }

// MetresPerMinute returns s in m/min.
func (s Speed) MetresPerMinute() float64 { return float64(s) * 60 }

// Duration returns the minutes as a time.Duration.
func (m Minutes) Duration() time.Duration { return time.Duration(float64(m) * float64(time.Minute)) }

// InMinutes returns d as Minutes.
func InMinutes(d time.Duration) Minutes { return Minutes(d.Minutes()) }

func (g Grammage) MarshalJSON() ([]byte, error) { return clean(float64(g) * 1000), nil }
func (l LineLoad) MarshalJSON() ([]byte, error) { return clean(float64(l) / 1000), nil }
func (p Pressure) MarshalJSON() ([]byte, error) { return clean(float64(p) / 1000), nil }
func (s Speed) MarshalJSON() ([]byte, error)    { return clean(float64(s) * 60), nil }
func (a Area) MarshalJSON() ([]byte, error)     { return clean(float64(a)), nil }
func (m Mass) MarshalJSON() ([]byte, error)     { return clean(float64(m)), nil }
func (f Force) MarshalJSON() ([]byte, error)    { return clean(float64(f)), nil }
func (m Money) MarshalJSON() ([]byte, error)    { return clean(float64(m)), nil }
func (m Minutes) MarshalJSON() ([]byte, error)  { return clean(float64(m)), nil }

func (g *Grammage) UnmarshalJSON(b []byte) error { return scaled(b, 0.001, (*float64)(g)) }
func (l *LineLoad) UnmarshalJSON(b []byte) error { return scaled(b, 1000, (*float64)(l)) }
func (p *Pressure) UnmarshalJSON(b []byte) error { return scaled(b, 1000, (*float64)(p)) }
func (s *Speed) UnmarshalJSON(b []byte) error    { return scaled(b, 1.0/60, (*float64)(s)) }

func scaled(b []byte, f float64, to *float64) error {
	v, err := number(b)
	if err == nil {
		*to = v * f
	}
	return err
}

// clean writes v without the noise that unit conversion leaves in the last digits.
func clean(v float64) []byte {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return []byte("null")
	}
	s := strconv.FormatFloat(v, 'g', 13, 64)
	r, _ := strconv.ParseFloat(s, 64)
	return []byte(strconv.FormatFloat(r, 'f', -1, 64))
}
