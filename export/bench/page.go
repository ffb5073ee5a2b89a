package bench

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"html/template"
	"net/http"

	"rackwright/export"
	"rackwright/export/answer"
	"rackwright/export/framefile"
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

// pageData is what the page is drawn from.
type pageData struct {
	Scene  json.RawMessage   `json:"scene"`
	Shapes []framefile.Shape `json:"shapes"`
	State  State             `json:"bench"`
	Unit   string            `json:"unit"`
	Pack   string            `json:"pack"`
	Frame  string            `json:"frame"`
	Token  string            `json:"token,omitempty"`
}

func (s *Server) data() (pageData, error) {
	state, err := s.desk.State() // first: what is newer than it says is asked for again
	if err != nil {
		return pageData{}, err
	}
	w, _ := s.desk.Work()
	scene, err := page.Scene(page.Input{Problem: w.Problem, Layouts: []page.Layout{{Judged: export.Judged{Layout: w.Layout}, Name: "The bench"}}})
	if err != nil {
		return pageData{}, err
	}
	shapes, err := framefile.Shapes(w.Frame)
	if err != nil {
		shapes = []framefile.Shape{} // the file is changed with an editor, then
	}
	return pageData{
		Scene: scene, Shapes: shapes, State: state,
		Unit: w.Problem.Pack.Unit.String(), Pack: w.Problem.Pack.Name, Frame: w.Problem.Frame.Name,
	}, nil
}

// scene answers with what the page is drawn from, for one that is open while the frame changes.
func (s *Server) scene(w http.ResponseWriter, _ *http.Request) {
	data, err := s.data()
	reply(w, data, err)
}

// page is the bench itself. Its script is that of the report, and told by the data what it is.
func (s *Server) page(w http.ResponseWriter, _ *http.Request) {
	data, err := s.data()
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	data.Token = s.token
	text, err := json.Marshal(data)
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	work, _ := s.desk.Work()
	var out bytes.Buffer
	if err := pageTemplate.Execute(&out, struct {
		pageData
		Style    template.CSS
		Text     template.JS
		Cautions []string
	}{data, template.CSS(styleCSS), template.JS(text), answer.Cautions(work.Problem.Pack)}); err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Content-Security-Policy", "default-src 'none'; script-src 'self' 'unsafe-inline'; style-src 'unsafe-inline'; img-src data: blob:; connect-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'")
	_, _ = out.WriteTo(w) // whoever asked may be gone
}
