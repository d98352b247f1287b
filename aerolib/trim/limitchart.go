package trim

import (
	"math"
	"slices"
	"sync"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// LimitChart is the CG limits against mass, with the slack at each point of a grid.
type LimitChart struct {
	Aircraft     string
	Reference    aircraft.Reference
	CG           unit.Length // of the aeroplane as it stands, with
	Mass         unit.Mass
	Masses       []unit.Mass
	Forward, Aft []unit.Length // at each mass
	ForwardBy    []string      // constraint that is active at each mass
	AftBy        []string
	Stations     []unit.Length
	Slack        [][]unit.Length // at [mass][station]: to the nearer limit, below zero outside
	Computed     []Limits        // at the masses between which everything is interpolated
	Caution      string
}

// Open reports whether there is a range at every mass.
func (c LimitChart) Open() bool {
	for i, x := range c.Forward {
		if x > c.Aft[i] {
			return false
		}
	}
	return true
}

// chartMasses is at how many masses a chart is computed; between them each bound is a parabola.
const chartMasses = 3

// Chart returns the CG limits from one mass to another on a grid of n masses and n stations. Each constraint is computed at three masses and follows a parabola between them: it
// depends on mass only by Reynolds numbers, thrust over weight and propellers. One that does not bound the CG at all three does not show. It returns the errors of
// [LimitModel.Limits] and one for a grid of fewer than two points or masses that do not rise.
func (m *LimitModel) Chart(from, to unit.Mass, n int) (LimitChart, error) {
	c := LimitChart{Aircraft: m.aircraft.Name, Reference: m.aircraft.Reference, CG: m.aircraft.CG, Mass: m.aircraft.Mass, Computed: make([]Limits, chartMasses)}
	for _, err := range []error{
		unit.CheckPositive("trim.Chart", "least mass", from, "kg"),
		unit.CheckPositive("trim.Chart", "range of masses", to-from, "kg"),
		unit.CheckRange("trim.Chart", "number of points", float64(n), 2, 1001, "1"),
	} {
		if err != nil {
			return c, err
		}
	}
	if err := m.compute(c.Computed, from, to); err != nil {
		return c, err
	}
	c.Caution = c.Computed[0].Caution
	for i := range n {
		c.addMass(from+(to-from)*float64(i)/float64(n-1), from, to)
	}
	c.addGrid(n)
	return c, nil
}

// compute finds the limits at the masses of the parabolas, at once.
func (m *LimitModel) compute(out []Limits, from, to unit.Mass) error {
	var group sync.WaitGroup
	failed := make([]error, len(out))
	for i := range out {
		group.Go(func() { out[i], failed[i] = m.Limits(from + (to-from)*float64(i)/float64(len(out)-1)) })
	}
	group.Wait()
	i := slices.IndexFunc(failed, func(err error) bool { return err != nil })
	if i >= 0 {
		return failed[i]
	}
	return nil
}

// addMass interpolates the constraints at a mass.
func (c *LimitChart) addMass(mass, from, to unit.Mass) {
	t := 2 * (mass - from) / (to - from)
	first := c.Computed[0]
	limit := map[Side]unit.Length{Forward: math.Inf(-1), Aft: math.Inf(1)}
	by := map[Side]string{}
	for i, k := range first.Constraints {
		a, b, d := k, c.Computed[1].Constraints[i], c.Computed[2].Constraints[i]
		if !(a.Bound || a.Unmet) || !(b.Bound || b.Unmet) || !(d.Bound || d.Unmet) {
			continue
		}
		x := a.X*(1-t)*(2-t)/2 + b.X*t*(2-t) + d.X*t*(t-1)/2
		if k.Side == Forward && x > limit[Forward] || k.Side == Aft && x < limit[Aft] {
			limit[k.Side], by[k.Side] = x, k.Name
		}
	}
	c.Masses = append(c.Masses, mass)
	c.Forward, c.ForwardBy = append(c.Forward, limit[Forward]), append(c.ForwardBy, by[Forward])
	c.Aft, c.AftBy = append(c.Aft, limit[Aft]), append(c.AftBy, by[Aft])
}

// addGrid lays stations over the limits, a quarter of their range wider on both sides.
func (c *LimitChart) addGrid(n int) {
	low, high := slices.Min(append(slices.Clone(c.Forward), c.Aft...)), slices.Max(append(slices.Clone(c.Forward), c.Aft...))
	wider := (high - low) / 4
	for i := range n {
		c.Stations = append(c.Stations, low-wider+(high-low+2*wider)*float64(i)/float64(n-1))
	}
	for i := range c.Masses {
		row := make([]unit.Length, n)
		for j, x := range c.Stations {
			row[j] = min(x-c.Forward[i], c.Aft[i]-x)
		}
		c.Slack = append(c.Slack, row)
	}
}

// SizePoint is the CG range with a surface of another size.
type SizePoint struct {
	Scale  unit.Ratio // of chords and span
	Area   unit.Area
	Limits Limits
}

// RangeAgainstSize returns the CG range with a surface of other sizes, as [aircraft.Aircraft.Resized] makes them: its arm stays, and its mass goes with its area.
// It returns the errors of [FindLimits], and one for a scale outside 0.3 to 3 or no such surface.
func RangeAgainstSize(a aircraft.Aircraft, surface string, scales []unit.Ratio, s LimitSettings) ([]SizePoint, error) {
	own, err := a.Surface(surface)
	if err != nil {
		return nil, err
	}
	var out []SizePoint
	for _, k := range scales {
		if err := unit.CheckRange("trim.RangeAgainstSize", "scale of the "+surface, k, 0.3, 3, "1"); err != nil {
			return nil, err
		}
		l, err := FindLimits(a.Resized(func(s aircraft.Surface) unit.Ratio {
			if s.Name == surface {
				return k
			}
			return 1
		}), s)
		if err != nil {
			return nil, err
		}
		out = append(out, SizePoint{k, k * k * own.Area(), l})
	}
	return out, nil
}
