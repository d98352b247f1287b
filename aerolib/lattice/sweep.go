package lattice

import "fmt"

// sweepEvery is how many states are computed between calls of the hooks.
const sweepEvery = 256

// Sweep returns what [Model.Coefficients] does for many states. All of them cost no more factorisations than one. An error names the state that is at fault.
func (m *Model) Sweep(states []State) ([]Coefficients, error) {
	out := make([]Coefficients, len(states))
	for i, s := range states {
		if i%sweepEvery == 0 {
			if err := m.pause(stageSweep, float64(i)/float64(len(states))); err != nil {
				return nil, err
			}
		}
		c, err := m.Coefficients(s)
		if err != nil {
			return nil, fmt.Errorf("lattice.Sweep: state %d of %d: %w", i+1, len(states), err)
		}
		out[i] = c
	}
	return out, m.pause(stageSweep, 1)
}
