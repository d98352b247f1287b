package drag

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"foreplane/aerolib/aircraft"
	sections "foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

// liftRise is how friction of a plate grows with lift, cd = cd₀ (1 + 0.38 cl²) ([Kroo]).
const liftRise unit.Ratio = 0.38

// Profile is the profile drag of a surface over the lift coefficient of its strips, at the Reynolds number of its mean chord: linear between samples of sections, or of a
// plate without samples
//
//	cd = cd₀ (1 + 0.38 cl²)
//
// ([Kroo], from transports; of 12 to 15 % thick sections at Reynolds numbers of light aeroplanes it meets the computed rise within about 15 % of cd).
type Profile struct {
	Surface  string
	Source   string
	Least    unit.Coefficient // cd of the build-up, on the exposed area: the least of the sections
	Min, Max unit.Coefficient // lift coefficients that it covers
	samples  []sections.Sample
}

// Drag returns cd at the lift coefficient cl of a strip. It returns a [*unit.RangeError] for lift outside Min to Max.
func (p Profile) Drag(cl unit.Coefficient) (unit.Coefficient, error) {
	rise, err := p.rise("drag.Profile.Drag", cl)
	return p.Least + rise, err
}

// rise returns by how much cd is above Least.
func (p Profile) rise(function string, cl unit.Coefficient) (unit.Coefficient, error) {
	if err := unit.CheckRange(function, "cl of the "+p.Surface, cl, p.Min, p.Max, "1"); err != nil {
		return 0, err
	}
	if len(p.samples) == 0 {
		return p.Least * liftRise * cl * cl, nil
	}
	i, exact := slices.BinarySearchFunc(p.samples, cl, func(s sections.Sample, cl unit.Coefficient) int { return cmp.Compare(s.CL, cl) })
	if exact {
		return p.samples[i].CD - least(p.samples), nil
	}
	a, b := p.samples[i-1], p.samples[i]
	return a.CD + (cl-a.CL)/(b.CL-a.CL)*(b.CD-a.CD) - least(p.samples), nil
}

// least returns the least drag of samples.
func least(samples []sections.Sample) unit.Coefficient {
	drag := math.Inf(1)
	for _, s := range samples {
		drag = min(drag, s.CD)
	}
	return drag
}

// plateLift is the lift up to which a plate stands for a section whose greatest lift is not stated.
const plateLift unit.Coefficient = 1.2

// plateProfile returns the profile of a surface without section data.
func plateProfile(s aircraft.Surface, least unit.Coefficient) Profile {
	limit := s.Section().MaxLift
	if limit == 0 {
		limit = plateLift
	}
	return Profile{Surface: s.Name, Source: "plate", Least: least, Min: -limit, Max: limit}
}

// sectionProfile returns the profile of a surface from its sections, each counted by the area next to its stations.
func sectionProfile(s aircraft.Surface, p Plate) (Profile, error) {
	areas, list := spread(s)
	out := Profile{Surface: s.Name}
	for i, section := range list {
		samples, source, err := samplesOf(section, p)
		if err != nil {
			return Profile{}, fmt.Errorf("the %s: %w", s.Name, err)
		}
		if i == 0 {
			out.samples, out.Source = samples, source
			continue
		}
		out.samples = merge(out.samples, samples, areas[i]/sum(areas[:i+1]))
		out.Source += ", " + source
	}
	if len(out.samples) < 2 {
		return Profile{}, fmt.Errorf("the sections of the %s have no lift in common", s.Name)
	}
	out.Least, out.Min, out.Max = least(out.samples), out.samples[0].CL, out.samples[len(out.samples)-1].CL
	return out, nil
}

func sum(values []float64) float64 {
	total := 0.0
	for _, v := range values {
		total += v
	}
	return total
}

