package trim

import (
	"math"
	"slices"
	"sync"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

// WakeRule says how wakes run.
type WakeRule string

// Rules for wakes.
const (
	AlongStream WakeRule = "along the free stream"
	AlongX      WakeRule = "along x"
)

// approach is the flow about an aeroplane on its way to the stall, as the lattice has it: streams at several angles of attack, each factorised when it is first needed, between which everything
// varies linearly. Fins in the plane of symmetry take no part.
type approach struct {
	surfaces  []lattice.Surface
	reference lattice.Reference
	controls  []string
	wake      WakeRule
	rows      int                                // panels along the chord
	across    int                                // strips on the longest half span
	ground    func(alpha unit.Angle) unit.Length // height of the datum; nil is free air
	points    []lattice.Point                    // where upwash is wanted: along bodies, at propellers

	bodies []bodyPoint
	discs  []disc // without normal force

	mu      sync.Mutex
	streams map[int]*stream
	columns []lattice.Strip // to starboard, the same in all streams
}

// Steps of the angle of attack between which wakes are interpolated, and bounds of the search.
const (
	wakeStep   unit.Angle = 3 * unit.Degree
	steepest   unit.Angle = 28 * unit.Degree // beyond, no section keeps the flow attached
	shallowest unit.Angle = -12 * unit.Degree
	wakeCore   unit.Ratio = 0.02 // of the reference chord: a wake that meets another surface does not tear it
)

// newApproach describes the surfaces of an aeroplane with the controls that act on both sides alike, and with a turn of each whole surface that is named.
func newApproach(a aircraft.Aircraft, wake WakeRule, rows, strips int, turned ...string) (*approach, error) {
	surfaces, err := a.Lattice()
	if err != nil {
		return nil, err
	}
	p := &approach{reference: a.LatticeReference(), wake: wake, rows: rows, across: strips, streams: map[int]*stream{}}
	for _, s := range surfaces {
		if !s.Mirrored {
			continue
		}
		s.Controls = slices.DeleteFunc(slices.Clone(s.Controls), func(c lattice.Control) bool { return c.Opposite })
		if slices.Contains(turned, s.Name) {
			s.Controls = append(s.Controls, lattice.Control{Name: turnOf(s.Name)})
		}
		for i := range s.Stations {
			s.Stations[i].Section = nil
		}
		for _, c := range s.Controls {
			p.controls = append(p.controls, c.Name)
		}
		p.surfaces = append(p.surfaces, s)
	}
	return p, nil
}

// turnOf names the turn of a whole surface.
func turnOf(surface string) string { return "turn of the " + surface }

// index returns the amount of a control.
func (p *approach) index(control string) int { return 2 + slices.Index(p.controls, control) }

// model returns the lattice at an angle of attack of the stream.
func (p *approach) model(alpha unit.Angle) (*lattice.Model, error) {
	s := lattice.Settings{Reference: p.reference, Rows: p.rows, Strips: p.across, Core: wakeCore * p.reference.Chord}
	if p.wake == AlongStream {
		s.Wake.Alpha = alpha
	}
	if p.ground != nil {
		s.Ground = p.ground(alpha)
	}
	return lattice.New(p.surfaces, s)
}

// stream returns the one with the number k, counted from α = 0.
func (p *approach) stream(k int) (*stream, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if s := p.streams[k]; s != nil {
		return s, nil
	}
	m, err := p.model(float64(k) * wakeStep)
	if err != nil {
		return nil, err
	}
	s, strips, err := newStream(m, p)
	if err != nil {
		return nil, err
	}
	p.streams[k] = s
	if p.columns == nil { // read without the lock by whoever has had a stream
		p.columns = strips
	}
	return s, nil
}

// share is a stream with the part that it has in what lies between it and the next.
type share struct {
	*stream
	part unit.Ratio
}

// at returns the streams that an angle of attack lies between.
func (p *approach) at(alpha unit.Angle) ([]share, error) {
	if err := unit.CheckRange("trim.Stall", "angle of attack on the way to the stall", alpha, shallowest, steepest, "°"); err != nil {
		return nil, err
	}
	if p.wake == AlongX && p.ground == nil {
		s, err := p.stream(0)
		return []share{{s, 1}}, err
	}
	low := math.Floor(alpha / wakeStep)
	f := alpha/wakeStep - low
	a, err := p.stream(int(low))
	if err != nil || f == 0 {
		return []share{{a, 1}}, err
	}
	b, err := p.stream(int(low) + 1)
	return []share{{a, 1 - f}, {b, f}}, err
}

// force is that on all surfaces over the dynamic pressure, along the axes, with the moment about the datum, and the induced drag.
type force struct {
	x, z, induced unit.Area
	moment        unit.Volume
}

// forces of the amounts a.
func forces(streams []share, a []unit.Ratio) force {
	var f force
	pairs := products(a)
	for _, s := range streams {
		f.x += s.part * dot(s.x, pairs)
		f.z += s.part * dot(s.z, pairs)
		f.moment += s.part * dot(s.moment, pairs)
		f.induced += s.part * dot(s.induced, pairs)
	}
	return f
}

// about returns the moment about a point.
func (f force) about(x, z unit.Length) unit.Volume { return f.moment + x*f.z - z*f.x }

// lift and drag at an angle of attack.
func (f force) lift(alpha unit.Angle) unit.Area { return f.z*math.Cos(alpha) - f.x*math.Sin(alpha) }

// circulation of strip i over the speed.
func circulation(streams []share, a []unit.Ratio, i int) unit.Length {
	sum := 0.0
	for _, s := range streams {
		sum += s.part * dot(s.circulation[i], a)
	}
	return sum
}

// upwash at point i, as an angle.
func upwash(streams []share, a []unit.Ratio, i int) unit.Angle {
	sum := 0.0
	for _, s := range streams {
		sum += s.part * dot(s.upwash[i], a)
	}
	return sum
}
