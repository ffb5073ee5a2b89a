package bench

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"html/template"
	"net/http"

	"rackwright/export"
	"rackwright/export/answer"
	"rackwright/export/page"
)

var (
	//go:embed bench.html
	pageHTML string
	//go:embed bench.css
	styleCSS string
	// bundleJS is made by export/page/web, of the same modules as the report's.
	//go:embed bundle.js
	bundleJS string

	pageTemplate = template.Must(template.New("bench").Parse(pageHTML))
)

// page is the bench itself. Its script is that of the report, and told by the data what it is.
func (s *Server) page(w http.ResponseWriter, _ *http.Request) {
	problem, layout := s.desk.Layout()
	state, err := s.desk.State()
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	scene, err := page.Scene(page.Input{Problem: problem, Layouts: []page.Layout{{Judged: export.Judged{Layout: layout}, Name: "The bench"}}})
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	data, err := json.Marshal(struct {
		Scene json.RawMessage `json:"scene"`
		State State           `json:"bench"`
		Token string          `json:"token"`
	}{scene, state, s.token})
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	var out bytes.Buffer
	if err := pageTemplate.Execute(&out, struct {
		Style             template.CSS
		Data              template.JS
		Token             string
		Unit, Pack, Frame string
		Cautions          []string
	}{
		template.CSS(styleCSS), template.JS(data), s.token, problem.Pack.Unit.String(), problem.Pack.Name, problem.Frame.Name, answer.Cautions(problem.Pack),
	}); err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Content-Security-Policy", "default-src 'none'; script-src 'self' 'unsafe-inline'; style-src 'unsafe-inline'; img-src data: blob:; connect-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'")
	_, _ = out.WriteTo(w) // whoever asked may be gone
}