// spread returns the sections of a surface, each once, and the area that belongs to each.
func spread(s aircraft.Surface) (areas []unit.Area, list []aircraft.Section) {
	add := func(section aircraft.Section, area unit.Area) {
		i := slices.Index(list, section)
		if i < 0 {
			i, list, areas = len(list), append(list, section), append(areas, 0)
		}
		areas[i] += area
	}
	for i := 1; i < len(s.Stations); i++ {
		a, b := s.Stations[i-1], s.Stations[i]
		width := (s.Along(b) - s.Along(a)) / 2
		add(a.Section, width*(3*a.Chord+b.Chord)/4)
		add(b.Section, width*(a.Chord+3*b.Chord)/4)
	}
	return areas, list
}

// merge returns (1−f) a + f b at the lifts of both, where both have data.
func merge(a, b []sections.Sample, f unit.Ratio) []sections.Sample {
	var out []sections.Sample
	pa, pb := Profile{samples: a}, Profile{samples: b}
	for _, s := range slices.Concat(a, b) {
		x, okA := pa.at(s.CL)
		y, okB := pb.at(s.CL)
		if okA && okB {
			out = append(out, sections.Sample{CL: s.CL, CD: x + f*(y-x)})
		}
	}
	slices.SortFunc(out, byLift)
	return slices.CompactFunc(out, func(x, y sections.Sample) bool { return x.CL == y.CL })
}

// at returns cd of the samples at a lift that they may not have.
func (p Profile) at(cl unit.Coefficient) (unit.Coefficient, bool) {
	p.Min, p.Max, p.Least = p.samples[0].CL, p.samples[len(p.samples)-1].CL, least(p.samples)
	cd, err := p.Drag(cl)
	return cd, err == nil
}

func byLift(a, b sections.Sample) int { return cmp.Compare(a.CL, b.CL) }

// samplesOf returns drag over lift of a section at the Reynolds number of a plate: from its polars, or computed from its NACA designation.
func samplesOf(s aircraft.Section, p Plate) (samples []sections.Sample, source string, err error) {
	if family, ok := s.Family(); ok {
		polar, err := family.At(p.Reynolds)
		if err != nil {
			return nil, "", err
		}
		return rising(polar.Samples()), "polars of " + polar.Name, nil
	}
	if s.NACA == "" {
		return nil, "", fmt.Errorf("its section %s has neither polars nor a NACA designation", s.Name)
	}
	samples, err = computed(s.NACA, p)
	return samples, "section " + s.NACA + " computed", err
}

// computed returns drag over lift of a NACA section with the boundary layers of package section, whose transition is at the latest where that of the plate is.
func computed(designation string, p Plate) ([]sections.Sample, error) {
	profile, err := sections.NACA(designation)
	if err != nil {
		return nil, err
	}
	contour, err := profile.Sharp().Contour()
	if err != nil {
		return nil, err
	}
	flow, err := sections.Panels(contour)
	if err != nil {
		return nil, err
	}
	trip := min(max(p.Transition.at(p.Reynolds)/p.Reynolds, earliestTrip), latestTrip)
	var samples []sections.Sample
	for alpha := -12; alpha <= 18; alpha++ {
		v, err := flow.Viscous(float64(alpha)*unit.Degree, p.Reynolds, sections.Conditions{Trip: trip, Mach: p.Mach})
		if err != nil {
			return nil, err
		}
		samples = append(samples, sections.Sample{Alpha: v.Alpha, CL: v.Lift, CD: v.Drag})
	}
	return rising(samples), nil
}

// Stations of the trip that stand for transition at the nose and behind all that can stay laminar.
const (
	earliestTrip unit.Ratio = 0.01
	latestTrip   unit.Ratio = 0.9
)

// rising returns the samples between the least and the greatest lift next to no lift, over which lift rises.
func rising(samples []sections.Sample) []sections.Sample {
	middle := 0
	for i, s := range samples {
		if math.Abs(s.CL) < math.Abs(samples[middle].CL) {
			middle = i
		}
	}
	first, last := middle, middle
	for first > 0 && samples[first-1].CL < samples[first].CL {
		first--
	}
	for last < len(samples)-1 && samples[last+1].CL > samples[last].CL {
		last++
	}
	return samples[first : last+1]
}
