package cell

// setFlag sets a variable that interpreted code reads. The reader cannot be synchronised with it: that would cost more than the loop around it.
//
//go:norace
func setFlag(flag *bool, value bool) { *flag = value }
