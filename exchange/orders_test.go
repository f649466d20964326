package exchange_test

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/exchange"
	"github.com/flutewright/flutewright/plant/demo"
)

func known() desk.Known { return desk.KnownOf(demo.Book(), demo.Now) }

const plainHead = "order,line,release,customer,item,due,quantity\n"

// The bad input: every faulty cell waits with its reason, the good row beside it is in.
func TestFaultyCellsWait(t *testing.T) {
	tests := []struct {
		source string
		row    string // below plainHead
		want   string // a part of the fault
	}{
		{"quantity negative", "X1,,,C01,FW-1001,2031-03-04,-5", `quantity "-5": must be a whole number from 1`},
		{"quantity huge", "X1,,,C01,FW-1001,2031-03-04,10000001", "at most|must be a whole number from 1 to 10,000,000"},
		{"quantity of thousands of years", "X1,,,C01,FW-1001,2031-03-04,99999999999999999999", "beyond any number"},
		{"quantity half", "X1,,,C01,FW-1001,2031-03-04,12.5", "must be a whole number"},
		{"quantity with points", "X1,,,C01,FW-1001,2031-03-04,5.000", "without points"},
		{"decimal comma", `X1,,,C01,FW-1001,2031-03-04,"12,5"`, "a comma parts thousands"},
		{"quantity missing", "X1,,,C01,FW-1001,2031-03-04,", "quantity: must not be empty"},
		{"quantity a day", "X1,,,C01,FW-1001,2031-03-04,16-Mar", "has made a day of it"},
		{"formula", "X1,,,C01,FW-1001,2031-03-04,=SUM(A1:A9)", "is a formula where a number is due"},
		{"formula at", "X1,,,C01,FW-1001,2031-03-04,@SUM(A1)", "is a formula"},
		{"error value", "X1,,,C01,FW-1001,2031-03-04,#REF!", "error value"},
		{"order shortened", "4.5123E+11,,,C01,FW-1001,2031-03-04,5000", "was shortened by a spreadsheet"},
		{"order a day", "16-Mar,,,C01,FW-1001,2031-03-04,5000", "has made a day of it"},
		{"order with slash", "2031/4,,,C01,FW-1001,2031-03-04,5000", "must not hold a slash"},
		{"customer", "X1,,,C99,FW-1001,2031-03-04,5000", `customer "C99": is not in the book`},
		{"item", "X1,,,C01,FW-9999,2031-03-04,5000", `item "FW-9999": is neither in the book nor in the file`},
		{"no item", "X1,,,C01,,2031-03-04,5000", "must name an item"},
		{"30 February", "X1,,,C01,FW-1001,2031-02-30,5000", "is no day of the calendar"},
		{"month 13", "X1,,,C01,FW-1001,2031-13-01,5000", "is no day of the calendar"},
		{"25 o'clock", "X1,,,C01,FW-1001,2031-03-04T25:00,5000", "is no time of the day"},
		{"year 1931", "X1,,,C01,FW-1001,1931-03-04,5000", "must be in the years 2000 to 2100"},
		{"two-digit year", "X1,,,C01,FW-1001,4/3/31,5000", "four digits"},
		{"day number", "X1,,,C01,FW-1001,47910,5000", "it would be 2031-03-03"},
		{"no year", "X1,,,C01,FW-1001,4-Mar,5000", "has no year"},
		{"words", "X1,,,C01,FW-1001,next week,5000", "is not a date"},
		{"clocks go forward", "X1,,,C01,FW-1001,2031-03-30T01:30,5000", "does not exist"},
		{"ambiguous", "X1,,,C01,FW-1001,3/4/2031,5000", "may be 3 April or 4 March 2031"},
		{"stray quote", `X1,,,C01,FW-1001,2031-03-04,"5000`, "never closed"},
		{"a comma too many", "X1,,,C01,FW-1001,2031-03-04,5,000", "put a cell that holds a comma in quotes"},
		{"twice", "G1,,,C01,FW-1001,2031-03-04,10", "stands in row 2 already"},
	}
	for _, tt := range tests {
		text := plainHead + "G1,,,C01,FW-1001,2031-03-04T14:00,5000\n" + tt.row + "\nG2,,,C01,FW-1002,2031-03-04T14:00,5000\n"
		file := read(t, exchange.Orders{}, known(), text)
		if len(file.Rows) != 2 || len(file.Waiting) != 1 {
			t.Errorf("%s: %d rows, waiting %v", tt.source, len(file.Rows), faults(file))
			continue
		}
		if got := strings.Join(faults(file), "; "); !containsAny(got, tt.want) || !strings.HasPrefix(got, "row 3: ") {
			t.Errorf("%s: %q does not say %q", tt.source, got, tt.want)
		}
		if file.Waiting[0].Row != 3 || len(file.Waiting[0].Cells) == 0 {
			t.Errorf("%s: waits as row %d with %v", tt.source, file.Waiting[0].Row, file.Waiting[0].Cells)
		}
	}
}

