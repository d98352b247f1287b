package atmos

import (
	"math"

	"foreplane/aerolib/unit"
)

// Day is the air of a day that is off the standard. The zero value is the standard day; [Station] makes one from what a station measures.
type Day struct {
	Elevation unit.GeopotentialAltitude  // of the station
	Pressure  unit.Pressure              // at the station; 0 for the standard one there
	Offset    unit.TemperatureDifference // of the temperature from the standard one at the same pressure, at all heights
	Humidity  unit.Ratio                 // relative, at all heights
}

// Station returns the day on which a station measures pressure p, temperature T and relative humidity φ at its elevation; Offset is the temperature's from that
// of the standard atmosphere at p. It returns errors as [PressureAltitude] and [Moist] do, and a [*unit.RangeError] for an elevation outside the standard
// atmosphere.
func Station(elevation unit.GeopotentialAltitude, p unit.Pressure, T unit.Temperature, humidity unit.Ratio) (Day, error) {
	h, err := PressureAltitude(p)
	if err != nil {
		return Day{}, err
	}
	if err := unit.CheckRange("atmos.Station", "elevation", elevation, MinAltitude, MaxAltitude, "m"); err != nil {
		return Day{}, err
	}
	if _, err := Moist(T, p, humidity); err != nil {
		return Day{}, err
	}
	standard, _ := standardAt(unit.GeopotentialAltitude(h))
	return Day{elevation, p, T - standard, humidity}, nil
}

// station returns the pressure altitude of the station.
func (d Day) station() (unit.PressureAltitude, error) {
	if err := unit.CheckRange("atmos.Day", "elevation", d.Elevation, MinAltitude, MaxAltitude, "m"); err != nil {
		return 0, err
	}
	if err := unit.CheckRange("atmos.Day", "temperature offset", d.Offset, -100, 100, "K"); err != nil {
		return 0, err
	}
	if d.Pressure == 0 {
		return unit.PressureAltitude(d.Elevation), nil
	}
	return PressureAltitude(d.Pressure)
}

// Geopotential returns where the day has the pressure of pressure altitude h. On a warm day surfaces of equal pressure lie further apart: with the standard
// temperature T_s(h), and h_s at the station, which is at H_s,
//
//	H = H_s + (h − h_s) + Offset ∫ dh/T_s    from h_s to h
//
// (dH = (T/T_s) dh, from the hydrostatic equation). Humidity is left out: it lifts a layer by less than 1 %. It returns a [*unit.RangeError] for h, or fields of
// the day, outside the standard atmosphere, and for an offset beyond ±100 K.
func (d Day) Geopotential(h unit.PressureAltitude) (unit.GeopotentialAltitude, error) {
	station, err := d.station()
	if err != nil {
		return 0, err
	}
	if err := unit.CheckRange("atmos.Day.Geopotential", "altitude", h, MinAltitude, MaxAltitude, "m"); err != nil {
		return 0, err
	}
	return d.lifted(h, station), nil
}

func (d Day) lifted(h, station unit.PressureAltitude) unit.GeopotentialAltitude {
	return d.Elevation + unit.Length(h-station) + d.Offset*(perKelvin(h)-perKelvin(station))
}

// PressureAltitude returns the pressure altitude at geopotential altitude H, the inverse of [Day.Geopotential]. It returns errors as that does.
func (d Day) PressureAltitude(H unit.GeopotentialAltitude) (unit.PressureAltitude, error) {
	station, err := d.station()
	if err != nil {
		return 0, err
	}
	lowest, highest := d.lifted(unit.PressureAltitude(MinAltitude), station), d.lifted(unit.PressureAltitude(MaxAltitude), station)
	if err := unit.CheckRange("atmos.Day.PressureAltitude", "altitude", H, lowest, highest, "m"); err != nil {
		return 0, err
	}
	h := station + unit.Length(H-d.Elevation)
	for range 60 { // Newton's method on a function whose slope is within a third of 1 where the offset is within 60 K
		T, _ := standardAt(unit.GeopotentialAltitude(h))
		step := (d.lifted(h, station) - H) / (1 + d.Offset/T)
		h = min(max(h-step, MinAltitude), MaxAltitude)
		if math.Abs(step) < 1e-9 {
			break
		}
	}
	return h, nil
}

// At returns the state of the air at geopotential altitude H. It returns errors as [Day.PressureAltitude] and [Moist] do.
func (d Day) At(H unit.GeopotentialAltitude) (Air, error) {
	h, err := d.PressureAltitude(H)
	if err != nil {
		return Air{}, err
	}
	return d.AtPressure(h)
}

// AtPressure returns the state of the air at pressure altitude h. It returns errors as [Day.Geopotential] and [Moist] do.
func (d Day) AtPressure(h unit.PressureAltitude) (Air, error) {
	if _, err := d.Geopotential(h); err != nil {
		return Air{}, err
	}
	T, p := standardAt(unit.GeopotentialAltitude(h))
	return Moist(T+d.Offset, p, d.Humidity)
}

// standardAt returns temperature and pressure of the standard atmosphere.
func standardAt(H unit.GeopotentialAltitude) (unit.Temperature, unit.Pressure) {
	return layerOf(func(b layer) bool { return b.bottom <= H }).at(H)
}

// perKelvin returns ∫ dh/T_s of the standard atmosphere from 0 to h, in m/K: the lift of a surface of pressure for each kelvin of a warmer day.
func perKelvin(h unit.PressureAltitude) float64 {
	sum := 0.0
	for i, b := range layers {
		top := unit.GeopotentialAltitude(h)
		if i+1 < len(layers) && layers[i+1].bottom < top {
			top = layers[i+1].bottom
		}
		if top < b.bottom && i > 0 {
			break
		}
		if T, _ := b.at(top); b.lapse != 0 {
			sum += math.Log(T/b.temperature) / b.lapse
		} else {
			sum += (top - b.bottom) / b.temperature
		}
	}
	return sum
}

// StationPressure returns the pressure at a station from the altimeter setting (QNH), with which an altimeter on the ground shows the elevation:
//
//	h(p) = elevation + h(QNH),   h the pressure altitude
//
// (common practice; [ISO2533] has h). It returns a [*unit.RangeError] for values outside the standard atmosphere.
func StationPressure(elevation unit.GeopotentialAltitude, setting unit.Pressure) (unit.Pressure, error) {
	return shifted("atmos.StationPressure", setting, elevation)
}

// AltimeterSetting returns the altimeter setting (QNH) of a station from its pressure, the inverse of [StationPressure].
func AltimeterSetting(elevation unit.GeopotentialAltitude, p unit.Pressure) (unit.Pressure, error) {
	return shifted("atmos.AltimeterSetting", p, -elevation)
}

// shifted returns the pressure at the pressure altitude of p plus rise.
func shifted(function string, p unit.Pressure, rise unit.Length) (unit.Pressure, error) {
	h, err := PressureAltitude(p)
	if err != nil {
		return 0, err
	}
	if err := unit.CheckRange(function, "pressure altitude", h+rise, MinAltitude, MaxAltitude, "m"); err != nil {
		return 0, err
	}
	_, out := standardAt(unit.GeopotentialAltitude(h + rise))
	return out, nil
}
