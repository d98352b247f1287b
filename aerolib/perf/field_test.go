package perf

import (
	"errors"
	"math"
	"strings"
	"testing"

	"foreplane/aerolib/drag"
	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/unit"
)

// TestTextbookLanding dumps the lift and brakes at once, as the book does.
func TestTextbookLanding(t *testing.T) {
	reference.Check(t, "R8", 0, func(in reference.Inputs) reference.Values {
		a, r := textbook(t, in), Runway{Air: airAt(t, 0), Surface: Surface{Braking: in.Get("mu_r")}}
		a.Polar = drag.Parabola{CD0: in.Get("CD0"), K: 0.06}
		f := must[Field](t)(a.Land(Landing{Runway: r, Touchdown: 1.3, Delay: -1, Pull: 1.5}))
		// the flare takes some speed, which the book leaves out
		braking := must[Segment](t)(f.Get("braking"))
		touchdown := f.Segments[len(f.Segments)-2].End
		return reference.Values{"V_T": 1.3 * f.Stall, "s_L": braking.Distance * math.Pow(1.3*f.Stall/touchdown, 2)}
	})
}

// light returns a light aeroplane with a propeller.
func light() Aeroplane {
	return Aeroplane{Name: "light", Mass: 750, Area: 9.45, Span: 9, Polar: drag.Parabola{CD0: 0.028, K: 0.045}, MaxLift: 1.4, Fuel: 80,
		Propulsion: Propeller{Power: 85 * unit.Kilowatt, Efficiency: 0.85, Diameter: 1.7, Consumption: 0.3 * unit.KilogramPerKilowattHour}}
}

// TestRunClosedForm compares the run on the wheels with its integral for thrust and coefficients that do not change,
//
//	s = m/(2k) ln(A/(A − k V²)),   A = T − μ W,   k = ½ρS (CD − μ CL)
//
// without wind, and with the further terms of wind.
func TestRunClosedForm(t *testing.T) {
	air := airAt(t, 600)
	for _, wind := range []unit.Speed{0, 5, -4} {
		a := light()
		a.Propulsion = Jet{Thrust: 2000}
		s := TakeOff{Runway: Runway{Air: air, Surface: Surface{Rolling: 0.05}, Headwind: wind}, Ground: Ground{RollLift: 0.4}}
		f := must[Field](t)(a.TakeOff(s))
		run := must[Segment](t)(f.Get("run"))
		A := 2000 - 0.05*a.Weight()
		k := air.Density / 2 * a.Area * (0.028 + 0.045*0.16 - 0.05*0.4)
		V, V0 := 1.1*f.Stall, wind
		root := math.Sqrt(A / k)
		want := a.Mass/(2*k)*math.Log((A-k*V0*V0)/(A-k*V*V)) - wind*a.Mass/(k*root)*(math.Atanh(V/root)-math.Atanh(V0/root))
		if wind < 0 {
			continue // air from behind neither lifts nor slows, which the formula does not know
		}
		if math.Abs(run.Distance/want-1) > 1e-6 {
			t.Errorf("headwind %g: run %.4f m, want %.4f", wind, run.Distance, want)
		}
	}
}

// TestBrakingClosedForm compares with s = V²/(2μg) without any air force to speak of.
func TestBrakingClosedForm(t *testing.T) {
	a := light()
	a.Polar = drag.Parabola{CD0: 1e-9, K: 0.06}
	slope := 2 * unit.Degree
	f := must[Field](t)(a.Land(Landing{Runway: Runway{Air: airAt(t, 0), Surface: Surface{Rolling: 0, Braking: 0.35}, Slope: slope}, Angle: 2 * unit.Degree, Delay: -1}))
	braking := must[Segment](t)(f.Get("braking"))
	from := f.Segments[len(f.Segments)-2].End
	want := from * from / (2 * g * (0.35*math.Cos(slope) + math.Sin(slope)))
	if math.Abs(braking.Distance/want-1) > 1e-6 {
		t.Errorf("braking %.4f m, want %.4f", braking.Distance, want)
	}
}

