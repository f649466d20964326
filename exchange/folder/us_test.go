package folder

import (
	"reflect"
	"testing"
)

// By hand: 2362.2 mm are 93 in, 100 m 328.084 ft, 10 kg 22.05 lb, 180 m/min 590.6 ft/min.
func TestTablesOfAUSPlant(t *testing.T) {
	tb := newTable("runs", "run", "web_mm", "length_m", "need_kg", "speed_m_min", "run_min", "note")
	tb.add("1", "2362.2", "100", "10", "180", "30", "")
	tb.add("2", "", "0", "", "", "", "12 mm")
	tb.inUS()
	want := [][]string{
		{"run", "web_in", "length_ft", "need_lb", "speed_ft_min", "run_min", "note"},
		{"1", "93", "328.084", "22.05", "590.6", "30", ""},
		{"2", "", "0", "", "", "", "12 mm"},
	}
	if !reflect.DeepEqual(tb.rows, want) {
		t.Errorf("%q", tb.rows)
	}
}
