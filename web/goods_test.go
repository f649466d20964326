package web_test

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/order"
)

func (b *bench) says(path string, words ...string) {
	b.t.Helper()
	w := b.get(path)
	if w.Code != http.StatusOK {
		b.t.Fatalf("%s: status %d", path, w.Code)
	}
	root, err := html.Parse(w.Body)
	if err != nil {
		b.t.Fatal(err)
	}
	body := text(root)
	body = strings.Join(strings.Fields(body), " ")
	for _, s := range words {
		if !strings.Contains(body, s) {
			b.t.Errorf("%s does not say %q", path, s)
		}
	}
}

// Stock found, given by a named person, delivered in parts, the order closed.
func TestGoodsFromStockToADelivery(t *testing.T) {
	b := planned(t)
	if w := b.post("/boxes/FW-1001/found", url.Values{"boxes": {"3,000"}, "fact": {"f1"}}); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	b.post("/boxes/FW-1001/found", url.Values{"boxes": {"3,000"}, "fact": {"f1"}}) // sent twice
	b.says("/boxes/FW-1001", "Made to order. 3,000 free in the house, 3,000 of them go to open orders by due time", "STOCK-FW-1001", "Stage by stage", "3,00015,000")
	b.says("/orders/J1001/1/1", "From made goods, by due time: 3,000 of STOCK-FW-1001")

	b.says("/orders/goods", "0 boxes are free in the house", "STOCK-FW-1001", "Whose they become", "5 × FW-1009 of J1009")

	const allot = "/orders/J1001/1/1/allot"
	if w := b.post(allot, url.Values{"from": {"STOCK-FW-1001"}, "boxes": {"500"}, "by": {""}}); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "name of who decides") {
		t.Errorf("without a name: %d", w.Code)
	}
	if w := b.post(allot, url.Values{"from": {"STOCK-FW-1001"}, "boxes": {"500"}, "by": {"Ana"}}); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	b.says("/orders/J1001/1/1", "from STOCK-FW-1001", "Ana")

	const out = "/orders/J1001/1/1/deliver"
	first := url.Values{"boxes": {"400"}, "fact": {"d1"}, "version": {"2"}}
	for range 2 {
		if w := b.post(out, first); w.Code != http.StatusSeeOther {
			t.Fatalf("status %d: %s", w.Code, w.Body)
		}
	}
	b.says("/orders/J1001/1/1", "400 shipped")
	last := url.Values{"boxes": {"100"}, "fact": {"d2"}, "version": {"2"}, "closes": {"1"}}
	if w := b.post(out, last); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	l, _, err := b.Line(t.Context(), ident.NewRelease("J1001", "", ""))
	if err != nil || l.State != order.Closed {
		t.Errorf("%s, %v", l.State, err)
	}
	b.says("/orders/J1001/1/1", "Closed.")
}

func TestAnItemInUseIsNotRemoved(t *testing.T) {
	b := planned(t)
	w := b.post("/boxes/FW-1001/remove", url.Values{"version": {"1"}})
	if w.Code != http.StatusConflict || !strings.Contains(w.Body.String(), "open line J1001") {
		t.Errorf("status %d: %s", w.Code, w.Body)
	}
}

func TestStockThatCannotBe(t *testing.T) {
	b := planned(t)
	w := b.post("/boxes/FW-1001/stock", url.Values{"version": {"1"}, "stock_least": {"5000"}, "stock_most": {"4000"}})
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `id="e-stock_most"`) || !strings.Contains(w.Body.String(), `value="4000"`) {
		t.Errorf("status %d", w.Code)
	}
	if w := b.post("/boxes/FW-1001/stock", url.Values{"version": {"1"}, "stock_least": {"1000"}, "stock_most": {"4000"}}); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d", w.Code)
	}
	b.says("/boxes/FW-1001", "at least 1,000, filled up to 4,000 in 7 days", "the next plan raises a stock order")
}

