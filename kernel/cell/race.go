package cell

// setFlag sets a variable that interpreted code reads. The reader cannot be synchronised with it: that would cost more than the loop around it.
//
//go:norace
func setFlag(flag *bool, value bool) { *flag = value }

// setLimit is setFlag for the limit of depth.
//
//go:norace
func setLimit(limit *int, value int) { *limit = value }
