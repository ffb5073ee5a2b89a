package bench

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"

	"github.com/golang/geo/r2"

	"rackwright/export/bench/photo"
	"rackwright/export/framefile"
	"rackwright/pack"
)

// FrameFile is the frame's file, for corners to be moved in it.
type FrameFile interface {
	// Shapes are what can be moved.
	Shapes() ([]framefile.Shape, error)
	// EditFrame writes a shape into the file, and reads the problem again. ErrChanged is wrapped
	// where the file was changed meanwhile.
	EditFrame(ctx context.Context, s framefile.Shape) (pack.Problem, error)
}

// WithFrame lets corners of the frame be moved in its file.
func (s *Server) WithFrame(f FrameFile) *Server {
	s.frame = f
	return s
}

// shapes answers with what can be moved.
func (s *Server) shapes(w http.ResponseWriter, _ *http.Request) {
	list, err := []framefile.Shape{}, error(nil)
	if s.frame != nil {
		list, err = s.frame.Shapes()
	}
	reply(w, list, err)
}

// reshape puts a shape into the file and the frame on the desk.
func (s *Server) reshape(ctx context.Context, shape framefile.Shape) error {
	if s.frame == nil {
		return framefile.ErrNoShape
	}
	s.saving.Lock()
	defer s.saving.Unlock()
	problem, err := s.frame.EditFrame(ctx, shape)
	if err != nil {
		return err
	}
	s.stopFit()
	s.desk.Reframe(problem, fmt.Sprintf("%s is changed in the frame file.", shape.Name))
	s.tell(event{"reload", nil})
	return nil
}

// Reframe puts another frame round the boxes, which stay where they are.
func (d *Desk) Reframe(p pack.Problem, saying string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.problem, d.judge, d.saying = p, pack.NewJudge(p), saying
	d.judged()
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
