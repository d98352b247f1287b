package perf

import (
	"math"
	"testing"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/unit"
)

// must ends the test on an error.
func must[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func airAt(t testing.TB, h unit.Length) atmos.Air {
	t.Helper()
	return must[atmos.Air](t)(atmos.Standard(h))
}

// textbook returns the aeroplane of a case, with the engine that it states.
func textbook(t testing.TB, in reference.Inputs) Aeroplane {
	v := in.All()
	a := Aeroplane{Name: "textbook", Mass: v["W"], Area: v["S"], Span: v["b"], MaxLift: v["CLmax"], Polar: drag.Parabola{CD0: v["CD0"], K: v["K"]}}
	if e, ok := v["e"]; ok {
		a.Polar = must[drag.Parabola](t)(drag.ParabolaOf(v["CD0"], e, v["b"]*v["b"]/v["S"]))
	}
	switch n := v["n"]; {
	case v["P"] > 0:
		a.Propulsion = Propeller{Power: v["P"], Efficiency: v["eta"], Lapse: PowerLaw(1)}
	case v["T"] > 0:
		a.Propulsion = Jet{Thrust: v["T"]}
	case v["T0"] > 0:
		a.Propulsion = Jet{Thrust: v["T0"], Lapse: PowerLaw(n)}
	}
	return a
}

func TestTextbookSpeeds(t *testing.T) {
	reference.Check(t, "R1", 0, func(in reference.Inputs) reference.Values {
		a, air := textbook(t, in), airAt(t, 0)
		return reference.Values{"Vmax": must[Flight](t)(a.TopSpeed(air)).Speed, "RCmax": must[Flight](t)(a.Fastest(air)).Rate}
	})
	reference.Check(t, "R5", 0, func(in reference.Inputs) reference.Values {
		return reference.Values{"Vmax": must[Flight](t)(textbook(t, in).TopSpeed(airAt(t, 0))).Speed}
	})
	reference.Check(t, "R2", 0, func(in reference.Inputs) reference.Values {
		a := textbook(t, in)
		return reference.Values{"absolute": must[float64](t)(a.Ceiling(atmos.Day{}, 0)), "service": must[float64](t)(a.Ceiling(atmos.Day{}, ServiceRate))}
	})
}

func TestTextbookGlide(t *testing.T) {
	reference.Check(t, "R3", 0, func(in reference.Inputs) reference.Values {
		a, h := textbook(t, in), in.Get("h")
		f := must[Flight](t)(a.BestGlide(airAt(t, h), 0, 0))
		log := must[Log](t)(a.Fly(Mission{From: h, Legs: []Leg{{Kind: DescentLeg, At: HoldLift(f.CL / math.Cos(f.Angle))}}, Steady: true}))
		return reference.Values{"LDmax": f.CL / f.CD, "theta": -f.Angle, "R": log.End().Distance}
	})
}

// TestTextbookClimb takes the drag of level flight in R9, as the book does.
func TestTextbookClimb(t *testing.T) {
	reference.Check(t, "R9", 0, func(in reference.Inputs) reference.Values {
		a, values := textbook(t, in), reference.Values{}
		for name, h := range map[string]unit.Length{"RC@0": 0, "RC@10000": 10000 * unit.Foot, "RC@20000": 20000 * unit.Foot, "RC@50000": 50000 * unit.Foot} {
			values[name] = greatestExcess(t, a, airAt(t, h))
		}
		values["T@30000"] = must[Output](t)(a.Propulsion.Full(airAt(t, 30000*unit.Foot), 0)).Thrust
		return values
	})
	reference.Check(t, "R10", 0, func(in reference.Inputs) reference.Values {
		a := textbook(t, in)
		log := must[Log](t)(a.Fly(Mission{Legs: []Leg{{Kind: ClimbLeg, To: in.Get("h"), At: BestRate}}, Steady: true}))
		return reference.Values{"t_lin": must[float64](t)(LinearClimb(in.Get("a"), -in.Get("a")/in.Get("b"), in.Get("h"))), "t_integrated": log.End().Time}
	})
}

// greatestExcess returns the greatest specific excess power of level flight. The book's aeroplane climbs at Mach 0.97 at 50 000 ft, without compressibility.
func greatestExcess(t testing.TB, a Aeroplane, air atmos.Air) (most unit.VerticalSpeed) {
	for V := 50.0; V < 400; V += 0.05 {
		most = max(most, must[Point](t)(a.point(air, V, 1)).Excess(a.Weight()))
	}
	return most
}

func TestLoadFactors(t *testing.T) {
	reference.Check(t, "R14", 0, func(in reference.Inputs) reference.Values {
		return reference.Values{"n1": must[float64](t)(LimitLoadFactor(in.Get("W1"))), "n2": must[float64](t)(LimitLoadFactor(in.Get("W2"))), "n3": must[float64](t)(LimitLoadFactor(in.Get("W3")))}
	})
	reference.Check(t, "R17", 0, func(in reference.Inputs) reference.Values {
		return reference.Values{"VA": must[float64](t)(CornerSpeed(in.Get("Vs"), in.Get("n"))), "Vs@60": must[float64](t)(CornerSpeed(in.Get("Vs"), 1/math.Cos(in.Get("bank"))))}
	})
}

// TestSpeedRatios looks for the speeds of a parabola numerically, as for any polar.
func TestSpeedRatios(t *testing.T) {
	reference.Check(t, "R16", 0, func(reference.Inputs) reference.Values {
		s := must[Speeds](t)(Aeroplane{Mass: 1000, Area: 12, Polar: drag.Parabola{CD0: 0.025, K: 0.05}}.Speeds(airAt(t, 0)))
		get := func(symbol string) Named { return must[Named](t)(s.Get(symbol)) }
		ratio := func(n Named) float64 { return n.CL / (0.025 + 0.05*n.CL*n.CL) }
		least, drag := get("V_mp"), get("V_md")
		return reference.Values{"V_minP/V_minD": least.Speed / drag.Speed, "V_Carson/V_minD": get("V_C").Speed / drag.Speed, "LD@V_minP/LDmax": ratio(least) / ratio(drag)}
	})
}
