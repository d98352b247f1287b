package section

import (
	"math"

	"foreplane/aerolib/unit"
)

// MeanLine is a camber line z(x) on a chord from x = 0 to x = 1, both in chords.
//
// A literal serves for a line of one's own; Breaks lists the stations between 0 and 1 where Slope has a kink or a jump, so that integrals stop there.
type MeanLine struct {
	Name   string
	Height func(x unit.Ratio) unit.Ratio
	Slope  func(x unit.Ratio) unit.Ratio // dz/dx
	Breaks []unit.Ratio
}

// FourDigitLine returns the mean line of the four-digit sections: two parabolas that meet at the greatest camber m, at station p,
//
//	z = m/p² (2px − x²)                  x ≤ p
//	z = m/(1−p)² (1 − 2p + 2px − x²)     x > p
//
// ([TR460]). It returns a [*unit.RangeError] for m outside ±0.2 or p outside 0.05 to 0.95.
func FourDigitLine(m, p unit.Ratio) (MeanLine, error) {
	if err := unit.CheckRange("section.FourDigitLine", "greatest camber", m, -0.2, 0.2, "1"); err != nil {
		return MeanLine{}, err
	}
	if err := unit.CheckRange("section.FourDigitLine", "station of greatest camber", p, 0.05, 0.95, "1"); err != nil {
		return MeanLine{}, err
	}
	front, aft := m/(p*p), m/((1-p)*(1-p))
	return MeanLine{
		Height: func(x unit.Ratio) unit.Ratio {
			if x <= p {
				return front * (2*p*x - x*x)
			}
			return aft * (1 - 2*p + 2*p*x - x*x)
		},
		Slope: func(x unit.Ratio) unit.Ratio {
			if x <= p {
				return front * 2 * (p - x)
			}
			return aft * 2 * (p - x)
		},
		Breaks: []unit.Ratio{p},
	}, nil
}

// flat is the mean line of symmetrical sections.
func flat() MeanLine {
	zero := func(unit.Ratio) unit.Ratio { return 0 }
	return MeanLine{Height: zero, Slope: zero}
}

// fiveDigit holds the constants of a five-digit mean line for an ideal lift coefficient of 0.3; aft is k₂/k₁.
type fiveDigit struct{ r, k1, aft unit.Ratio }

// fiveDigitLines are those of [TR537], tables I and II (recalled), by their digits. The third digit 1 is the reflexed line.
var fiveDigitLines = map[string]fiveDigit{
	"210": {0.0580, 361.400, 0}, "220": {0.1260, 51.640, 0}, "230": {0.2025, 15.957, 0}, "240": {0.2900, 6.643, 0}, "250": {0.3910, 3.230, 0},
	"221": {0.1300, 51.990, 0.000764}, "231": {0.2170, 15.793, 0.00677}, "241": {0.3180, 6.520, 0.0303}, "251": {0.4410, 3.191, 0.1355},
}

// line returns the mean line scaled by a factor. With b = (k₂/k₁)(1−r)³ of the reflexed line, 0 of the simple one,
//
//	z = k₁/6 [(x−r)³ − b x − r³ x + r³]            x ≤ r
//	z = k₁/6 [(k₂/k₁)(x−r)³ − b x − r³ x + r³]     x > r
//
// ([TR537]).
func (f fiveDigit) line(scale unit.Ratio) MeanLine {
	k, r3 := scale*f.k1/6, f.r*f.r*f.r
	b := f.aft * math.Pow(1-f.r, 3)
	part := func(x unit.Ratio) unit.Ratio {
		if x <= f.r {
			return 1
		}
		return f.aft
	}
	return MeanLine{
		Height: func(x unit.Ratio) unit.Ratio {
			d := x - f.r
			return k * (part(x)*d*d*d - b*x - r3*x + r3)
		},
		Slope: func(x unit.Ratio) unit.Ratio {
			d := x - f.r
			return k * (3*part(x)*d*d - b - r3)
		},
		Breaks: []unit.Ratio{f.r},
	}
}

// SixSeriesLine returns the mean line that carries a uniform load from the leading edge to station a, and one that falls linearly to zero from there to the
// trailing edge, at the ideal lift coefficient cli. With
//
//	g = −[a² (½ ln a − ¼) + ¼]/(1−a),   h = [½(1−a)² ln(1−a) − ¼(1−a)²]/(1−a) + g
//	z = cli/(2π(a+1)) {[½(a−x)² ln|a−x| − ½(1−x)² ln(1−x) + ¼(1−x)² − ¼(a−x)²]/(1−a) − x ln x + g − h x}
//
// and for a = 1, z = −cli/(4π) [(1−x) ln(1−x) + x ln x] ([TR824]). The slope is infinite at the leading edge, and for a = 1 also at the trailing edge. It
// returns a [*unit.RangeError] for a outside 0 to 1 or cli outside ±2.
func SixSeriesLine(a unit.Ratio, cli unit.Coefficient) (MeanLine, error) {
	if err := unit.CheckRange("section.SixSeriesLine", "end of the uniform load", a, 0, 1, "1"); err != nil {
		return MeanLine{}, err
	}
	if err := unit.CheckRange("section.SixSeriesLine", "ideal lift coefficient", cli, -2, 2, "1"); err != nil {
		return MeanLine{}, err
	}
	if a == 1 {
		return uniformLoad(cli), nil
	}
	g := -(a*xlogx(a)/2 - a*a/4 + 0.25) / (1 - a)
	h := (1-a)*(math.Log(1-a)/2-0.25) + g
	k := cli / (2 * math.Pi * (a + 1))
	return MeanLine{
		Height: func(x unit.Ratio) unit.Ratio {
			ends := (a-x)*xlogx(a-x)/2 - (1-x)*xlogx(1-x)/2 + (1-x)*(1-x)/4 - (a-x)*(a-x)/4
			return k * (ends/(1-a) - xlogx(x) + g - h*x)
		},
		Slope: func(x unit.Ratio) unit.Ratio {
			return k * ((xlogx(1-x)-xlogx(a-x))/(1-a) - math.Log(x) - 1 - h)
		},
		Breaks: []unit.Ratio{a},
	}, nil
}

func uniformLoad(cli unit.Coefficient) MeanLine {
	k := cli / (4 * math.Pi)
	return MeanLine{
		Height: func(x unit.Ratio) unit.Ratio { return -k * (xlogx(1-x) + xlogx(x)) },
		Slope:  func(x unit.Ratio) unit.Ratio { return k * (math.Log(1-x) - math.Log(x)) },
	}
}

// xlogx returns x ln|x|, which is 0 at 0.
func xlogx(x unit.Ratio) unit.Ratio {
	if x == 0 {
		return 0
	}
	return x * math.Log(math.Abs(x))
}
