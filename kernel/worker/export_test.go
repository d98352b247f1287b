package worker

// Gone returns a channel that is closed when the present worker has ended.
func (s *Supervisor) Gone() <-chan struct{} {
	c, err := s.child()
	if err != nil {
		panic(err)
	}
	return c.gone
}
