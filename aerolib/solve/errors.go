package solve

import "fmt"

// BracketError says that a function has the same sign at both ends of an interval, so that it need not be zero in it.
type BracketError struct{ A, FA, B, FB float64 }

func (e *BracketError) Error() string {
	return fmt.Sprintf("solve.Root: no change of sign: the function is %.6g at %.6g and %.6g at %.6g", e.FA, e.A, e.FB, e.B)
}

// ValueError says that a function has no finite value somewhere.
type ValueError struct {
	Func     string
	X, Value float64
}

func (e *ValueError) Error() string {
	return fmt.Sprintf("%s: the function is %g at %.6g, must be finite", e.Func, e.Value, e.X)
}

// StepError says that an integration has not come to its event.
type StepError struct {
	Reason string
	T      float64
	Y      []float64 // how far it came
}

func (e *StepError) Error() string {
	return fmt.Sprintf("solve.Path: %s at %.6g, where the state is %.6g", e.Reason, e.T, e.Y)
}