func containsAny(s, parts string) bool {
	for p := range strings.SplitSeq(parts, "|") {
		if strings.Contains(s, p) {
			return true
		}
	}
	return false
}

// A line that carries its item's columns; each fault names its own column.
func TestFaultyItemColumnsWait(t *testing.T) {
	const head = "order,customer,due,quantity,style,inside_length_mm,inside_width_mm,inside_height_mm,grade,chop_mm,slit_mm,scores_mm,adhesive,pallet,kit\n"
	tests := []struct{ source, row, want string }{
		{"style unknown", "X1,C01,2031-03-04,500,0299,400,300,200,B-ST,,,,,,", "must be stated"},
		{"style no code", "X1,C01,2031-03-04,500,RSC,400,300,200,B-ST,,,,,,", "has four digits"},
		{"grade unknown", "X1,C01,2031-03-04,500,0201,400,300,200,B-TS,,,,,,", "nearest: B-ST; known: B-HV, B-LT"},
		{"sizes", "X1,C01,2031-03-04,500,0201,9000,-300,2,B-ST,,,,,,", "inside_width_mm \"-300\": must be from 10 mm to 6000 mm"},
		{"size a day", "X1,C01,2031-03-04,500,0201,16-Mar,300,200,B-ST,,,,,,", `inside_length_mm "16-Mar": a spreadsheet has made a day of it`},
		{"size in inches", "X1,C01,2031-03-04,500,0201,16 3/16,300,200,B-ST,,,,,,", "looks like inches, the column is in millimetres; write 411.1625 mm"},
		{"no height", "X1,C01,2031-03-04,500,0201,400,300,,B-ST,,,,,,", "inside_height_mm: must not be empty"},
		{"half a sheet", "X1,C01,2031-03-04,500,0427,,,,B-ST,1200,,,,,", "slit_mm: must not be empty"},
		{"scores outside", "X1,C01,2031-03-04,500,0427,,,,B-ST,1200,400,151/492,,,", "scores_mm \"151/492\": must lie inside the slit"},
		{"adhesive", "X1,C01,2031-03-04,500,0201,400,300,200,B-ST,,,,standart,,", "nearest: standard"},
		{"pallet", "X1,C01,2031-03-04,500,0201,400,300,200,B-ST,,,,,P1211,", "is not known at the plant"},
		{"kit", "X1,C01,2031-03-04,500,0201,400,300,200,B-ST,,,,,,NO-1", "is no item of the book or of this file"},
		{"no grade", "X1,C01,2031-03-04,500,0201,400,300,200,,,,,,,", "grade: must not be empty"},
	}
	for _, tt := range tests {
		text := head + tt.row + "\nG1,C01,2031-03-04,500,0201,400,300,200,B-ST,,,,,,\n"
		file := read(t, exchange.Orders{}, known(), text)
		if got := strings.Join(faults(file), "; "); len(file.Rows) != 1 || !strings.Contains(got, tt.want) {
			t.Errorf("%s: %d rows, %q does not say %q", tt.source, len(file.Rows), got, tt.want)
		}
	}
}

// What a spreadsheet or an older program may write is read for what it means.
func TestReadsWhatIsMeant(t *testing.T) {
	text := "\xEF\xBB\xBFQuantity ; no,Due-At, ORDER ,Customer,Item,DUE,Quantity,Under PCT\r\n" +
		"x,gate,004512,C02,FW-1003,2031-03-05 10:00,\"5,000\",\r\n" +
		"x,,4513,C01,FW-1001,25.3.2031,5 000,3%\r\n" +
		"x,,4514,C01,FW-1001,\"Mar 25, 2031\",5000.0,\r\n" +
		"x,,4515,C01,FW-1001,2031-07-01T08:00,+5000,\r\n" +
		"x,,4516,C01,FW-1001,2031-07-01T08:00Z,5000,\r\n" +
		"x,,4517,C01,FW-1001,2001-07-01,5000,\r\n,,,,,,,\r\n"
	file := read(t, exchange.Orders{}, known(), text)
	if len(file.Waiting) > 0 || len(file.Rows) != 6 {
		t.Fatalf("%d rows, waiting %v", len(file.Rows), faults(file))
	}
	first := file.Rows[0].Line
	if first.Key.Order != "004512" || first.Quantity != 5000 || first.DueAt != "gate" || first.UnderPct != 0 || first.OverPct != 10 {
		t.Errorf("first line %+v", first)
	}
	if second := file.Rows[1].Line; second.UnderPct != 3 || second.OverPct != 5 || second.DueAt != "dock" || second.Quantity != 5000 {
		t.Errorf("second line %+v", second)
	}
	for i, want := range []string{"2031-03-05T10:00:00Z", "2031-03-25T23:59:00Z", "2031-03-25T23:59:00Z", "2031-07-01T07:00:00Z", "2031-07-01T08:00:00Z", "2001-07-01T22:59:00Z"} {
		if got := file.Rows[i].Line.Due.UTC().Format(time.RFC3339); got != want {
			t.Errorf("row %d: due %s, want %s", file.Rows[i].Row, got, want)
		}
	}
	if got := fmt.Sprint(file.Ignored); got != "[Quantity ; no]" {
		t.Errorf("ignored %s", got)
	}
}

