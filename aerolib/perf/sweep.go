package perf

import (
	"errors"
	"fmt"
	"math"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

// Row is flights at several speeds in one state of the air.
type Row struct {
	Aeroplane string
	Altitude  unit.GeopotentialAltitude
	Flights   []Flight
}

// Climbs returns climbs with full throttle at several altitudes of a day, each at n speeds from the stall to the fastest at which level flight can be held. Altitudes above the
// ceiling have none.
func (a Aeroplane) Climbs(day atmos.Day, altitudes []unit.GeopotentialAltitude, n int) ([]Row, error) {
	if n < 2 {
		return nil, fmt.Errorf("perf.Climbs: %d speeds, must be at least 2", n)
	}
	var out []Row
	for _, h := range altitudes {
		air, err := day.At(h)
		if err != nil {
			return nil, err
		}
		row := Row{Aeroplane: a.name(), Altitude: h}
		top, err := a.TopSpeed(air)
		var above *ImpossibleError
		if errors.As(err, &above) {
			continue
		}
		if err != nil {
			return nil, err
		}
		if row.Flights, err = a.each(air, top.Speed, n, Aeroplane.climb); err != nil {
			return nil, err
		}
		row.Flights[n-1] = top
		out = append(out, row)
	}
	return out, nil
}

// Sinks returns the sink polar: glides without thrust at n speeds from the stall to a speed.
func (a Aeroplane) Sinks(air atmos.Air, to unit.TrueAirspeed, n int) (Row, error) {
	if err := errors.Join(a.check("perf.Sinks", air), checkSpeed("perf.Sinks", air, to)); err != nil {
		return Row{}, err
	}
	flights, err := a.each(air, to, n, Aeroplane.glide)
	return Row{Aeroplane: a.name(), Flights: flights}, err
}

func (a Aeroplane) each(air atmos.Air, to unit.TrueAirspeed, n int, kind func(Aeroplane, atmos.Air, unit.TrueAirspeed) (Flight, error)) ([]Flight, error) {
	_, greatest := a.lifts()
	from := a.speedAt(air, 1, greatest)
	out := make([]Flight, 0, n)
	for i := range n {
		f, err := kind(a, air, from+(to-from)*unit.Ratio(i)/unit.Ratio(max(n-1, 1)))
		if err != nil {
			return nil, err
		}
		out = append(out, f)
	}
	return out, nil
}

// ExcessMap is specific excess power over speed and altitude, NaN where the aeroplane has stalled or the plant says nothing.
type ExcessMap struct {
	Aeroplane  string
	LoadFactor unit.Ratio
	Speeds     []unit.TrueAirspeed
	Altitudes  []unit.GeopotentialAltitude
	Excess     [][]unit.VerticalSpeed // over altitudes and speeds
	Stall      []unit.TrueAirspeed    // over altitudes, at the load factor; nil if the greatest lift is not known
}

// ExcessMap returns the specific excess power at a load factor over speeds and altitudes of a day.
func (a Aeroplane) ExcessMap(day atmos.Day, n unit.Ratio, speeds []unit.TrueAirspeed, altitudes []unit.GeopotentialAltitude) (ExcessMap, error) {
	m := ExcessMap{Aeroplane: a.name(), LoadFactor: n, Speeds: speeds, Altitudes: altitudes}
	for _, h := range altitudes {
		air, err := day.At(h)
		if err := errors.Join(err, a.check("perf.ExcessMap", air), unit.CheckRange("perf.ExcessMap", "load factor", n, 0, 20, "1")); err != nil {
			return m, err
		}
		row := make([]unit.VerticalSpeed, len(speeds))
		for i, V := range speeds {
			p, err := a.point(air, V, n)
			if row[i] = p.Excess(a.Weight()); err != nil {
				row[i] = math.NaN()
			}
		}
		m.Excess = append(m.Excess, row)
		if a.MaxLift > 0 {
			m.Stall = append(m.Stall, a.speedAt(air, n, a.MaxLift))
		}
	}
	return m, nil
}

// FieldCurve is take-offs over pressure altitude on days of one offset from the standard temperature.
type FieldCurve struct {
	Offset    unit.TemperatureDifference
	Altitudes []unit.PressureAltitude // at which the aeroplane takes off
	Fields    []Field
}

// TakeOffs returns the take-offs of a runway at pressure altitudes and offsets from the standard temperature, in place of its air. A curve ends where the aeroplane cannot
// take off any more.
func (a Aeroplane) TakeOffs(t TakeOff, altitudes []unit.PressureAltitude, offsets []unit.TemperatureDifference) ([]FieldCurve, error) {
	var out []FieldCurve
	for _, offset := range offsets {
		c := FieldCurve{Offset: offset}
		for _, h := range altitudes {
			air, err := atmos.OffStandard(h, offset)
			if err != nil {
				return nil, err
			}
			t.Runway.Air = air
			f, err := a.TakeOff(t)
			var cannot *ImpossibleError
			if errors.As(err, &cannot) {
				break
			}
			if err != nil {
				return nil, err
			}
			c.Altitudes, c.Fields = append(c.Altitudes, h), append(c.Fields, f)
		}
		out = append(out, c)
	}
	return out, nil
}
