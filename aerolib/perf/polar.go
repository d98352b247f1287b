package perf

import (
	"math"

	"foreplane/aerolib/unit"
)

// Parabola is the polar of textbooks,
//
//	CD = CD0 + K CL²
//
// with K = 1/(π A e) ([Anderson], ch. 2). It knows nothing of stall.
type Parabola struct {
	CD0 unit.Coefficient
	K   unit.Ratio
}

// NewParabola returns the parabolic polar of a wing of aspect ratio A with Oswald factor e. It returns a [*unit.PositiveError] for arguments not above zero.
func NewParabola(CD0 unit.Coefficient, A, e unit.Ratio) (Parabola, error) {
	for _, arg := range []struct {
		name  string
		value float64
	}{{"CD0", CD0}, {"aspect ratio", A}, {"Oswald factor", e}} {
		if err := unit.CheckPositive("perf.NewParabola", arg.name, arg.value, "1"); err != nil {
			return Parabola{}, err
		}
	}
	return Parabola{CD0, 1 / (math.Pi * A * e)}, nil
}

// CD returns the drag coefficient.
func (p Parabola) CD(CL unit.Coefficient) unit.Coefficient { return p.CD0 + p.K*CL*CL }

// MaxLiftToDrag returns the greatest CL/CD, 1/(2 √(K CD0)), and its lift coefficient, √(CD0/K).
func (p Parabola) MaxLiftToDrag() (CL unit.Coefficient, ratio unit.Ratio) {
	return math.Sqrt(p.CD0 / p.K), 1 / (2 * math.Sqrt(p.K*p.CD0))
}

// MaxEndurance returns the greatest CL^1.5/CD, ¼ (3/(K CD0^⅓))^¾, and its lift coefficient, √(3 CD0/K).
func (p Parabola) MaxEndurance() (CL unit.Coefficient, ratio unit.Ratio) {
	return math.Sqrt(3 * p.CD0 / p.K), 0.25 * math.Pow(3/(p.K*math.Cbrt(p.CD0)), 0.75)
}
