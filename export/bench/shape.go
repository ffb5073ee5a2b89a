package bench

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"unicode"
	"unicode/utf8"

	"github.com/golang/geo/r2"

	"rackwright/export/bench/photo"
	"rackwright/export/framefile"
)

// reshape puts a shape of the frame on the desk, as one step. Its file is written by a save.
func (s *Server) reshape(ctx context.Context, shape framefile.Shape) error {
	s.saving.Lock()
	defer s.saving.Unlock()
	w, _ := s.desk.Work()
	text, err := framefile.Edit(w.Frame, shape)
	if err != nil || bytes.Equal(text, w.Frame) {
		return err
	}
	problem, err := s.files.Problem(ctx, text)
	if err != nil {
		return err
	}
	s.stopFit()
	s.desk.Reframe(text, problem, fmt.Sprintf("%s is changed.", capital(shape.Name)))
	return nil
}

func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// straightened is how a photo lies in the side view.
type straightened struct {
	Matrix photo.Homography `json:"matrix"` // from the picture to mm
	Off    []float64        `json:"off"`    // of the marks, in pixels
}

// straighten answers how a photo with marks lies. The photo itself stays in the browser.
func (s *Server) straighten(w http.ResponseWriter, r *http.Request) {
	var asked []struct {
		Pixel [2]float64 `json:"pixel"`
		At    [2]float64 `json:"at"`
	}
	if err := json.NewDecoder(r.Body).Decode(&asked); err != nil {
		http.Error(w, "this cannot be read: "+err.Error(), http.StatusBadRequest)
		return
	}
	var marks []photo.Mark
	for _, m := range asked {
		marks = append(marks, photo.Mark{Pixel: r2.Point{X: m.Pixel[0], Y: m.Pixel[1]}, At: r2.Point{X: m.At[0], Y: m.At[1]}})
	}
	lies, err := photo.FromMarks(marks)
	reply(w, straightened{lies.ToPlace, lies.Off}, err)
}

func reply(w http.ResponseWriter, with any, err error) {
	if err != nil {
		http.Error(w, err.Error(), http.StatusUnprocessableEntity)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	_ = json.NewEncoder(w).Encode(with) // whoever asked may be gone
}
