package quantity

import (
	"regexp"
	"strconv"
	"strings"
)

// measure finds metric measures in a sentence: one number, a range or sizes
// joined by ×, and the unit behind the last of them.
var measure = regexp.MustCompile(`(\d[\d,]*(?:\.\d+)?)((?: ?(?:×|to|–|>|<|and) ?\d[\d,]*(?:\.\d+)?)*) ?(mm|m²|m|kg|t|N|kN/m|km|m/min|°C|g/m²)(\W|$)`)

// oneNumber finds the numbers of a measure.
var oneNumber = regexp.MustCompile(`\d[\d,]*(?:\.\d+)?`)

// Say writes a sentence of an engine in the plant's units. Engines know no
// display and speak in SI; where the plant counts in inches and pounds every
// metric measure in the sentence is written anew, and nothing else changes. In
// a metric plant the sentence is returned as it is. It is not for words that
// people have typed, which stay theirs.
func (f Format) Say(sentence string) string {
	if !f.US || sentence == "" {
		return sentence
	}
	var b strings.Builder
	for {
		at := measure.FindStringSubmatchIndex(sentence)
		if at == nil {
			b.WriteString(sentence)
			return b.String()
		}
		unit := sentence[at[6]:at[7]]
		inCode := at[0] > 0 && isWordByte(sentence[at[0]-1])                  // such as P1212
		inBoth := unit == "g/m²" && strings.HasPrefix(sentence[at[7]:], " (") // its own unit follows
		if inCode || inBoth {
			b.WriteString(sentence[:at[7]])
			sentence = sentence[at[7]:]
			continue
		}
		b.WriteString(sentence[:at[0]])
		name := ""
		numbers := oneNumber.ReplaceAllStringFunc(sentence[at[0]:at[5]], func(s string) string {
			v, err := strconv.ParseFloat(strings.ReplaceAll(s, ",", ""), 64)
			if err != nil {
				return s
			}
			text, u := f.inUS(v, unit)
			name = u
			return text
		})
		b.WriteString(numbers + " " + name)
		sentence = sentence[at[7]:]
	}
}

func isWordByte(c byte) bool {
	return c == '.' || c == '-' || c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z'
}

// inUS writes a metric value in US customary units, with its unit's name.
func (f Format) inUS(v float64, unit string) (text, name string) {
	switch unit {
	case "mm":
		return f.Length(FromMillimetres(v)), f.LengthUnit()
	case "m":
		return f.Run(FromMetres(v)), f.RunUnit()
	case "km":
		return f.Road(FromMetres(v * 1000)), f.RoadUnit()
	case "m²":
		return f.Area(Area(v)), f.AreaUnit()
	case "kg":
		return f.Mass(Mass(v)), f.MassUnit()
	case "t":
		return f.BigMass(Mass(v * 1000)), f.BigMassUnit()
	case "N":
		return f.Force(Force(v)), f.ForceUnit()
	case "g/m²":
		return f.Grammage(Grammage(v) * Gram), f.GrammageUnit()
	case "kN/m":
		return f.LineLoad(LineLoad(v * 1000)), f.LineLoadUnit()
	case "m/min":
		return f.Speed(Speed(v) * MetrePerMinute), f.SpeedUnit()
	}
	return f.Temperature(v), f.TemperatureUnit()
}
