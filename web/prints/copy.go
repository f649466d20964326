package prints

import (
	"net/http"
	"os"
)

// Copy hands out everything that is kept as one file. It is written whole
// before its first byte is sent: a browser never keeps half of it as a copy.
func (p Pages) Copy(w http.ResponseWriter, r *http.Request) error {
	f, err := os.CreateTemp("", "flutewright-copy-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	defer f.Close()
	if _, err := p.Desk.Copy(r.Context(), f); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/gzip")
	w.Header().Set("Content-Disposition", `attachment; filename="flutewright-`+p.Desk.Now().UTC().Format("2006-01-02-1504")+`.gz"`)
	if _, err := f.Seek(0, 0); err != nil {
		return err
	}
	http.ServeContent(w, r, "", p.Desk.Now(), f)
	return nil
}
