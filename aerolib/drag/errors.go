package drag

import "fmt"

// Error says what is wrong with an argument that is no number.
type Error struct {
	Func   string
	Arg    string
	Reason string // follows the argument
}

func (e *Error) Error() string { return fmt.Sprintf("%s: %s %s", e.Func, e.Arg, e.Reason) }
