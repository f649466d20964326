package tag

import (
	"fmt"

	"github.com/flutewright/flutewright/base/fault"
)

// Code 128 symbol values with a meaning of their own.
const (
	CodeC  = 99
	CodeB  = 100
	FNC1   = 102
	StartB = 104
	StartC = 105
	Stop   = 106
)

// Separator stands for FNC1 inside GS1 data: it ends an element of variable length.
const Separator = '\x1d'

// Encode returns the Code 128 symbol values of data, from the start to the
// check character, without the stop. Runs of digits are packed two to a symbol
// (code set C) where that is shorter. With gs1, FNC1 follows the start and
// stands for each Separator. Data must be printable ASCII, or it is
// fault.Violations.
//
// Source: ISO/IEC 15417 (Code 128), annex on the shortest use of code sets; from memory.
func Encode(data string, gs1 bool) ([]int, error) {
	var v fault.Violations
	v.Require(data != "", "data", "", "must not be empty")
	for _, r := range data {
		ok := r >= ' ' && r <= '~' || gs1 && r == Separator
		v.Require(ok, "data", fmt.Sprintf("%q", r), "must be printable ASCII")
	}
	if err := v.Err(); err != nil {
		return nil, err
	}
	e := encoder{data: data}
	e.start(gs1)
	for e.at < len(data) {
		e.next()
	}
	return append(e.values, CheckCharacter(e.values)), nil
}

type encoder struct {
	data   string
	at     int
	inC    bool
	values []int
}

// digits counts the digits from the present place on.
func (e *encoder) digits() int {
	n := 0
	for e.at+n < len(e.data) && e.data[e.at+n] >= '0' && e.data[e.at+n] <= '9' {
		n++
	}
	return n
}

// start chooses code set C for data that begins with four digits, or that is two digits alone.
func (e *encoder) start(gs1 bool) {
	n := e.digits()
	e.inC = n >= 4 || n == 2 && len(e.data) == 2
	e.values = []int{StartB}
	if e.inC {
		e.values = []int{StartC}
	}
	if gs1 {
		e.values = append(e.values, FNC1)
	}
}

// next encodes one symbol, with the change of code set that it needs: to C for
// an even run of digits, at least four at the end of the data and six within.
func (e *encoder) next() {
	n := e.digits()
	switch {
	case e.data[e.at] == Separator:
		e.values = append(e.values, FNC1)
		e.at++
	case e.inC && n >= 2:
		e.values = append(e.values, int(e.data[e.at]-'0')*10+int(e.data[e.at+1]-'0'))
		e.at += 2
	case e.inC:
		e.values, e.inC = append(e.values, CodeB), false
	case n%2 == 0 && (n >= 6 || n >= 4 && e.at+n == len(e.data)):
		e.values, e.inC = append(e.values, CodeC), true
	default:
		e.values = append(e.values, int(e.data[e.at])-' ')
		e.at++
	}
}

// CheckCharacter returns (start + Σ position · value) mod 103 of values that begin with the start.
//
// Source: ISO/IEC 15417.
func CheckCharacter(values []int) int {
	sum := 0
	for i, v := range values {
		sum += max(1, i) * v
	}
	return sum % 103
}

// Widths returns the widths in modules of bars and spaces in turn, beginning
// with a bar, of symbol values as Encode gives them and the stop after them:
// six a symbol, seven the stop.
func Widths(values []int) []int {
	var out []int
	for _, v := range append(append([]int(nil), values...), Stop) {
		for _, w := range patterns[v] {
			out = append(out, int(w-'0'))
		}
	}
	return out
}

// patterns are the widths of each symbol value (ISO/IEC 15417, table 1).
var patterns = [...]string{
	"212222", "222122", "222221", "121223", "121322", "131222", "122213", "122312", "132212", "221213",
	"221312", "231212", "112232", "122132", "122231", "113222", "123122", "123221", "223211", "221132",
	"221231", "213212", "223112", "312131", "311222", "321122", "321221", "312212", "322112", "322211",
	"212123", "212321", "232121", "111323", "131123", "131321", "112313", "132113", "132311", "211313",
	"231113", "231311", "112133", "112331", "132131", "113123", "113321", "133121", "313121", "211331",
	"231131", "213113", "213311", "213131", "311123", "311321", "331121", "312113", "312311", "332111",
	"314111", "221411", "431111", "111224", "111422", "121124", "121421", "141122", "141221", "112214",
	"112412", "122114", "122411", "142112", "142211", "241211", "221114", "413111", "241112", "134111",
	"111242", "121142", "121241", "114212", "124112", "124211", "411212", "421112", "421211", "212141",
	"214121", "412121", "111143", "111341", "131141", "114113", "114311", "411113", "411311", "113141",
	"114131", "311141", "411131", "211412", "211214", "211232", "2331112",
}
