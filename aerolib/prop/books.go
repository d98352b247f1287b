package prop

import (
	"fmt"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

// Row is a row of a bookkeeping.
type Row struct {
	Name  string
	Power unit.Power // losses are below zero
	Total bool       // a sum of the rows above, not a loss or gain
}

// Names of rows.
const (
	ShaftRow     = "shaft power"
	InducedRow   = "induced"
	SwirlRow     = "swirl"
	ProfileRow   = "profile"
	TipRow       = "tip and Mach"
	OutputRow    = "disc output"
	GainRow      = "blockage or wake gain"
	DeductionRow = "thrust deduction"
	BodyRow      = "scrubbing, body"
	WingRow      = "scrubbing, wing"
	TailRow      = "scrubbing, tail"
	CoolingRow   = "cooling"
	NetRow       = "net thrust power"
)

// Books say where the shaft power of an installed propeller goes, from the shaft to net thrust times speed.
type Books struct {
	Aircraft   string
	Pusher     bool
	Free       State // the propeller alone, at the same power and rotation
	Installed  Installed
	Rows       []Row
	Apparent   unit.Ratio // thrust of the propeller at its place times V over power
	Net        unit.Ratio // net thrust times V over power
	Blockage   unit.Ratio
	Wake       unit.Ratio // wake fraction
	Unbalanced unit.Power // the sum of the rows less net thrust times V: rounding
}

// Books returns the bookkeeping of a throttle. The rows down to the output of the disc are those of the propeller alone at the same power and rotation ([Losses]); the gain is what its
// thrust is more at its place, times V; what follows is [Added]. Errors are those of [Installation.At], and a [*SolutionError] where the shaft takes no power.
func (i Installation) Books(air atmos.Air, V unit.TrueAirspeed, throttle unit.Ratio) (Books, error) {
	s, err := i.At(air, V, throttle)
	if err != nil {
		return Books{}, err
	}
	if !(s.Power > 0) {
		return Books{}, &SolutionError{i.Plant.Name, V, fmt.Sprintf("the shaft power is %s, must be above zero to be accounted for", unit.Format(s.Power, "kW"))}
	}
	free, err := i.alone(air, s.Operating)
	if err != nil {
		return Books{}, err
	}
	b := Books{
		Aircraft: i.Aircraft, Pusher: i.Plant.Pusher, Free: free, Installed: s, Apparent: s.Apparent, Net: s.Efficient,
		Blockage: i.Blockage(), Wake: i.WakeFraction(),
	}
	b.fill()
	return b, nil
}

// fill writes the rows.
func (b *Books) fill() {
	l, s, v := b.Free.Losses, b.Installed, b.Installed.V
	for _, r := range []Row{
		{ShaftRow, s.Power, true},
		{InducedRow, -l.Ideal, false}, {SwirlRow, -l.Swirl, false}, {ProfileRow, -l.Profile, false}, {TipRow, -l.Tip - l.Mach, false},
		{OutputRow, b.Free.Thrust * v, true},
		{GainRow, (s.Thrust - b.Free.Thrust) * v, false}, {DeductionRow, -s.Added.Deduction * v, false},
		{BodyRow, -s.Added.Body * v, false}, {WingRow, -s.Added.Wing * v, false}, {TailRow, -s.Added.Tail * v, false}, {CoolingRow, -s.Added.Cooling * v, false},
		{NetRow, s.Net * v, true},
	} {
		r.Power += 0 // no −0
		b.Rows = append(b.Rows, r)
		if !r.Total || r.Name == ShaftRow {
			b.Unbalanced += r.Power
		}
	}
	b.Unbalanced -= s.Net * v
}

// alone returns the propeller in the undisturbed flow, at a pitch that takes the same power at the same rotation. It is a little above that of the installed one.
func (i Installation) alone(air atmos.Air, o Operating) (State, error) {
	flow := Flow{Air: air, V: o.V, Rotation: o.Rotation}
	lacking := func(pitch unit.Angle) (unit.Power, error) {
		flow.Pitch = pitch
		s, err := i.Propeller.Solve(flow)
		return s.Power - o.Power, err
	}
	const step = 1 * unit.Degree
	for low := max(o.Pitch-2*step, minPitch); low < min(o.Pitch+15*step, maxPitch-step); low += step {
		high, err := lacking(low + step)
		if err != nil {
			return State{}, err
		}
		if high < 0 {
			continue
		}
		if flow.Pitch, err = root(lacking, low, low+step); err != nil {
			return State{}, err
		}
		return i.Propeller.Solve(flow)
	}
	return State{}, &SolutionError{i.Plant.Name, o.V, "the propeller alone would stall at this power and rotation"}
}

// Elements returns the propeller of an installed state, with its blade elements.
func (i Installation) Elements(air atmos.Air, o Operating) (State, error) {
	return i.Propeller.Solve(Flow{Air: air, V: o.V, Rotation: o.Rotation, Pitch: o.Pitch, Inflow: i.inflow.at})
}
