package trim

import (
	"math"

	"foreplane/aerolib/unit"
)

// Reason is one of the terms by which a quantity of two layouts differs. The parts of all reasons sum to the whole change.
type Reason struct {
	Name string
	Part unit.Ratio // of the value of the first layout
}

// factor is a factor of a quantity, to a power, in two layouts.
type factor struct {
	name  string
	power unit.Ratio
	a, b  float64
}

// byFactors shares the change of a product of powers out to its factors by the logarithmic mean L: with Q = Π fᵢ^pᵢ,
//
//	ΔQ = Σ L(Q_a, Q_b) pᵢ ln(fᵢ_b/fᵢ_a),   L(x, y) = (y − x)/ln(y/x)
//
// which leaves no rest, does not ask for an order of the factors, and changes sign with the order of the layouts.
func byFactors(a, b float64, factors ...factor) []Reason {
	reasons := make([]Reason, len(factors))
	for i, f := range factors {
		reasons[i] = Reason{f.name, logMean(a, b) / a * f.power * math.Log(f.b/f.a)}
	}
	return reasons
}

// logMean returns the logarithmic mean of two numbers of one sign.
func logMean(a, b float64) float64 {
	if math.Abs(b-a) <= 1e-9*math.Abs(a) {
		return (a + b) / 2
	}
	return (b - a) / math.Log(b/a)
}

// part is a part of a sum in two layouts, with the factors that it is a product of, if both layouts have it.
type part struct {
	name    string
	a, b    float64
	factors []factor
}

// byParts shares the change of a sum with the value a in the first layout out to its parts, and what it can of those to their factors.
func byParts(a float64, parts ...part) []Reason {
	var reasons []Reason
	for _, p := range parts {
		if len(p.factors) == 0 || !(p.a > 0 && p.b > 0) {
			reasons = append(reasons, Reason{p.name, (p.b - p.a) / a})
			continue
		}
		for _, r := range byFactors(p.a, p.b, p.factors...) {
			reasons = append(reasons, Reason{p.name + ": " + r.Name, r.Part * p.a / a})
		}
	}
	return reasons
}