func TestAmbiguousDatesAreAskedOnce(t *testing.T) {
	text := plainHead + "A1,,,C01,FW-1001,3/4/2031,5000\nA2,,,C01,FW-1001,5/6/2031,5000\nA3,,,C01,FW-1001,25/6/2031,5000\n"
	file := read(t, exchange.Orders{}, known(), text)
	if len(file.Asks) != 1 || len(file.Waiting) != 2 || len(file.Rows) != 1 {
		t.Errorf("asks %q, %d wait, %d rows", file.Asks, len(file.Waiting), len(file.Rows))
	}
	for dates, want := range map[string]time.Month{"dmy": time.April, "mdy": time.March} {
		file := read(t, exchange.Orders{Dates: dates}, known(), text)
		if len(file.Asks) != 0 || len(file.Rows) != 3 || file.Rows[0].Line.Due.Month() != want {
			t.Errorf("%s: asks %q, %d rows, %v", dates, file.Asks, len(file.Rows), file.Rows[0].Line.Due)
		}
	}
}

// A time that comes twice is taken as the earlier, and said.
func TestTimeThatComesTwice(t *testing.T) {
	file := read(t, exchange.Orders{}, known(), plainHead+"A1,,,C01,FW-1001,2031-10-26T01:30,5000\n")
	if len(file.Rows) != 1 || len(file.Notes) != 1 || file.Rows[0].Line.Due.UTC().Hour() != 0 {
		t.Fatalf("%d rows, notes %q", len(file.Rows), file.Notes)
	}
}

func TestInchesAtAPlantWithUSUnits(t *testing.T) {
	b := demo.Book()
	b.Plant.Display.Units = "us"
	text := "order,customer,due,quantity,style,inside_length_mm,inside_width_in,inside_height_in,grade\n" +
		`U1,C01,2031-03-04,500,0201,16 3/16,12,10",B-ST` + "\n"
	file := read(t, exchange.Orders{}, desk.KnownOf(b, demo.Now), text)
	if len(file.Rows) != 1 {
		t.Fatal(faults(file))
	}
	in := file.Rows[0].Item.Inside
	if in.Length != quantity.FromInches(16.1875) || in.Width != 12*quantity.Inch || in.Height != 10*quantity.Inch {
		t.Errorf("inside %v × %v × %v", in.Length, in.Width, in.Height)
	}
	if code := file.Rows[0].Line.Item; code != "C01-U1-1" || file.Rows[0].Item.Joint != "glued" {
		t.Errorf("item %s %+v", code, file.Rows[0].Item)
	}
}

func TestNewCustomersOnRequest(t *testing.T) {
	text := plainHead + "N1,,,NEW,FW-1001,2031-03-04,5000\nN2,,,NEW,FW-1001,2031-03-04,5000\n"
	if file := read(t, exchange.Orders{}, known(), text); len(file.Waiting) != 2 || len(file.Customers) != 0 {
		t.Errorf("on the desk: %v", faults(file))
	}
	file := read(t, exchange.Orders{NewCustomers: true}, known(), text)
	if len(file.Rows) != 2 || len(file.Customers) != 1 || file.Customers[0].Code != "NEW" || len(file.Notes) != 1 {
		t.Errorf("%d rows, customers %v, notes %q", len(file.Rows), file.Customers, file.Notes)
	}
}

// Two rows that state one item otherwise: the second waits.
func TestItemStatedTwice(t *testing.T) {
	text := "order,customer,item,due,quantity,style,inside_length_mm,inside_width_mm,inside_height_mm,grade\n" +
		"A1,C01,NEW-1,2031-03-04,500,0201,400,300,200,B-ST\nA2,C01,NEW-1,2031-03-04,500,0201,400,300,200,B-ST\n" +
		"A3,C01,NEW-1,2031-03-04,500,0201,410,300,200,B-ST\nA4,C01,NEW-1,2031-03-04,500,,,,,\n"
	file := read(t, exchange.Orders{}, known(), text)
	if len(file.Rows) != 3 || len(file.Waiting) != 1 || file.Waiting[0].Row != 4 {
		t.Errorf("%d rows, waiting %v", len(file.Rows), faults(file))
	}
	if file.Rows[0].Item == nil || file.Rows[1].Item != nil || file.Rows[2].Item != nil {
		t.Error("the first row alone states the item")
	}
}

