package solve

import "math"

// precision is relative to the greater end of the interval.
const precision = 1e-13

// Root returns x between a and b with f(x) = 0, to 1e-13 of the greater end, by inverse quadratic interpolation where it is safe and bisection where it is not
// ([Chandrupatla]). It returns a [*BracketError] if f does not change its sign from a to b, and a [*ValueError] where f is not finite.
func Root(f func(float64) float64, a, b float64) (float64, error) {
	newer, older := point{b, f(b)}, point{a, f(a)}
	if err := finite("solve.Root", newer, older); err != nil {
		return 0, err
	}
	if newer.f*older.f > 0 {
		return 0, &BracketError{a, older.f, b, newer.f}
	}
	tolerance := precision * max(math.Abs(a), math.Abs(b))
	for part := 0.5; ; {
		third := newer
		x := newer.x + part*(older.x-newer.x)
		p := point{x, f(x)}
		if err := finite("solve.Root", p); err != nil {
			return 0, err
		}
		if p.f*newer.f <= 0 {
			third, older = older, newer
		}
		newer = p
		best := newer
		if math.Abs(older.f) < math.Abs(best.f) {
			best = older
		}
		least := tolerance / math.Abs(older.x-newer.x)
		if best.f == 0 || least > 0.5 {
			return best.x, nil
		}
		part = min(max(next(newer, older, third), least), 1-least)
	}
}

// point is a point of the graph of a function.
type point struct{ x, f float64 }

// next returns how far from the newest point to the other end of the bracket the next one should be.
func next(p, q, r point) float64 {
	xi, phi := (p.x-q.x)/(r.x-q.x), (p.f-q.f)/(r.f-q.f)
	if 1-math.Sqrt(1-xi) < phi && phi < math.Sqrt(xi) { // the inverse parabola through the three is monotonous
		return p.f/(p.f-q.f)*r.f/(r.f-q.f) - (r.x-p.x)/(q.x-p.x)*p.f/(r.f-p.f)*q.f/(q.f-r.f)
	}
	return 0.5
}

func finite(function string, points ...point) error {
	for _, p := range points {
		if math.IsNaN(p.f) || math.IsInf(p.f, 0) {
			return &ValueError{function, p.x, p.f}
		}
	}
	return nil
}
