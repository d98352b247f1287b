package perf

import (
	"errors"
	"math"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/solve"
	"foreplane/aerolib/unit"
)

// Fastest returns the climb of greatest rate, at V_Y. It returns an [*ImpossibleError] if the aeroplane has no engine, or cannot hold its height at any speed.
func (a Aeroplane) Fastest(air atmos.Air) (Flight, error) {
	return a.bestClimb("perf.Fastest", air, func(f Flight) float64 { return f.Rate })
}

// Steepest returns the climb of greatest angle, at V_X, which for many aeroplanes with propellers is the stalling speed. It returns errors as [Aeroplane.Fastest].
func (a Aeroplane) Steepest(air atmos.Air) (Flight, error) {
	return a.bestClimb("perf.Steepest", air, func(f Flight) float64 { return f.Angle })
}

func (a Aeroplane) bestClimb(function string, air atmos.Air, of func(Flight) float64) (Flight, error) {
	if _, err := a.propulsion("climb"); err != nil {
		return Flight{}, err
	}
	f, err := a.greatest(function, air, Aeroplane.climb, of)
	if err == nil && f.Rate <= 0 {
		return f, &ImpossibleError{a.name(), "climb in air of " + unit.Format(air.Density, "kg/m³"),
			"sinks at " + unit.FormatPair(-f.Rate, "VerticalSpeed") + " even at " + unit.FormatPair(f.Speed, "TrueAirspeed")}
	}
	return f, err
}

// BestGlide returns the glide that goes furthest over the ground, with the wind ahead or, negative, behind, and air that rises. It is the tangent to the sink polar
// from the point (headwind, rise):
//
//	(V cos γ − headwind)/(sink − rise) is greatest
//
// It returns an [*ImpossibleError] if the wind is too strong to get ahead against, or if rising air holds the aeroplane up, so that there is no end to the glide.
func (a Aeroplane) BestGlide(air atmos.Air, headwind unit.Speed, rise unit.VerticalSpeed) (Flight, error) {
	if err := errors.Join(checkWind("perf.BestGlide", "headwind", headwind), checkWind("perf.BestGlide", "rise of the air", rise)); err != nil {
		return Flight{}, err
	}
	least, err := a.LeastSink(air)
	if err != nil {
		return Flight{}, err
	}
	if least.Rate+rise >= 0 {
		return least, &ImpossibleError{a.name(), "glide down", "sinks at " + unit.FormatPair(-least.Rate, "VerticalSpeed") + " in air that rises at " +
			unit.FormatPair(rise, "VerticalSpeed")}
	}
	f, err := a.greatest("perf.BestGlide", air, Aeroplane.glide, func(f Flight) float64 {
		return math.Atan2(f.Speed*math.Cos(f.Angle)-headwind, -f.Rate-rise)
	})
	if err == nil && f.Speed*math.Cos(f.Angle) <= headwind {
		return f, &ImpossibleError{a.name(), "glide ahead", "has a headwind of " + unit.FormatPair(headwind, "Speed")}
	}
	return f, err
}

// LeastSink returns the glide of least rate of sink.
func (a Aeroplane) LeastSink(air atmos.Air) (Flight, error) {
	return a.greatest("perf.LeastSink", air, Aeroplane.glide, func(f Flight) float64 { return f.Rate })
}

// BestRange returns the level flight that takes least fuel, or of an electric aeroplane least energy, for a distance over the ground in a headwind. It returns an
// [*ImpossibleError] without an engine, and if the wind is too strong to get ahead against.
func (a Aeroplane) BestRange(air atmos.Air, headwind unit.Speed) (Flight, error) {
	if err := checkWind("perf.BestRange", "headwind", headwind); err != nil {
		return Flight{}, err
	}
	f, err := a.bestLevel("perf.BestRange", air, func(f Flight) float64 { return (f.Speed - headwind) / f.Plant.taken() })
	if err == nil && f.Speed <= headwind {
		return f, &ImpossibleError{a.name(), "get ahead", "has a headwind of " + unit.FormatPair(headwind, "Speed")}
	}
	return f, err
}

// BestEndurance returns the level flight that takes least fuel, or of an electric aeroplane least energy, for a time. It returns errors as [Aeroplane.BestRange].
func (a Aeroplane) BestEndurance(air atmos.Air) (Flight, error) {
	return a.bestLevel("perf.BestEndurance", air, func(f Flight) float64 { return -f.Plant.taken() })
}

// taken returns what is consumed: fuel, or electric power where there is no fuel.
func (o Output) taken() float64 {
	if o.Fuel > 0 {
		return o.Fuel
	}
	return o.Electric
}

func (a Aeroplane) bestLevel(function string, air atmos.Air, of func(Flight) float64) (Flight, error) {
	if _, err := a.propulsion("fly level"); err != nil {
		return Flight{}, err
	}
	f, err := a.greatest(function, air, Aeroplane.level, func(f Flight) float64 {
		if f.Plant.taken() == 0 {
			return math.NaN()
		}
		return of(f)
	})
	if err == nil && f.Plant.taken() == 0 {
		return f, &ImpossibleError{a.name(), "be flown for least fuel", "has an engine whose consumption is not known"}
	}
	return f, err
}

// greatest returns the flight of a kind, at the speed at which something is greatest: the best of a row of speeds, then the top between its neighbours.
func (a Aeroplane) greatest(function string, air atmos.Air, kind func(Aeroplane, atmos.Air, unit.TrueAirspeed) (Flight, error), of func(Flight) float64) (Flight, error) {
	if err := a.check(function, air); err != nil {
		return Flight{}, err
	}
	row, err := a.row(air)
	if err != nil {
		return Flight{}, err
	}
	value := func(V unit.TrueAirspeed) float64 { // NaN where it cannot be flown
		f, err := kind(a, air, V)
		if err != nil {
			return math.NaN()
		}
		return of(f)
	}
	const enough = 8 // worse ones in a row
	best, most := -1, math.Inf(-1)
	for i, V := range row {
		if v := value(V); v > most {
			best, most = i, v
		} else if best >= 0 && i > best+enough {
			break
		}
	}
	if best < 0 {
		return kind(a, air, row[0]) // says why
	}
	low, high := edge(value, row[best], row[max(best-1, 0)]), edge(value, row[best], row[min(best+1, len(row)-1)])
	V, err := solve.Maximum(value, low, high)
	if err != nil {
		return Flight{}, err
	}
	if v := value(low); v >= value(V) {
		V = low // the stall, exactly
	}
	return kind(a, air, V)
}

// edge returns the speed furthest from good towards another at which something can be flown.
func edge(value func(unit.TrueAirspeed) float64, good, other unit.TrueAirspeed) unit.TrueAirspeed {
	if !math.IsNaN(value(other)) {
		return other
	}
	for range 40 {
		if middle := (good + other) / 2; math.IsNaN(value(middle)) {
			other = middle
		} else {
			good = middle
		}
	}
	return good
}

func checkWind(function, arg string, w unit.Speed) error {
	return unit.CheckRange(function, arg, w, -100*unit.MetrePerSecond, 100*unit.MetrePerSecond, "m/s")
}