// Files that cannot be read as a whole are refused, with the byte and row where there is one.
func TestRefusedFiles(t *testing.T) {
	good := "G1,,,C01,FW-1001,2031-03-04T14:00,5000\n"
	tests := []struct{ source, text, want string }{
		{"empty", "", "the file is empty"},
		{"blank lines", "\n\n , \n", "is empty"},
		{"header alone", plainHead, "has a header and no rows"},
		{"UTF-16", "\xFF\xFEo\x00r\x00d\x00", "UTF-16"},
		{"UTF-16 without mark", "o\x00r\x00d\x00e\x00r\x00", "UTF-16"},
		{"Latin-1", plainHead + good + "G2,,,Caf\xe9,FW-1001,2031-03-04,5\n", `row 3: orders.csv "byte 9 is 0xE9": is not UTF-8; if 'é' was meant there`},
		{"NUL", plainHead + "G\x001\n", "row 2: orders.csv \"byte 2\": holds a NUL byte"},
		{"semicolons", "order;customer;item;due;quantity\n1;2;3;4;5\n", "not by semicolons"},
		{"missing columns", "order,customer,item\nA,B,C\n", "due: is missing in the header"},
		{"neither item nor style", "order,customer,due,quantity\nA,B,2031-03-04,5\n", "must have item, or style"},
		{"twice", "order,Order,customer,item,due,quantity\n", "stands twice in the header"},
		{"inches and millimetres", "order,customer,due,quantity,style,chop_mm,chop_in\n", "keep one of chop_mm and chop_in"},
		{"no header", good, "must be a header"},
		{"many columns", strings.Repeat("a,", 300) + "\n", "at most 200"},
		{"long row", plainHead + strings.Repeat("a", 2<<20), "longer than 1 MB"},
		{"old workbook", "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1", "old kind"},
		{"broken workbook", "PK\x03\x04 and nothing behind", "damaged workbook"},
	}
	for _, tt := range tests {
		_, err := exchange.Orders{}.ReadOrders("orders.csv", strings.NewReader(tt.text), known())
		if err == nil || !errors.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", tt.source, err)
		} else if !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %q does not say %q", tt.source, err, tt.want)
		}
	}
}

// endless is a file of any size that is never in memory as a whole.
type endless struct{ line []byte }

func (e *endless) Read(p []byte) (int, error) {
	n := 0
	for n < len(p) {
		n += copy(p[n:], e.line)
	}
	return n, nil
}

// A file of 100 MB and more ends at the limit, without being held in memory.
func TestEndlessFileIsRefused(t *testing.T) {
	for source, r := range map[string]io.Reader{
		"rows":     io.MultiReader(strings.NewReader(plainHead), &endless{[]byte("G1,,,C01,FW-1001,2031-03-04T14:00,5000\n")}),
		"workbook": io.MultiReader(strings.NewReader("PK\x03\x04"), &endless{[]byte("x")}),
	} {
		_, err := exchange.Orders{}.ReadOrders("orders", r, known())
		if err == nil || !errors.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", source, err)
		}
	}
	big := strings.NewReader(strings.Repeat("x", 65<<20))
	if _, err := (exchange.Orders{}).ReadOrders("big.csv", big, known()); err == nil || !strings.Contains(err.Error(), "larger than 64 MB") || big.Len() != 65<<20 {
		t.Errorf("a file that tells its size must be refused before it is read: %v, %d bytes left", err, big.Len())
	}
}

// Lines with a stray quote wait alone; those behind it are read.
func TestQuotes(t *testing.T) {
	text := "order,customer,item,due,quantity,note\n" +
		"A1,C01,FW-1001,2031-03-04,5000,\"two\nlines, and \"\"quotes\"\"\"\n" +
		"A2,C01,FW-1001,2031-03-04,5000,\"never closed\n" +
		"A3,C01,FW-1001,2031-03-04,5000,16 3/16\" wide\n"
	file := read(t, exchange.Orders{}, known(), text)
	if len(file.Rows) != 2 || len(file.Waiting) != 1 || file.Waiting[0].Row != 4 {
		t.Fatalf("%d rows, waiting %v", len(file.Rows), faults(file))
	}
	if n := file.Rows[0].Line.Note; n != "two\nlines, and \"quotes\"" {
		t.Errorf("note %q", n)
	}
	if r := file.Rows[1]; r.Row != 5 || r.Line.Note != `16 3/16" wide` {
		t.Errorf("row %d, note %q", r.Row, r.Line.Note)
	}
}
