package web_test

import (
	"bytes"
	"fmt"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/web/guard"
)

func TestImportOrders(t *testing.T) {
	b := planned(t)
	at := b.sendFile("/orders/import", "week.csv", orderFile).Header().Get("Location")
	review := b.get(at).Body.String()
	for _, want := range []string{"<b>1</b> new", "<b>1</b> changed", "<b>41</b> gone", "2 waiting", "NO-SUCH", "K2001"} {
		if !strings.Contains(review, want) {
			t.Errorf("the review does not say %q", want)
		}
	}
	for _, f := range parse(t, review).faults() {
		t.Error(f)
	}
	if _, _, err := b.Line(t.Context(), ident.NewRelease("K2001", "", "")); err == nil {
		t.Fatal("an order was taken before anyone confirmed")
	}
	if w := b.post(at, url.Values{"new": {"1"}}); w.Code != http.StatusSeeOther {
		t.Fatalf("confirm: status %d: %s", w.Code, w.Body)
	}
	if l, _, err := b.Line(t.Context(), ident.NewRelease("K2001", "", "")); err != nil || l.Quantity != 2500 {
		t.Errorf("the new order: %+v, %v", l, err)
	}
	if l, _, _ := b.Line(t.Context(), j1001); l.Quantity != 18000 || l.State != "open" {
		t.Errorf("changed and gone were not ticked, but J1001 is %+v", l)
	}
	if w := b.post(at, url.Values{"new": {"1"}}); w.Code != http.StatusConflict {
		t.Errorf("confirming twice: status %d, want 409", w.Code)
	}
	if w := b.sendFile("/orders/import", "empty.csv", ""); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("an empty file: status %d, want 422", w.Code)
	}
}

func (b *bench) sendFile(path, name, content string) *httptest.ResponseRecorder {
	b.t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	part, err := form.CreateFormFile("file", name)
	if err != nil {
		b.t.Fatal(err)
	}
	fmt.Fprint(part, content)
	if err := form.Close(); err != nil {
		b.t.Fatal(err)
	}
	r := httptest.NewRequest(http.MethodPost, path, &body)
	r.Header.Set("Content-Type", form.FormDataContentType())
	return b.ask(r)
}

func TestTooLargeAFile(t *testing.T) {
	b := planned(t)
	w := b.sendFile("/orders/import", "huge.csv", strings.Repeat("x", guard.FileBytes+1))
	if w.Code != http.StatusRequestEntityTooLarge || !strings.Contains(w.Body.String(), "24 MB") {
		t.Errorf("status %d: %.200s", w.Code, w.Body)
	}
}
