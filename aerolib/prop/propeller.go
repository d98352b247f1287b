package prop

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/interp"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// Propeller is the geometry of a propeller.
type Propeller struct {
	Name     string
	Diameter unit.Length
	Blades   unit.Ratio  // their number; 0 is none, which makes no force
	Stations []Station   // of a blade, from root to tip
	Spinner  unit.Length // its diameter; 0 for none
	Section  Section     // of all stations; nil for those of [FlatFaced] with the thickness of each
}

// Station is one chord of a blade.
type Station struct {
	Radius    unit.Ratio // r/R
	Chord     unit.Ratio // c/D
	Twist     unit.Angle // blade angle less that at 75 % of the radius
	Thickness unit.Ratio // t/c; 0 for 12 %
}

// stated is the station that blade angles are stated at, as r/R.
const stated unit.Ratio = 0.75

// Range of the blade angle at 75 % of the radius.
const (
	minPitch unit.Angle = 0
	maxPitch unit.Angle = 75 * unit.Degree
)

// planform is a metal blade of about activity factor 100 (common practice: rounded at the tip, widest at 45 % of the radius, thin outside).
var planform = []Station{
	{Radius: 0.20, Chord: 0.053, Thickness: 0.33}, {Radius: 0.30, Chord: 0.066, Thickness: 0.22}, {Radius: 0.45, Chord: 0.076, Thickness: 0.14},
	{Radius: 0.60, Chord: 0.075, Thickness: 0.105}, {Radius: 0.75, Chord: 0.067, Thickness: 0.09}, {Radius: 0.85, Chord: 0.057, Thickness: 0.08},
	{Radius: 0.95, Chord: 0.040, Thickness: 0.07}, {Radius: 1.00, Chord: 0.018, Thickness: 0.07},
}

// usualBlade returns smooth stations through planform, close enough that straight lines between them do not show in the load.
func usualBlade() []Station {
	var radius, chord, thickness []float64
	for _, s := range planform {
		radius, chord, thickness = append(radius, s.Radius), append(chord, s.Chord), append(thickness, s.Thickness)
	}
	var chords, thicknesses interp.FritschButland
	if err := errors.Join(chords.Fit(radius, chord), thicknesses.Fit(radius, thickness)); err != nil {
		panic(err) // planform is a table of this file
	}
	var blade []Station
	for step := range 33 {
		x := 0.2 + float64(step)/40
		twist := math.Atan(defaultPitchRatio/(math.Pi*x)) - math.Atan(defaultPitchRatio/(math.Pi*stated))
		blade = append(blade, Station{x, chords.Predict(x), twist, thicknesses.Predict(x)})
	}
	return blade
}

// Defaults of blades that are not described (common practice).
const (
	defaultActivity   unit.Ratio = 100
	defaultPitchRatio unit.Ratio = 0.8 // geometric pitch over diameter, the same at all radii
)

// Of returns the propeller of a power plant. Blades that the plant does not describe are those of [Standard] with its activity factor, or 100. It returns an error for a
// diameter that is not above zero, a number of blades outside 0 to 40, and blade stations out of order.
func Of(plant aircraft.Plant) (Propeller, error) {
	activity := plant.ActivityFactor
	if activity == 0 {
		activity = defaultActivity
	}
	p, err := Standard(plant.Name, plant.Diameter, plant.Blades, activity)
	if err != nil {
		return Propeller{}, err
	}
	p.Spinner = plant.Spinner
	if len(plant.Blade) > 0 {
		p.Stations = nil
	}
	for _, b := range plant.Blade {
		p.Stations = append(p.Stations, Station(b))
	}
	return p, p.check("prop.Of")
}

