//go:build !linux && !darwin

package cell

// explainFiles has nothing to add where no limit of open files is set.
func explainFiles(err error) string { return err.Error() }
