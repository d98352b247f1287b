//go:build !linux && !darwin

package worker

// limitFiles does nothing where the system has no such limit, or another way to set it.
func limitFiles(int) error { return nil }