func TestReceivingHoursByForm(t *testing.T) {
	b := planned(t)
	form := url.Values{"version": {"1"}, "name": {"Orchard"}, "road": {"38"}, "under_pct": {"5"}, "over_pct": {"5"}, "receives": {"weekdays"}, "closed": {"2031-13-01"}}
	w := b.post("/orders/customers/C01", form)
	if body := w.Body.String(); w.Code != http.StatusUnprocessableEntity || !strings.Contains(body, `id="e-receives"`) || !strings.Contains(body, `value="weekdays"`) {
		t.Errorf("status %d", w.Code)
	}
	form.Set("receives", "Mon-Fri 07:00-15:00")
	w = b.post("/orders/customers/C01", form)
	if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `id="e-closed"`) {
		t.Errorf("status %d", w.Code)
	}
	form.Set("closed", "2031-05-01, 2031-12-25")
	if w = b.post("/orders/customers/C01", form); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	b.says("/orders/customers", "Mon-Fri 07:00-15:00", "2031-05-01, 2031-12-25")
	if w = b.post("/orders/customers/C01", form); w.Code != http.StatusConflict {
		t.Errorf("a second edit of the first version: status %d", w.Code)
	}
	fresh := url.Values{"version": {"0"}, "customer": {"N1"}, "name": {"New house"}, "road": {"12"}}
	if w = b.post("/orders/customers/new", fresh); w.Code != http.StatusSeeOther {
		t.Errorf("status %d: %s", w.Code, w.Body)
	}
	b.says("/orders/customers/N1", "New house")
}

func TestGoodsForPrograms(t *testing.T) {
	b := planned(t)
	if w := b.post("/boxes/FW-1001/found", url.Values{"boxes": {"3000"}, "fact": {"f1"}}); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d", w.Code)
	}
	send := func(path, body string) *httptest.ResponseRecorder {
		r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		return b.ask(r)
	}
	if w := send("/api/orders/J1001/1/1/allot", `{"from":"STOCK-FW-1001","boxes":9000,"by":"Ana"}`); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "from 1 to 3,000") {
		t.Errorf("too many: status %d: %s", w.Code, w.Body)
	}
	if w := send("/api/orders/J1001/1/1/allot", `{"from":"STOCK-FW-1001","boxes":700,"by":"Ana"}`); w.Code != http.StatusNoContent {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	for _, fresh := range []string{`"new":true`, `"new":false`} { // sent twice
		if w := send("/api/orders/J1001/1/1/deliver", `{"fact":"d1","boxes":700}`); w.Code != http.StatusOK || !strings.Contains(w.Body.String(), fresh) {
			t.Errorf("status %d: %s", w.Code, w.Body)
		}
	}
	if w := b.get("/api/goods"); w.Code != http.StatusOK || !strings.Contains(w.Body.String(), `"J1001":{"have":700,"shipped":700,"free":0,"from_stock":2300`) {
		t.Errorf("status %d: %s", w.Code, w.Body)
	}
}

// Boxes made beyond the order go to stock, or to an open order of the item, in a person's name.
func TestOversFromTheCountsPage(t *testing.T) {
	b := planned(t)
	b.post("/floor", url.Values{"what": {"unit"}, "order": {"J1001"}, "name": {"U1"}, "good": {"18,600"}, "fact": {"u1"}, "at": {"2031-03-03T06:00"}, "place": {"D1"}})
	b.says("/floor/counts", "Made more than ordered", "J1001")
	const at = "/floor/counts/J1001/1/1"
	b.says(at, "18,600 are made of 18,000 ordered: 600 are over", "The customer takes as many")
	form := url.Values{"what": {"over"}, "version": {b.hidden(at, "version")}, "spare": {"700"}, "by": {"Ana"}, "stock": {"yes"}}
	if w := b.post(at, form); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "must be from 1 to 600") {
		t.Errorf("more than is over: status %d", w.Code)
	}
	form.Set("spare", "600")
	if w := b.post(at, form); w.Code != http.StatusSeeOther {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	b.says("/boxes/FW-1001", "600 free in the house")
	b.says("/orders/J1001/1/1", "to STOCK-FW-1001")
	if strings.Contains(b.get(at).Body.String(), "are over") {
		t.Error("still over")
	}
}
