package web_test

import (
	"encoding/json"
	"strings"
	"testing"
)

// A program changes an order as a person does on its page: with the version it read, by the same
// rules, and never over what another has saved.
func TestAPIChangesAnOrder(t *testing.T) {
	b := planned(t)
	const path = "/api/orders/J1001/1/1"
	read := b.asks("GET", path, "", 200)
	send := func(change map[string]any, want int) map[string]any {
		body := map[string]any{}
		for k, v := range read {
			switch k {
			case "progress", "quantities", "finish", "$schema":
			default:
				body[k] = v
			}
		}
		for k, v := range change {
			body[k] = v
		}
		text, err := json.Marshal(body)
		if err != nil {
			t.Fatal(err)
		}
		return b.asks("PUT", path, string(text), want)
	}
	more := read["quantity"].(float64) + 100
	saved := send(map[string]any{"quantity": more, "why": "rung up"}, 200)
	if saved["quantity"] != more || saved["version"].(float64) != read["version"].(float64)+1 {
		t.Errorf("saved: %v", saved)
	}
	if again := send(map[string]any{"quantity": more + 1}, 409); !strings.Contains(again["detail"].(string), "scheduler") {
		t.Errorf("saved over another's change: %v", again)
	}
	send(map[string]any{"version": saved["version"], "quantity": -5}, 422)
	send(map[string]any{"version": saved["version"], "key": "J1002"}, 422)
	if now := b.asks("GET", path, "", 200); now["quantity"] != more {
		t.Errorf("after what was refused: %v", now["quantity"])
	}
}
