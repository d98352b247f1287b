package kerneltest

import (
	"context"
	"testing"

	"foreplane/kernel/display"
)

func TestRecorder(t *testing.T) {
	r := Recorder{Answers: []string{"Ada"}}
	ended, end := context.WithCancel(t.Context())
	end()
	if r.Await(ended, "stdout", "x") {
		t.Error("text that was never written was seen")
	}
	seen := make(chan bool)
	go func() { seen <- r.Await(t.Context(), "stdout", "bc") }()
	r.Stream("stdout", "ab")
	r.Stream("stderr", "?")
	r.Stream("stdout", "cd")
	if !<-seen || r.Text("stdout") != "abcd" || r.Text("stderr") != "?" {
		t.Errorf("stdout %q, stderr %q", r.Text("stdout"), r.Text("stderr"))
	}
	r.Show(display.Plain("1"), "id")
	r.Update(display.Plain("2"), "id")
	if s := r.Shown(); len(s) != 2 || s[0].Update || !s[1].Update || s[1].ID != "id" || s[1].Bundle.Text() != "2" {
		t.Errorf("shown %+v", s)
	}
	if text, err := r.Input(t.Context(), "name?", false); text != "Ada" || err != nil {
		t.Errorf("first answer %q, %v", text, err)
	}
	if text, err := r.Input(t.Context(), "name?", false); err == nil {
		t.Errorf("second answer %q", text)
	}
}
