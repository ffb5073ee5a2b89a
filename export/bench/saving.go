package bench

import (
	"context"
	"errors"
	"fmt"

	"rackwright/pack"
)

// store saves what is on the desk and not saved, one save at a time. Where a file was changed
// meanwhile that becomes a question.
func (s *Server) store(how Choice) error {
	w, parts := s.desk.Work()
	saved, words, err := s.files.Save(w, parts, how)
	if saved.Any() {
		s.desk.Saved(w, saved, words)
	}
	if changed := new(ChangedError); errors.As(err, &changed) {
		s.desk.Ask(questionOf(changed))
		return err
	}
	if err == nil {
		s.desk.Ask(nil)
	}
	return err
}

// choose does what is answered to a question.
func (s *Server) choose(ctx context.Context, c Choice) error {
	s.saving.Lock()
	defer s.saving.Unlock()
	switch c {
	case Theirs:
		changed := s.files.Changed(Parts{Frame: true, Layout: true})
		if changed == nil {
			s.desk.Ask(nil)
			return nil
		}
		return s.take(ctx, changed.Parts)
	case Beside, Over:
		return s.store(c)
	}
	return fmt.Errorf("%q is no choice", c)
}

// FilesChanged looks at files that were changed elsewhere. What was not touched here is read
// again; of what was, it is asked.
func (s *Server) FilesChanged(ctx context.Context) {
	s.saving.Lock()
	defer s.saving.Unlock()
	s.desk.Ask(nil)
	if changed := s.files.Changed(Parts{true, true, true}); changed != nil {
		_, unsaved := s.desk.Work()
		if free := changed.Parts.but(unsaved); free.Any() {
			if err := s.take(ctx, free); err != nil {
				s.desk.Say("A file was changed elsewhere and cannot be read: " + err.Error())
			}
		}
		if both := changed.Parts.and(unsaved); both.Any() {
			if changed := s.files.Changed(both); changed != nil {
				s.desk.Ask(questionOf(changed))
			}
		}
	}
	s.tellState()
}

// take puts parts of the files on the desk as they are now.
func (s *Server) take(ctx context.Context, parts Parts) error {
	w, err := s.files.Read(ctx, parts)
	if err != nil {
		return err
	}
	s.stopFit()
	problem := func(frame []byte) (pack.Problem, error) { return s.files.Problem(ctx, frame) }
	if err := s.desk.Take(w, parts, problem, "A file was changed elsewhere, and is read again."); err != nil {
		return err
	}
	s.desk.Ask(nil)
	return nil
}

func (s *Server) tellState() {
	if state, err := s.desk.State(); err == nil {
		s.tell(event{"state", state})
	}
}