// TestFieldTrends holds what every pilot knows, with the sign of each.
func TestFieldTrends(t *testing.T) {
	base := func() (Aeroplane, TakeOff, Landing) {
		r := Runway{Air: airAt(t, 0)}
		ground := Ground{RollLift: 0.4, Height: 1}
		return light(), TakeOff{Runway: r, Ground: ground}, Landing{Runway: r, Ground: ground}
	}
	distances := func(change func(*Aeroplane, *TakeOff, *Landing)) (float64, float64) {
		a, to, la := base()
		change(&a, &to, &la)
		return must[Field](t)(a.TakeOff(to)).Sum().Distance, must[Field](t)(a.Land(la)).Sum().Distance
	}
	off, on := distances(func(*Aeroplane, *TakeOff, *Landing) {})
	for name, c := range map[string]struct {
		change  func(*Aeroplane, *TakeOff, *Landing)
		off, on float64 // sign of the change
	}{
		"mass":       {func(a *Aeroplane, _ *TakeOff, _ *Landing) { a.Mass *= 1.1 }, 1, 1},
		"headwind":   {func(_ *Aeroplane, s *TakeOff, l *Landing) { s.Runway.Headwind, l.Runway.Headwind = 5, 5 }, -1, -1},
		"tailwind":   {func(_ *Aeroplane, s *TakeOff, l *Landing) { s.Runway.Headwind, l.Runway.Headwind = -3, -3 }, 1, 1},
		"uphill":     {func(_ *Aeroplane, s *TakeOff, l *Landing) { s.Runway.Slope, l.Runway.Slope = 0.02, 0.02 }, 1, -1},
		"height":     {func(_ *Aeroplane, s *TakeOff, l *Landing) { s.Runway.Air = airAt(t, 2000); l.Runway.Air = s.Runway.Air }, 1, 1},
		"maximum":    {func(a *Aeroplane, _ *TakeOff, _ *Landing) { a.MaxLift = 1.2 }, 1, 1},
		"no ground":  {func(_ *Aeroplane, s *TakeOff, l *Landing) { s.Ground.Height, l.Ground.Height = 0, 0 }, 1, -1},
		"soft turf":  {func(_ *Aeroplane, s *TakeOff, l *Landing) { s.Runway.Surface, l.Runway.Surface = SoftTurf, SoftTurf }, 1, 1},
		"drag":       {func(a *Aeroplane, _ *TakeOff, _ *Landing) { a.Polar = drag.Parabola{CD0: 0.04, K: 0.045} }, 1, -1},
		"more climb": {func(a *Aeroplane, s *TakeOff, l *Landing) { s.Climb, l.Approach = 1.3, 1.4 }, 1, 1},
	} {
		a, b := distances(c.change)
		if (a-off)*c.off <= 0 || (b-on)*c.on <= 0 {
			t.Errorf("%s: take-off %.1f m from %.1f, landing %.1f m from %.1f", name, a, off, b, on)
		}
	}
}

// wheels are those of a light aeroplane with a foreplane: cm is what its control gives.
func wheels(cm unit.Coefficient) *Wheels {
	return &Wheels{Arm: 0.25, Height: 1, Thrust: 1.1, Inertia: 900, Chord: 1.09, CL: 0.6, Cm: cm, CLAlpha: 5, CmAlpha: -0.5, CmQ: -10, Most: 14 * unit.Degree}
}

// TestUnstick sums the moments about the wheels by hand: at the unstick speed nothing is on the nose wheel.
func TestUnstick(t *testing.T) {
	a, w := light(), wheels(0.25)
	a.Propulsion = Jet{Thrust: 1500}
	s := TakeOff{Runway: Runway{Air: airAt(t, 0), Surface: Surface{Rolling: 0.03}, Slope: 0.01}, Ground: Ground{RollLift: 0.4, Wheels: w}}
	V := must[float64](t)(a.Unstick(s))
	q := 1.225 / 2 * V * V
	lift, weight := q*9.45*0.6, 750*9.80665
	D := q * 9.45 * (0.028 + 0.045*0.36)
	m := (1500 - D - 0.03*(weight*math.Cos(0.01)-lift)) - weight*math.Sin(0.01) // m a
	moment := q*9.45*1.09*0.25 + 0.25*lift + 1*D - 1.1*1500 + 1*m - 0.25*weight*math.Cos(0.01) + 1*weight*math.Sin(0.01)
	if math.Abs(moment) > 1e-3*weight {
		t.Errorf("at %.2f m/s the moment is %.3f N m", V, moment)
	}
	for name, change := range map[string]func(*Wheels){
		"higher thrust":  func(w *Wheels) { w.Thrust += 0.2 },
		"longer arm":     func(w *Wheels) { w.Arm += 0.05 },
		"less moment":    func(w *Wheels) { w.Cm -= 0.05 },
		"less lift":      func(w *Wheels) { w.CL -= 0.1 },
		"CG lower":       func(w *Wheels) { w.Height -= 0.2 },
		"steeper damped": func(w *Wheels) { w.Cm -= 0.02; w.CmQ = 0 },
	} {
		other := *w
		change(&other)
		s.Ground.Wheels = &other
		if later := must[float64](t)(a.Unstick(s)); later <= V {
			t.Errorf("%s: unstick %.2f m/s, not above %.2f", name, later, V)
		}
	}
}

