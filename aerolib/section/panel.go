package section

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"foreplane/aerolib/unit"
)

// Flow is the frictionless flow about a contour, solved once for all angles of attack: it is the sum of the flows at 0 and at 90 degrees, weighted by cos α and
// sin α. Make it with [Panels].
type Flow struct {
	Contour Contour
	panels  []panel
	lu      mat.LU
	tangent *mat.Dense   // tangential speed at each panel for unit sources and unit vortex strength
	unit    [2][]float64 // sources and vortex strength at 0° and 90°
}

// panel is a straight piece of the contour, run through anticlockwise: the outside is to its right.
type panel struct {
	from, mid Point
	length    unit.Ratio
	tx, tz    unit.Ratio // direction
}

// Pressures are the speeds and pressures on a contour at one angle of attack, at the midpoints of its panels, in the order of its points.
type Pressures struct {
	Alpha  unit.Angle
	X, Z   []unit.Ratio
	Speed  []unit.Ratio       // along the surface over that of the free stream, positive from the upper trailing edge around the nose
	Cp     []unit.Coefficient // 1 − Speed²
	CL, CM unit.Coefficient   // cm about the quarter chord
	CD     unit.Coefficient   // of the pressures; without friction it is the error of the method
}

// Panels solves the frictionless flow about a contour: each panel carries a constant source σ_j, all of them one vortex strength γ, such that nothing passes through
// the midpoint of any panel and the speeds along the two panels at the trailing edge are equal,
//
//	Σ_j σ_j A_ij + γ Σ_j B_ij = −V·n_i,   V_t(first) + V_t(last) = 0
//
// ([Hess]; [Moran], ch. 4). An open trailing edge is left open. With 160 panels the speeds of NACA 0012 are within 0.008 of the table of [TR824], away from the last few
// panels. A cusp is beyond the method: sources on facing panels fight each other, and cl of a cambered Joukowski section comes out 9 % low (5 % with 320 panels).
// It returns a [*ContourError] if the equations have no solution.
func Panels(c Contour) (*Flow, error) {
	f := &Flow{Contour: c, panels: cut(c.points)}
	n := len(f.panels)
	if n == 0 {
		return nil, &ContourError{c.Name, "it has no points"}
	}
	through := mat.NewDense(n+1, n+1, nil)
	f.tangent = mat.NewDense(n, n+1, nil)
	for i := range f.panels {
		f.influence(i, through, f.tangent)
	}
	for j := range n + 1 {
		through.Set(n, j, f.tangent.At(0, j)+f.tangent.At(n-1, j))
	}
	f.lu.Factorize(through)
	for k, stream := range []Point{{1, 0}, {0, 1}} {
		rhs := make([]float64, n+1)
		for i, p := range f.panels {
			rhs[i] = -(stream.X*p.tz - stream.Z*p.tx)
		}
		first, last := f.panels[0], f.panels[n-1]
		rhs[n] = -(stream.X*(first.tx+last.tx) + stream.Z*(first.tz+last.tz))
		var err error
		if f.unit[k], err = f.solve(rhs); err != nil {
			return nil, err
		}
	}
	return f, nil
}

func (f *Flow) solve(rhs []float64) ([]float64, error) {
	x := mat.NewVecDense(len(rhs), nil)
	if err := f.lu.SolveVecTo(x, false, mat.NewVecDense(len(rhs), rhs)); err != nil {
		return nil, &ContourError{f.Contour.Name, "its panels have no solution: " + err.Error()}
	}
	return x.RawVector().Data, nil
}

func cut(points []Point) []panel {
	var panels []panel
	for i := 1; i < len(points); i++ {
		p, q := points[i-1], points[i]
		l := distance(p, q)
		panels = append(panels, panel{p, Point{(p.X + q.X) / 2, (p.Z + q.Z) / 2}, l, (q.X - p.X) / l, (q.Z - p.Z) / l})
	}
	return panels
}

// influence fills row i: the speeds at the midpoint of panel i, normal to it and along it, that unit sources on each panel and unit vortex strength on all give.
func (f *Flow) influence(i int, through, tangent *mat.Dense) {
	p, n := f.panels[i], len(f.panels)
	normalVortex, tangentVortex := 0.0, 0.0
	for j, q := range f.panels {
		along, across := 0.0, -0.5 // of a panel on itself: the outside is to its right
		if i != j {
			along, across = q.source(p.mid)
		}
		// source velocity (along, across) in axes of q; a vortex turns it by a right angle
		sx, sz := along*q.tx-across*q.tz, along*q.tz+across*q.tx
		vx, vz := across*q.tx+along*q.tz, across*q.tz-along*q.tx
		through.Set(i, j, sx*p.tz-sz*p.tx)
		tangent.Set(i, j, sx*p.tx+sz*p.tz)
		normalVortex += vx*p.tz - vz*p.tx
		tangentVortex += vx*p.tx + vz*p.tz
	}
	through.Set(i, n, normalVortex)
	tangent.Set(i, n, tangentVortex)
}

// source returns the speeds along and to the left of the panel at point p that a unit source gives,
//
//	u = ln(r₁/r₂)/2π,   w = (θ₂ − θ₁)/2π
func (q panel) source(p Point) (along, across unit.Ratio) {
	x := (p.X-q.from.X)*q.tx + (p.Z-q.from.Z)*q.tz
	z := (p.Z-q.from.Z)*q.tx - (p.X-q.from.X)*q.tz
	along = math.Log((x*x+z*z)/((x-q.length)*(x-q.length)+z*z)) / (4 * math.Pi)
	return along, math.Atan2(z*q.length, x*(x-q.length)+z*z) / (2 * math.Pi)
}

// At returns the pressures at an angle of attack. It returns a [*unit.RangeError] for α outside ±90°. Without friction nothing stalls: beyond about 10° the result
// is what the shape would do if the flow stayed on.
func (f *Flow) At(alpha unit.Angle) (Pressures, error) {
	if err := unit.CheckRange("section.Flow.At", "angle of attack", alpha, -90*unit.Degree, 90*unit.Degree, "°"); err != nil {
		return Pressures{}, err
	}
	return f.pressures(alpha, f.strengths(alpha)), nil
}

func (f *Flow) strengths(alpha unit.Angle) []float64 {
	sin, cos := math.Sincos(alpha)
	out := make([]float64, len(f.unit[0]))
	for j := range out {
		out[j] = cos*f.unit[0][j] + sin*f.unit[1][j]
	}
	return out
}

// pressures sums up. Lift is that of the circulation, cl = 2Γ; moment and drag integrate the pressures.
func (f *Flow) pressures(alpha unit.Angle, strengths []float64) Pressures {
	n := len(f.panels)
	sin, cos := math.Sincos(alpha)
	var speed mat.VecDense
	speed.MulVec(f.tangent, mat.NewVecDense(n+1, strengths))
	out := Pressures{Alpha: alpha}
	fx, fz := 0.0, 0.0
	for i, p := range f.panels {
		v := speed.AtVec(i) + cos*p.tx + sin*p.tz
		cp := 1 - v*v
		out.X, out.Z = append(out.X, p.mid.X), append(out.Z, p.mid.Z)
		out.Speed, out.Cp = append(out.Speed, v), append(out.Cp, cp)
		dx, dz := -cp*p.tz*p.length, cp*p.tx*p.length // force on the panel, against its outward normal
		fx, fz = fx+dx, fz+dz
		out.CM += dx*p.mid.Z - dz*(p.mid.X-0.25)
		out.CL -= 2 * v * p.length
	}
	out.CD = fx*cos + fz*sin
	return out
}
