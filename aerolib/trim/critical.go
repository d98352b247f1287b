package trim

import (
	"fmt"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

// critical returns the strip of a surface that is nearest to the greatest lift of its section, each at its own Reynolds number where the section has polars. The note says
// where they do not reach that number.
func critical(s aircraft.Surface, strips []lattice.Strip, c Condition) (Critical, string) {
	var worst Critical
	note := ""
	for _, t := range strips {
		if t.Surface != s.Name || t.Middle.Y < 0 {
			continue
		}
		eta := (t.Middle.Y - s.Root().Y) / s.Semispan()
		k := Critical{Eta: eta, CL: 2 * t.Circulation / t.Chord, Reynolds: c.Air.Reynolds(c.Speed, t.Chord)}
		var err error
		if k.Limit, err = limitAt(s, eta, k); err != nil && note == "" {
			note = fmt.Sprintf("The greatest lift of the %s is that at the Reynolds number that its section states: %v.", s.Name, err)
		}
		if k.Limit != 0 {
			k.Used = k.CL / k.Limit
		}
		if k.Used > worst.Used || worst.Limit == 0 && math.Abs(k.CL) > math.Abs(worst.CL) {
			worst = k
		}
	}
	return worst, note
}

// limitAt returns the greatest cl of the section at a station, or the least if the lift is below zero. Of a section without polars the least is taken as the greatest with
// the other sign; an error says that its polars are not used.
func limitAt(s aircraft.Surface, eta unit.Ratio, k Critical) (unit.Coefficient, error) {
	section := s.Part(min(eta, 0.999999), 1).Root().Section
	stated := math.Copysign(section.MaxLift, k.CL)
	if section.MaxLift == 0 {
		stated = 0
	}
	family, ok := section.Family()
	if !ok {
		return stated, nil
	}
	polar, err := family.At(k.Reynolds)
	if err != nil {
		return stated, err
	}
	if k.CL < 0 {
		return polar.MinLift().CL, nil
	}
	return polar.MaxLift().CL, nil
}
