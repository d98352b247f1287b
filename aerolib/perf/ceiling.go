package perf

import (
	"cmp"
	"math"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/solve"
	"foreplane/aerolib/unit"
)

// ServiceRate is the rate of climb that is left at the service ceiling, 100 ft/min.
const ServiceRate unit.VerticalSpeed = 100 * unit.FootPerMinute

// Ceiling returns where on a day the greatest rate of climb has fallen to a given one: the absolute ceiling for 0, the service ceiling for [ServiceRate].
// It returns an [*ImpossibleError] if the rate is not reached at sea level, or still is at 30 km.
func (a Aeroplane) Ceiling(day atmos.Day, rate unit.VerticalSpeed) (unit.GeopotentialAltitude, error) {
	const highest, step = 30 * unit.Kilometre, unit.Kilometre
	if err := unit.CheckRange("perf.Ceiling", "rate of climb", rate, 0, math.Inf(1), "ft/min"); err != nil {
		return 0, err
	}
	low, margin := 0.0, 0.0
	for high := 0.0; high <= highest; high += step {
		over, err := a.over(day, high, rate)
		if err != nil {
			return 0, err
		}
		if over < 0 {
			if high == 0 {
				return 0, &ImpossibleError{a.name(), "climb at " + unit.FormatPair(rate, "VerticalSpeed") + " at sea level",
					"is short of it by " + unit.FormatPair(-over, "VerticalSpeed")}
			}
			return a.between(day, low, high, rate)
		}
		low, margin = high, over
	}
	return 0, &ImpossibleError{a.name(), "come to a ceiling below 30 km", "has " + unit.FormatPair(margin, "VerticalSpeed") + " to spare there"}
}

func (a Aeroplane) between(day atmos.Day, low, high unit.GeopotentialAltitude, rate unit.VerticalSpeed) (unit.GeopotentialAltitude, error) {
	var first error
	h, err := solve.Root(func(h unit.GeopotentialAltitude) float64 {
		over, err := a.over(day, h, rate)
		if err != nil {
			first = cmp.Or(first, err)
			return math.NaN()
		}
		return over
	}, low, high)
	return h, cmp.Or(first, err)
}

// over returns by how much the greatest rate of climb exceeds a given one.
func (a Aeroplane) over(day atmos.Day, h unit.GeopotentialAltitude, rate unit.VerticalSpeed) (unit.VerticalSpeed, error) {
	air, err := day.At(h)
	if err != nil {
		return 0, err
	}
	if _, err := a.propulsion("climb"); err != nil {
		return 0, err
	}
	f, err := a.greatest("perf.Ceiling", air, Aeroplane.climb, func(f Flight) float64 { return f.Rate })
	return f.Rate - rate, err
}
