package exchange_test

import (
	"math"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/exchange"
	"github.com/flutewright/flutewright/plant/trace"
)

func table(t *testing.T, kind, text string) desk.Table {
	t.Helper()
	got, err := exchange.Tables{}.ReadTable(kind, kind+".csv", strings.NewReader(text), known())
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func tableFaults(tb desk.Table) string {
	var out []string
	for _, w := range tb.Waiting {
		out = append(out, w.Faults.Error())
	}
	return strings.Join(out, "\n")
}

// Each kind of table: a good row is in, a faulty one waits with its reason.
func TestTables(t *testing.T) {
	tests := []struct {
		kind, text string
		count      func(desk.Table) int
		faults     []string
	}{
		{"papers", "paper,grammage_gsm,webs_mm,price_per_t\nTL150,150,2200/2000,510\nTL151,1500,,\nTL150,140,,\n",
			func(tb desk.Table) int { return len(tb.Papers) }, []string{`grammage_gsm "1500": must be from 50 to 500 g/m²`, "stands in row 2 already"}},
		{"grades", "grade,flute,plies,may_upgrade_to\nB-XX,B,TL140/RM110:B/TL140,B-HV\nB-YY,B,TL140/RM110/TL140,\nB-ZZ,B,TL14O/RM110:B/TL140,\n",
			func(tb desk.Table) int { return len(tb.Grades) }, []string{"liners and mediums must take turns", "TL14O is not known at the plant; nearest: TL140"}},
		{"items", "item,customer,style,inside_length_mm,inside_width_mm,inside_height_mm,grade\nN1,C01,201,400,300,200,B-ST\nN2,C77,0201,400,300,200,B-ST\n",
			func(tb desk.Table) int { return len(tb.Items) }, []string{`customer "C77": is not in the book`}},
		{"customers", "customer,name,road_km,pallet,case_erector\nC50,Fifty,12.5,P1208,yes\nC51,Fifty-one,-3,P9,maybe\n",
			func(tb desk.Table) int { return len(tb.Customers) }, []string{`road_km "-3"`, `case_erector "maybe": must be yes or no`, `P9 is not known`}},
		{"rolls", "roll,paper,width_mm,length_m,hold\nR9001,TL140,2200,5900,no\nR9002,TL140,99999,5900,\nR9003,XX,2200,1,\nR9004,TL140,2200,,\n",
			func(tb desk.Table) int { return len(tb.Rolls) }, []string{"must be from 200 to 6000", "XX is not known", "length_m: must be stated"}},
		{"inbound", "inbound,eta,paper,width_mm,rolls,length_each_m\nIN-9,2031-03-05T07:00,TL140,2350,10,5900\nIN-8,soon,TL140,2350,0,5900\n",
			func(tb desk.Table) int { return len(tb.Inbound) }, []string{"is not a date", `rolls "0"`}},
		{"stacks", "stack,order,sheets,place\nS1,J1001,400,L3\nS2,J1001,-4,L3\n",
			func(tb desk.Table) int { return len(tb.Facts) }, []string{`sheets "-4"`}},
		{"units", "unit,order,line,release,boxes,place\nU1,J1001,2,1,400,bay 2\nU2,,,,400,\n",
			func(tb desk.Table) int { return len(tb.Facts) }, []string{"order: must not be empty"}},
	}
	for _, tt := range tests {
		tb := table(t, tt.kind, tt.text)
		if n := tt.count(tb); n != 1 {
			t.Errorf("%s: %d good rows, waiting %s", tt.kind, n, tableFaults(tb))
		}
		for _, want := range tt.faults {
			if !strings.Contains(tableFaults(tb), want) {
				t.Errorf("%s: %q is not said in\n%s", tt.kind, want, tableFaults(tb))
			}
		}
	}
	if _, err := (exchange.Tables{}).ReadTable("roll", "r.csv", strings.NewReader("x"), known()); err == nil || !strings.Contains(err.Error(), "nearest: rolls") {
		t.Errorf("unknown kind: %v", err)
	}
}

// A liner of 205 in a column of lb/1000 ft² was meant in g/m²; a US roll's length follows from its diameter.
func TestUSTables(t *testing.T) {
	tb := table(t, "papers", "paper,grammage_lb_msf,caliper_in\nL1,205,0.012\nL2,35,0.010\n")
	if got := tableFaults(tb); !strings.Contains(got, "did you mean 205 g/m² (42 lb)?") || len(tb.Papers) != 1 {
		t.Errorf("%d papers, %s", len(tb.Papers), got)
	}
	k := known()
	k.Plant.Papers = tb.Papers
	rolls, err := exchange.Tables{}.ReadTable("rolls", "rolls.csv", strings.NewReader("roll,paper,width_in,diameter_in,core_in\nR1,L2,93,50,4\n"), k)
	if err != nil || len(rolls.Rolls) != 1 {
		t.Fatalf("%v, %s", err, tableFaults(rolls))
	}
	r := rolls.Rolls[0] // by hand: 16,258 ft, see plant/roll
	if ft := r.Length.Metres() / 0.3048; math.Abs(ft-16258) > 1 || r.Width != quantity.FromInches(93) {
		t.Errorf("%.0f ft, width %v", ft, r.Width)
	}
}

// The same floor count read twice carries the same facts.
func TestFloorFactsKeepTheirIDs(t *testing.T) {
	tb := table(t, "stacks", "stack,order,line,release,sheets,place,found\nS1,J1001,,,400,L3,2031-03-02T21:30\nS2,J1002,2,3,90,L4,2031-03-09\n")
	if len(tb.Facts) != 1 || !strings.Contains(tableFaults(tb), "lies in the future") {
		t.Fatalf("%d facts, %s", len(tb.Facts), tableFaults(tb))
	}
	f := tb.Facts[0]
	if f.ID != "stack S1 found" || f.Kind != trace.StackFound || f.Good != 400 || f.Release.String() != "J1001" || f.At.UTC().Hour() != 21 {
		t.Errorf("%+v", f)
	}
}

// A job half done is a start and a count; a machine may have several, each of
// another order; read twice it carries the same facts.
func TestJobsHalfDone(t *testing.T) {
	const file = "machine,order,line,release,good,waste,started\nFFG-1,J1002,,,6000,90,2031-03-03T04:30\nFFG-2,J1005,,,,,\nFFG-1,J1003,,,5,,\nFFG-1,J1002,,,7,,\nFFG-3,J1004,,,-1,,\n"
	tb := table(t, "jobs", file)
	if len(tb.Facts) != 5 || len(tb.Waiting) != 2 {
		t.Fatalf("%+v, %s", tb.Facts, tableFaults(tb))
	}
	started, counted := tb.Facts[0], tb.Facts[1]
	if started.Kind != trace.JobStarted || started.At.UTC().Hour() != 4 || counted.Kind != trace.JobCounted || counted.Good != 6000 || counted.Waste != 90 || counted.Machine != "FFG-1" {
		t.Errorf("%+v, %+v", started, counted)
	}
	for i, again := range table(t, "jobs", file).Facts {
		if again.ID != tb.Facts[i].ID {
			t.Errorf("%s, read again %s", tb.Facts[i].ID, again.ID)
		}
	}
}
