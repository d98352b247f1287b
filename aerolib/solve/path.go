package solve

import "math"

// Path is an ordinary differential equation dy/dt = f(t, y), integrated by the pair of orders 5 and 4 of [Dormand] with steps chosen by the difference of the two.
// The zero values of the settings are useful.
type Path struct {
	Rates    func(t float64, y, rates []float64) // writes dy/dt to rates
	Relative float64                             // error allowed in a step, relative to the state; 1e-9 if zero
	Absolute float64                             // the same, where the state is near zero; 1e-9 if zero
	First    float64                             // first step; 1e-3 if zero
	Steps    int                                 // allowed; 10000 if zero
	Seen     func(t float64, y []float64)        // is told the start, each step and the end; may be nil
}

// State is a point of a path.
type State struct {
	T float64
	Y []float64
}

// tableau of [Dormand]: nodes, weights of the stages, and the difference of the two formulae. The last stage is the first of the next step.
var (
	nodes   = [7]float64{0, 1. / 5, 3. / 10, 4. / 5, 8. / 9, 1, 1}
	weights = [7][]float64{
		{},
		{1. / 5},
		{3. / 40, 9. / 40},
		{44. / 45, -56. / 15, 32. / 9},
		{19372. / 6561, -25360. / 2187, 64448. / 6561, -212. / 729},
		{9017. / 3168, -355. / 33, 46732. / 5247, 49. / 176, -5103. / 18656},
		{35. / 384, 0, 500. / 1113, 125. / 192, -2187. / 6784, 11. / 84},
	}
	difference = [7]float64{71. / 57600, 0, -71. / 16695, 71. / 1920, -17253. / 339200, 22. / 525, -1. / 40}
)

// Until integrates from start until event, which is negative there, becomes zero, and returns that state. It returns a [*StepError] if that needs too many or too
// small steps, and a [*ValueError] where the rates are not finite. Rates are asked for a little beyond the event.
func (p Path) Until(start State, event func(t float64, y []float64) float64) (State, error) {
	p.Relative, p.Absolute, p.First = or(p.Relative, 1e-9), or(p.Absolute, 1e-9), or(p.First, 1e-3)
	if p.Steps == 0 {
		p.Steps = 10000
	}
	now, h := start, p.First
	p.see(now)
	for range p.Steps {
		next, miss := p.step(now, h)
		if math.IsNaN(miss) {
			if h < 1e-9*p.First {
				return now, &ValueError{"solve.Path", now.T, miss}
			}
			h /= 4
			continue
		}
		factor := min(max(0.9*math.Pow(miss, -0.2), 0.2), 5)
		if miss > 1 {
			if h *= factor; now.T+h == now.T {
				return now, &StepError{"steps become too small", now.T, now.Y}
			}
			continue
		}
		if event(next.T, next.Y) >= 0 {
			return p.at(now, h, event)
		}
		now = next
		p.see(now)
		h *= factor
	}
	return now, &StepError{"no event after all steps", now.T, now.Y}
}

// at returns the state within a step of h where event becomes zero, by the formula of the step itself.
func (p Path) at(now State, h float64, event func(t float64, y []float64) float64) (State, error) {
	part, err := Root(func(part float64) float64 {
		if part == 0 {
			return min(event(now.T, now.Y), 0)
		}
		end, _ := p.step(now, part*h)
		return event(end.T, end.Y)
	}, 0, 1)
	if err != nil {
		return now, err
	}
	end := now
	if part > 0 {
		end, _ = p.step(now, part*h)
	}
	p.see(end)
	return end, nil
}

// step makes a step of h and returns its error over the allowed one.
func (p Path) step(now State, h float64) (State, float64) {
	n := len(now.Y)
	rates := make([]float64, 8*n)
	y := rates[7*n:]
	for stage := range nodes {
		copy(y, now.Y)
		for j, w := range weights[stage] {
			for i, rate := range rates[j*n : (j+1)*n] {
				y[i] += h * w * rate
			}
		}
		p.Rates(now.T+nodes[stage]*h, y, rates[stage*n:(stage+1)*n])
	}
	worst := 0.0
	for i := range y {
		miss := 0.0
		for j, w := range difference {
			miss += h * w * rates[j*n+i]
		}
		miss = math.Abs(miss) / (p.Absolute + p.Relative*max(math.Abs(now.Y[i]), math.Abs(y[i])))
		worst = max(worst, miss) // NaN if miss is
	}
	return State{now.T + h, y}, worst
}

func (p Path) see(s State) {
	if p.Seen != nil {
		p.Seen(s.T, s.Y)
	}
}

func or(value, otherwise float64) float64 {
	if value == 0 {
		return otherwise
	}
	return value
}