// Standard returns a propeller with blades of the usual shape, scaled to an activity factor ([Propeller.ActivityFactor]), with the twist of a constant geometric pitch
// of 0.8 D. It returns an error for a diameter or activity factor that is not above zero, and for a number of blades outside 0 to 40.
func Standard(name string, diameter unit.Length, blades, activity unit.Ratio) (Propeller, error) {
	p := Propeller{Name: name, Diameter: diameter, Blades: blades, Stations: usualBlade()}
	if err := unit.CheckPositive("prop.Standard", "activity factor", activity, "1"); err != nil {
		return Propeller{}, err
	}
	k := activity / p.ActivityFactor()
	for i := range p.Stations {
		p.Stations[i].Chord *= k
	}
	return p, p.check("prop.Standard")
}

// check reports what makes a propeller none.
func (p Propeller) check(caller string) error {
	if err := unit.CheckPositive(caller, "propeller diameter", p.Diameter, "m"); err != nil {
		return err
	}
	if err := unit.CheckRange(caller, "number of blades", p.Blades, 0, 40, "1"); err != nil {
		return err
	}
	if err := unit.CheckRange(caller, "spinner diameter", p.Spinner, 0, p.Diameter, "m"); err != nil {
		return err
	}
	if len(p.Stations) < 2 {
		return fmt.Errorf("%s: the blade has %d stations, must be at least 2", caller, len(p.Stations))
	}
	inner := 0.0
	for _, s := range p.Stations {
		if err := unit.CheckRange(caller, "radius of a blade station", s.Radius, inner, 1, "1"); err != nil {
			return err
		}
		if err := unit.CheckRange(caller, "chord of a blade station over the diameter", s.Chord, 0, 0.5, "1"); err != nil {
			return err
		}
		if err := unit.CheckRange(caller, "thickness of a blade station over its chord", s.Thickness, 0, 1, "1"); err != nil {
			return err
		}
		if err := unit.CheckRange(caller, "twist of a blade station", s.Twist, -math.Pi/2, math.Pi/2, "°"); err != nil {
			return err
		}
		inner = s.Radius
	}
	return nil
}

// DiscArea returns π D²/4.
func (p Propeller) DiscArea() unit.Area { return math.Pi / 4 * p.Diameter * p.Diameter }

// at returns the station at r/R, linear between those of the blade; outside them it is the nearest.
func (p Propeller) at(radius unit.Ratio) Station {
	i, _ := slices.BinarySearchFunc(p.Stations, radius, func(s Station, x unit.Ratio) int { return cmp.Compare(s.Radius, x) })
	s := p.Stations[min(i, len(p.Stations)-1)]
	if 0 < i && i < len(p.Stations) {
		a := p.Stations[i-1]
		f := (radius - a.Radius) / (s.Radius - a.Radius)
		s = Station{radius, a.Chord + f*(s.Chord-a.Chord), a.Twist + f*(s.Twist-a.Twist), a.Thickness + f*(s.Thickness-a.Thickness)}
	}
	s.Radius = radius
	return s
}

// along returns ∫ f dx over the blade, x = r/R, by Simpson's rule between stations.
func (p Propeller) along(f func(Station) float64) float64 {
	const steps = 4
	sum := 0.0
	for i := 1; i < len(p.Stations); i++ {
		a, b := p.Stations[i-1].Radius, p.Stations[i].Radius
		h := (b - a) / steps
		for k := range steps {
			x := a + float64(k)*h
			sum += (f(p.at(x)) + 4*f(p.at(x+h/2)) + f(p.at(x+h))) * h / 6
		}
	}
	return sum
}

// ActivityFactor returns that of one blade, its capacity to absorb power:
//
//	AF = (10⁵/16) ∫ (c/D) x³ dx     x = r/R, from 0.15 to the tip
func (p Propeller) ActivityFactor() unit.Ratio {
	return 1e5 / 16 * p.along(func(s Station) float64 {
		if s.Radius < 0.15 {
			return 0
		}
		return s.Chord * s.Radius * s.Radius * s.Radius
	})
}

// Solidity returns σ = 2 B c/(π D·0.75) at 75 % of the radius: chords over circumference.
func (p Propeller) Solidity() unit.Ratio {
	return p.Blades * p.at(stated).Chord / (math.Pi * stated)
}
