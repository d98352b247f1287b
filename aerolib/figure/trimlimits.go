package figure

import (
	"fmt"
	"math"
	"strings"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

// Deflections draws the deflection that trims against equivalent airspeed, a curve for each aeroplane or loading, and says what the sign of the slope is to the pilot.
func Deflections(curves ...trim.Curve) *Figure {
	f := New("Deflection that trims", Axis{Label: "Equivalent airspeed V_E", Unit: "kt"}, Axis{Label: "Deflection δ, trailing edge down", Unit: "°", Zero: true})
	var words []string
	for _, c := range curves {
		if f.checkTrims("Deflections", c.Results); len(c.Results) == 0 {
			return f
		}
		first := c.Results[0]
		label := fmt.Sprintf("%s, CG %s", first.Aircraft, station(first.CG))
		var speed, deflection []float64
		for _, r := range c.Results {
			speed, deflection = append(speed, r.Equivalent), append(deflection, r.Deflection)
		}
		f.Curve(label, speed, deflection)
		words = append(words, first.Aircraft+": "+c.Meaning())
		if len(c.Beyond) > 0 {
			words = append(words, "Beyond the limits of the control: "+strings.Join(c.Beyond, "; ")+".")
		}
	}
	if len(curves) == 0 {
		return f.fail("Deflections", f.Title, "no curves of trim")
	}
	if len(curves) == 1 {
		for i, name := range []string{"least deflection", "greatest deflection"} {
			f.Level(name, curves[0].Results[0].Limits[i])
		}
	}
	f.Caption = strings.Join(append(words, caution), " ")
	return f
}

// MomentLimits draws the moment about the CG against the lift coefficient at the least and the greatest deflection of the control that trims, at none, and at that of the
// trim, with lines at the trim, at the lift in trim with which the sections of each surface reach their greatest, and at that with which the control reaches its limits.
// What lies beyond angles of attack of ±25° is not shown.
func MomentLimits(r trim.Result) *Figure {
	const far unit.Angle = 25 * unit.Degree
	f := Moments(r, []unit.Angle{-far / 2, far}, []unit.Angle{r.Limits[0], 0, r.Deflection, r.Limits[1]})
	if f.Err() != nil {
		return f
	}
	f.Limit("trim", r.CL)
	for _, l := range r.Loads {
		if l.Critical.Reached > 0 {
			f.Limit("section limit of the "+l.Name, l.Critical.Reached)
		}
	}
	for _, delta := range r.Limits {
		alpha := -(r.Model.Cm0 + r.Model.CmDelta*delta) / r.Model.CmAlpha
		if CL, _ := r.Model.At(alpha, delta); math.Abs(alpha) <= far {
			f.Limit("trimmed at δ = "+significant(delta/unit.Degree, 3)+"°", CL)
		}
	}
	return f
}

// TrimPoints draws an aeroplane from three sides with its CG, its neutral point and manoeuvre point in a trim, and the aerodynamic centres of its surfaces.
func TrimPoints(a aircraft.Aircraft, r trim.Result) *Figure {
	stations := []Station{{NeutralPoint, "neutral point", r.Neutral.X}, {Dot, "manoeuvre point", r.Pull.Point}}
	for _, l := range r.Loads {
		stations = append(stations, Station{Dot, "centre of the " + l.Name, r.CG + l.Arm})
	}
	a.CG = r.CG
	f := Aeroplane(a, stations...)
	f.checkTrims("TrimPoints", []trim.Result{r})
	return f
}
