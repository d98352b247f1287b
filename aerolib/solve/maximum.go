package solve

import "math"

// Maximum returns x between a and b where f is greatest, by golden sections and parabolas ([Brent], ch. 5): to about 1e-8 of x, since f is flat there. f must have
// one maximum between a and b, which may be an end; of several one is found. It returns a [*ValueError] where f is not finite.
func Maximum(f func(float64) float64, a, b float64) (float64, error) {
	const golden = 0.3819660112501051 // (3 − √5)/2
	x := a + golden*(b-a)
	best := point{x, f(x)}
	second, third := best, best
	step, before := 0.0, 0.0
	for {
		if err := finite("solve.Maximum", best); err != nil {
			return 0, err
		}
		middle, tolerance := (a+b)/2, 1e-9*math.Abs(best.x)+1e-12*math.Abs(b-a)
		if math.Abs(best.x-middle) <= 2*tolerance-(b-a)/2 {
			return best.x, nil
		}
		step, before = parabola(best, second, third, step, before)
		if at := best.x + step; step == 0 || at-a < 2*tolerance || b-at < 2*tolerance {
			if before = b - best.x; best.x >= middle {
				before = a - best.x
			}
			step = golden * before
		}
		if math.Abs(step) < tolerance {
			step = math.Copysign(tolerance, step)
		}
		p := point{best.x + step, f(best.x + step)}
		if err := finite("solve.Maximum", p); err != nil {
			return 0, err
		}
		a, b = narrow(a, b, best, p)
		switch {
		case p.f >= best.f:
			best, second, third = p, best, second
		case p.f >= second.f || second.x == best.x:
			second, third = p, second
		case p.f >= third.f || third.x == best.x || third.x == second.x:
			third = p
		}
	}
}

// narrow returns the part of the interval that holds the better of two points.
func narrow(a, b float64, best, p point) (float64, float64) {
	if (p.f >= best.f) == (p.x >= best.x) {
		return min(best.x, p.x), b
	}
	return a, max(best.x, p.x)
}

// parabola returns the step from the best point to the vertex of the parabola through three, and the step that is now the one before; 0 where the vertex is a minimum,
// or further than half of that.
func parabola(best, second, third point, step, before float64) (float64, float64) {
	r := (best.x - second.x) * (best.f - third.f)
	q := (best.x - third.x) * (best.f - second.f)
	top, bottom := (best.x-third.x)*q-(best.x-second.x)*r, 2*(q-r)
	move := -top / bottom
	if !(math.Abs(move) < math.Abs(before)/2) {
		return 0, step
	}
	return move, step
}
