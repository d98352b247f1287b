package worker

import "testing"

// TestStopFirst holds that a program stops whose word to stop has overtaken it, and no other.
func TestStopFirst(t *testing.T) {
	s := new(server)
	first := s.begin(1)
	s.stop(2)
	if first.Err() != nil {
		t.Error("the program before is stopped")
	}
	second := s.begin(2)
	s.stop(1) // the end of the first
	if second.Err() == nil {
		t.Error("the program is not stopped")
	}
	if third := s.begin(3); third.Err() != nil {
		t.Error("the program after is stopped")
	}
}
