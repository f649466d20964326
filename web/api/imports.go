package api

import (
	"bytes"
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/web/guard"
)

// SentFile is a file as the body of a request.
type SentFile struct {
	Signed
	Name    string `query:"name" default:"sent.csv" doc:"the file's name; .xlsx is read as a workbook"`
	RawBody []byte `contentType:"application/octet-stream"`
}

type taking struct {
	New     bool `json:"new,omitempty"`
	Changed bool `json:"changed,omitempty"`
	Gone    bool `json:"gone,omitempty" doc:"close the lines that the file does not name"`
}

func (f *face) imports(api huma.API) {
	huma.Register(api, huma.Operation{
		OperationID: "stage-orders", Method: http.MethodPost, Path: "/import/orders", MaxBodyBytes: guard.FileBytes,
		Summary: "Read an order file and set it against the book; nothing is taken yet",
	}, func(ctx context.Context, in *SentFile) (*answer[desk.Staged], error) {
		s, err := f.desk.StageOrders(ctx, in.Name, bytes.NewReader(in.RawBody), who(in.Who))
		return say(f, s, err)
	})
	huma.Register(api, huma.Operation{
		OperationID: "confirm-orders", Method: http.MethodPost, Path: "/import/orders/{id}", Summary: "Take a staged order file, by kind",
	}, func(ctx context.Context, in *struct {
		Signed
		ID   int64 `path:"id"`
		Body taking
	}) (*answer[desk.Taken], error) {
		t, err := f.desk.ConfirmOrders(ctx, in.ID, desk.Kinds{New: in.Body.New, Changed: in.Body.Changed, Gone: in.Body.Gone}, who(in.Who))
		return say(f, t, err)
	})
	huma.Register(api, huma.Operation{
		OperationID: "import-table", Method: http.MethodPost, Path: "/import/tables/{kind}", MaxBodyBytes: guard.FileBytes,
		Summary: "Import a table of the book; faulty rows come back with their reasons",
	}, func(ctx context.Context, in *struct {
		SentFile
		Kind string `path:"kind" enum:"papers,grades,items,customers,rolls,inbound,stacks,units"`
	}) (*answer[desk.TableResult], error) {
		done, err := f.desk.ImportTable(ctx, in.Kind, in.Name, bytes.NewReader(in.RawBody), who(in.Who))
		return say(f, done, err)
	})
}
