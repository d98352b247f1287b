package section

import "fmt"

// DesignationError says why a text does not designate a section.
type DesignationError struct {
	Designation string
	Reason      string // what is wrong, and what to write or do instead
}

func (e *DesignationError) Error() string {
	return fmt.Sprintf("section.NACA: %q is no section: %s", e.Designation, e.Reason)
}

// MeanLineError says why a mean line cannot be used.
type MeanLineError struct {
	Name   string
	Reason string
}

func (e *MeanLineError) Error() string {
	return fmt.Sprintf("section: mean line %q: %s", e.Name, e.Reason)
}

// ContourError says why coordinates are no aerofoil.
type ContourError struct {
	Name   string
	Reason string
}

func (e *ContourError) Error() string {
	return fmt.Sprintf("section: contour %q: %s", e.Name, e.Reason)
}

// FileError says which line of a file cannot be read.
type FileError struct {
	Line   int // 1 is the first
	Reason string
}

func (e *FileError) Error() string { return fmt.Sprintf("section: line %d: %s", e.Line, e.Reason) }
