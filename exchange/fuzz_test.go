package exchange_test

import (
	"bytes"
	"errors"
	"os"
	"testing"

	"github.com/xuri/excelize/v2"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/exchange"
)

// Whatever the bytes, reading an order file ends, every fault has a row and a
// reason, and no line or item out of range is taken.
func FuzzOrders(f *testing.F) {
	demo, err := os.ReadFile("testdata/orders.csv")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(demo)
	f.Add([]byte(plainHead + "A,,,C01,FW-1001,3/4/2031,\"5,000\"\n\"never closed\n,,,\n=1,+2,@x,-3,16-Mar,4.5E+11,5.000\n"))
	f.Add([]byte("style,order,customer,due,quantity,chop_mm,slit_in,scores_mm,grade,kit,route\n201,A,C01,2031-03-30T01:30,1,9e9,16 3/16,1/2/3,B-ST,A/,RDC-1\n"))
	f.Add([]byte("\xFF\xFEo\x00r\x00"))
	f.Add([]byte("order,customer,item,due,quantity\n\xe9,\x00\n"))
	f.Add([]byte("PK\x03\x04"))
	book := excelize.NewFile()
	for cell, v := range map[string]any{"A1": "order", "B1": "customer", "C1": "item", "D1": "due", "E1": "quantity", "A2": 4512, "E2": 1e300} {
		if err := book.SetCellValue("Sheet1", cell, v); err != nil {
			f.Fatal(err)
		}
	}
	var raw bytes.Buffer
	if err := book.Write(&raw); err != nil {
		f.Fatal(err)
	}
	f.Add(raw.Bytes())
	k := known()
	f.Fuzz(func(t *testing.T, raw []byte) {
		file, err := exchange.Orders{NewCustomers: true}.ReadOrders("f", bytes.NewReader(raw), k)
		if err != nil {
			if !errors.Is(err, fault.Invalid) {
				t.Fatalf("not a violation: %v", err)
			}
			return
		}
		seen := map[any]bool{}
		for _, r := range file.Rows {
			if err := r.Line.Validate(); err != nil {
				t.Fatalf("row %d: %v", r.Row, err)
			}
			if seen[r.Line.Key] {
				t.Fatalf("row %d: %v is taken twice", r.Row, r.Line.Key)
			}
			seen[r.Line.Key] = true
			if r.Item != nil && r.Item.Validate() != nil {
				t.Fatalf("row %d: %v", r.Row, r.Item.Validate())
			}
		}
		for _, w := range file.Waiting {
			if w.Row < 2 || len(w.Faults) == 0 || w.Faults[0].Rule == "" {
				t.Fatalf("waits without a reason: %+v", w)
			}
		}
	})
}

// The same for tables of every kind.
func FuzzTables(f *testing.F) {
	f.Add(uint8(0), []byte("paper,grammage_lb_msf,caliper_in,webs_in\nL1,205,0.012,84/72\n"))
	f.Add(uint8(1), []byte("grade,flute,plies\nX,B,TL140/RM110:B/TL140\n"))
	f.Add(uint8(4), []byte("roll,paper,width_mm,diameter_mm,core_mm\nR1,TL140,2200,1300,100\nR2,TL140,1e99,nan,-\n"))
	f.Add(uint8(6), []byte("stack,order,sheets,found\nS1,J1001,400,2031-03-02T21:30\n"))
	k := known()
	kinds := desk.TableKinds()
	f.Fuzz(func(t *testing.T, n uint8, raw []byte) {
		kind := kinds[int(n)%len(kinds)]
		tb, err := exchange.Tables{}.ReadTable(kind, "f", bytes.NewReader(raw), k)
		if err != nil {
			if !errors.Is(err, fault.Invalid) {
				t.Fatalf("not a violation: %v", err)
			}
			return
		}
		for _, v := range tb.Papers {
			if !(v.Grammage.Gsm() >= 50 && v.Grammage.Gsm() <= 500.001) || v.Caliper < 0 {
				t.Fatalf("%+v", v)
			}
		}
		for _, v := range tb.Rolls {
			if v.Width <= 0 || v.Length < 0 || !(v.Mass >= 0) || v.Length.Metres() > 1e6 {
				t.Fatalf("%+v", v)
			}
		}
		for _, v := range tb.Items {
			if err := v.Validate(); err != nil {
				t.Fatal(err)
			}
		}
		for _, v := range tb.Customers {
			if err := v.Validate(); err != nil {
				t.Fatal(err)
			}
		}
		for _, v := range tb.Facts {
			if v.Good < 1 || v.ID == "" || v.At.IsZero() {
				t.Fatalf("%+v", v)
			}
		}
	})
}
