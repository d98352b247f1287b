package figure

import (
	"math"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/trim"
)

// made-up results: a foreplane at its limit, a wing below its own.
func stallOf(cg, speed float64, verdict trim.Verdict) trim.Sequence {
	strip := func(surface string, y, chord, lift, limit float64) trim.StallStrip {
		return trim.StallStrip{Surface: surface, Y: y, Chord: chord, Critical: trim.Critical{CL: lift, Limit: limit, Used: lift / limit}}
	}
	fore, wing := strip("foreplane", 0.5, 0.5, 1.4, 1.4), strip("wing", 2, 1, 1.2, 1.5)
	s := trim.Stall{
		Aircraft: "Sedge", CG: cg, CL: 1.1, Speed: speed, First: fore, Others: []trim.StallStrip{wing}, Caution: "For study: the flight manual decides.",
		Strips:    []trim.StallStrip{strip("wing", 0.3, 1.2, 1, 1.5), wing, fore, strip("foreplane", 1.5, 0.4, 0.8, 1.4)},
		Reference: aircraft.Reference{Name: "wing", Area: 9, Chord: 1, LeadingEdge: 4},
	}
	return trim.Sequence{Stall: s, Verdict: verdict, Low: 0.1, High: 0.3, Variants: []trim.StallVariant{{Speed: speed - 1}, {Speed: speed + 2}}}
}

// limitsOf is a made-up chart whose forward limit has two edges.
func limitsOf() trim.LimitChart {
	return trim.LimitChart{
		Aircraft: "Sedge", Reference: aircraft.Reference{Name: "wing", Chord: 1, LeadingEdge: 4}, CG: 3.42, Mass: 650,
		Masses: []float64{500, 550, 600, 650, 700}, Forward: []float64{3.3, 3.3, 3.31, 3.33, 3.36}, Aft: []float64{3.5, 3.5, 3.5, 3.5, 3.5},
		ForwardBy: []string{"nose rises", "nose rises", "loss of lift", "loss of lift", "loss of lift"},
		AftBy:     []string{"static margin", "static margin", "static margin", "static margin", "static margin"}, Caution: "The flight manual decides.",
	}
}

// sizesOf are made-up ranges of two foreplanes.
func sizesOf() []trim.SizePoint {
	at := func(forward, aft float64) trim.Limits {
		return trim.Limits{
			Aircraft: "Sedge", Forward: forward, Aft: aft, Reference: aircraft.Reference{Name: "wing", Chord: 1, LeadingEdge: 4}, Caution: "The flight manual decides.",
			Constraints: []trim.Constraint{{Name: "loss of lift", Side: trim.Forward, Active: true}, {Name: "static margin", Side: trim.Aft, Active: true}},
		}
	}
	return []trim.SizePoint{{Area: 1.8, Limits: at(3.4, 3.6)}, {Area: 2.2, Limits: at(3.2, 3.5)}}
}

// TestLimitsGolden holds the figures to their golden files.
func TestLimitsGolden(t *testing.T) {
	over := []trim.Sequence{stallOf(3.6, 26, trim.TooClose), stallOf(3.3, 32, trim.ForeplaneFirst), stallOf(3.45, 29, trim.ForeplaneFirst)}
	for name, f := range map[string]*Figure{
		"stall-lift": StallLift(over[0].Stall), "stall-loading": StallLoading(over[0].Stall), "stall-speeds": StallSpeeds(over...), "cg-chart": CGChart(limitsOf()),
		"range-size": RangeAgainstSize("foreplane", sizesOf()...),
	} {
		got, err := f.SVG()
		if err != nil {
			t.Fatal(name, err)
		}
		wellFormed(t, got)
		golden(t, name+".svg", got)
		golden(t, name+".txt", []byte(f.AltText()+"\n\n"+asText(f.Data())+"\n"))
		if !strings.Contains(f.Caption, "flight manual") {
			t.Errorf("%s: caption %q", name, f.Caption)
		}
	}
}

// TestStallLift: each surface has its lift and its limit, the load is by the chord, and the first strip is marked at its lift.
func TestStallLift(t *testing.T) {
	lift, load := StallLift(stallOf(3.4, 30, trim.TooClose).Stall), StallLoading(stallOf(3.4, 30, trim.TooClose).Stall)
	if len(lift.series) != 4 || lift.series[3].label != "c_{l,max} of the foreplane" || lift.series[3].y[0] != 1.4 || lift.series[0].y[1] != 1.2 {
		t.Errorf("%+v", lift.series)
	}
	if got := load.series[2].y[1]; math.Abs(got-0.32) > 1e-12 || math.Abs(load.points[0].y-0.7) > 1e-12 {
		t.Errorf("load %v, first at %v", got, load.points[0].y)
	}
	if !strings.Contains(lift.Caption, "Beyond, nothing is predicted") {
		t.Errorf("caption %q", lift.Caption)
	}
}

// TestStallSpeeds: speeds stand by rising CG, the band has the variants, and a line stands where the verdict changes.
func TestStallSpeeds(t *testing.T) {
	f := StallSpeeds(stallOf(3.6, 26, trim.TooClose), stallOf(3.3, 32, trim.ForeplaneFirst))
	if f.series[1].y[0] != 32 || f.series[0].low[0] != 31 || f.series[0].y[0] != 34 || len(f.limits) != 1 || math.Abs(f.limits[0].at-3.45) > 1e-12 || f.limits[0].label != "too close to call" {
		t.Errorf("%+v %+v", f.series, f.limits)
	}
}

// TestCGChart: an edge changes its name where its constraint does, and reaches to the next.
func TestCGChart(t *testing.T) {
	f := CGChart(limitsOf())
	var labels []string
	for _, s := range f.series {
		labels = append(labels, s.label)
	}
	if got := strings.Join(labels, "; "); got != "forward: nose rises; forward: loss of lift; aft: static margin" {
		t.Errorf("edges %q", got)
	}
	if s := f.series[0]; len(s.x) != 3 || s.x[2] != 3.31 || s.y[2] != 600 {
		t.Errorf("first edge %+v", s)
	}
	if f.top.from(3.5) != -0.5 {
		t.Errorf("at 3.5 m %v of the chord", f.top.from(3.5))
	}
	none := limitsOf()
	none.Aft[0] = 3.2
	if f := CGChart(none); len(f.shapes) != 0 {
		t.Error("an area where no CG is allowed")
	}
}

func TestLimitFiguresRefuse(t *testing.T) {
	for want, f := range map[string]*Figure{
		"no strips": StallLift(trim.Stall{}), "1 stalls": StallSpeeds(trim.Sequence{}), "0 masses": CGChart(trim.LimitChart{}), "0 sizes": RangeAgainstSize("wing"),
	} {
		if _, err := f.SVG(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want %q", err, want)
		}
	}
}