// TestRotationLimit holds that a foreplane too weak to raise the nose at the rotation speed lengthens the run, and that one that never can is told.
func TestRotationLimit(t *testing.T) {
	a := light()
	s := TakeOff{Runway: Runway{Air: airAt(t, 0)}, Ground: Ground{RollLift: 0.4, Height: 1, Wheels: wheels(0.3)}}
	strong := must[Field](t)(a.TakeOff(s))
	s.Ground.Wheels = wheels(0.05)
	weak := must[Field](t)(a.TakeOff(s))
	if strong.Sum().Distance >= weak.Sum().Distance || len(strong.Notes) != 0 || len(weak.Notes) == 0 {
		t.Errorf("strong %.0f m %v, weak %.0f m %v", strong.Sum().Distance, strong.Notes, weak.Sum().Distance, weak.Notes)
	}
	s.Ground.Wheels = wheels(-0.3)
	var cannot *ImpossibleError
	if _, err := a.TakeOff(s); !errors.As(err, &cannot) || !strings.Contains(err.Error(), "nose") {
		t.Errorf("too weak at all: %v", err)
	}
}

// TestFieldErrors has the bad input that must be named.
func TestFieldErrors(t *testing.T) {
	air := airAt(t, 0)
	run := func(change func(*Aeroplane, *TakeOff)) error {
		a, s := light(), TakeOff{Runway: Runway{Air: air}}
		change(&a, &s)
		_, err := a.TakeOff(s)
		return err
	}
	var wind *WindError
	if err := run(func(_ *Aeroplane, s *TakeOff) { s.Runway.Headwind = -45 }); !errors.As(err, &wind) || !strings.Contains(err.Error(), "tailwind of 45.0 m/s") {
		t.Errorf("tailwind: %v", err)
	}
	var cannot *ImpossibleError
	if err := run(func(a *Aeroplane, _ *TakeOff) { a.Propulsion = Jet{Thrust: 100} }); !errors.As(err, &cannot) {
		t.Errorf("little thrust: %v", err)
	}
	if err := run(func(a *Aeroplane, s *TakeOff) { s.Runway.Slope = 0.15; a.Mass = 1200 }); !errors.As(err, &cannot) {
		t.Errorf("steep: %v", err)
	}
	var positive *unit.PositiveError
	if err := run(func(a *Aeroplane, _ *TakeOff) { a.Mass = -750 }); !errors.As(err, &positive) || positive.Arg != "mass" {
		t.Errorf("negative mass: %v", err)
	}
	if err := run(func(a *Aeroplane, _ *TakeOff) { a.Propulsion = Propeller{Efficiency: 0.8, Diameter: 1.6} }); !errors.As(err, &positive) || positive.Arg != "power" {
		t.Errorf("no power: %v", err)
	}
	if err := run(func(a *Aeroplane, _ *TakeOff) { a.MaxLift = 0 }); !errors.As(err, &positive) {
		t.Errorf("no greatest lift: %v", err)
	}
	if err := run(func(_ *Aeroplane, s *TakeOff) { s.Runway.Air.Density = math.NaN() }); !errors.As(err, &positive) {
		t.Errorf("no air: %v", err)
	}
	if _, err := light().Land(Landing{Runway: Runway{Air: air}, Angle: 12 * unit.Degree}); !errors.As(err, &cannot) || !strings.Contains(err.Error(), "approach at 12") {
		t.Errorf("steep approach: %v", err)
	}
	if _, err := light().Land(Landing{Runway: Runway{Air: air, Slope: -0.1, Surface: Surface{Braking: 0.05}}}); !errors.As(err, &cannot) {
		t.Errorf("brakes that do not hold: %v", err)
	}
}

func TestFieldCaution(t *testing.T) {
	f := must[Field](t)(light().TakeOff(TakeOff{Runway: Runway{Air: airAt(t, 0)}}))
	if !strings.Contains(f.Caution, "approved flight manual") {
		t.Errorf("caution %q", f.Caution)
	}
}
