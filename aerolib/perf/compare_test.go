package perf

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"text/tabwriter"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

var update = flag.Bool("update", false, "write the golden files anew")

// pair is Sedge and Bracken, each with its description as performance sees it.
type pair struct {
	t     *testing.T
	air   atmos.Air
	names [2]string
	a     [2]Aeroplane
	g     [2]Ground
	table *tabwriter.Writer
}

// row writes a quantity of both, their difference, and why.
func (p *pair) row(quantity, format string, of func(i int) float64, why string) {
	p.t.Helper()
	s, b := of(0), of(1)
	fmt.Fprintf(p.table, "%s\t"+format+"\t"+format+"\t%+.1f\t%s\n", quantity, s, b, 100*(s/b-1), why)
}

// TestComparison holds the comparison of Sedge and Bracken, which have the same mass, power, wing and total area, to a golden table. The reasons are checked: with one cause
// taken away, or changed for that of the other, the difference goes the way the reason says.
func TestComparison(t *testing.T) {
	var out bytes.Buffer
	p := &pair{t: t, air: airAt(t, 0), table: tabwriter.NewWriter(&out, 0, 0, 2, ' ', 0)}
	for i, d := range []aircraft.Aircraft{aircraft.Sedge(), aircraft.Bracken()} {
		p.names[i] = d.Name
		p.a[i], p.g[i] = described(t, d)
	}
	fmt.Fprintf(p.table, "quantity\t%s\t%s\tΔ %%\tbecause\n", p.names[0], p.names[1])
	p.propulsion()
	p.inTheAir()
	p.onTheGround()
	p.causes()
	p.table.Flush()
	var trimmed []string
	for line := range strings.Lines(out.String()) {
		trimmed = append(trimmed, strings.TrimRight(line, " \n")+"\n")
	}
	got := strings.Join(trimmed, "")
	const name = "testdata/sedge-bracken.txt"
	if *update {
		if err := os.WriteFile(name, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if want, err := os.ReadFile(name); err != nil || !alike(got, string(want)) {
		t.Errorf("the comparison differs from %s (%v); look at it, and run go test with -update if it is right:\n%s", name, err, got)
	}
}

// alike compares two tables: numbers within 2 %, and their differences within 1.5 points, so that a refinement of what performance rests on leaves the table as it is.
func alike(got, want string) bool {
	cells := regexp.MustCompile(`\s{2,}`)
	a, b := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range a {
		x := cells.Split(a[i], -1)
		if i >= len(b) {
			return false
		}
		y := cells.Split(b[i], -1)
		if len(a) != len(b) || len(x) != len(y) {
			return false
		}
		for j := range x {
			u, err := strconv.ParseFloat(x[j], 64)
			v, err2 := strconv.ParseFloat(y[j], 64)
			within := 0.02 * math.Abs(v)
			if j == 3 {
				within = 1.5
			}
			if numbers := err == nil && err2 == nil; numbers && math.Abs(u-v) > within || !numbers && x[j] != y[j] {
				return false
			}
		}
	}
	return true
}

// efficiency returns the net efficiency at full throttle.
func (p *pair) efficiency(i int, V unit.TrueAirspeed) unit.Ratio {
	o := must[Output](p.t)(p.a[i].Propulsion.Full(p.air, V))
	return o.Thrust * V / o.Shaft
}

func (p *pair) propulsion() {
	for _, knots := range []float64{60, 80, 100, 120, 140} {
		why := ""
		if knots == 60 {
			why = "the pusher washes no body and wing with its slipstream and works in their wake; its disc is 6 % smaller, its cooling has no slipstream"
		}
		p.row(fmt.Sprintf("net efficiency at %.0f kt, %%", knots), "%.1f", func(i int) float64 { return 100 * p.efficiency(i, knots*unit.Knot) }, why)
	}
	p.row("net static thrust, N", "%.0f", func(i int) float64 { return must[Output](p.t)(p.a[i].Propulsion.Full(p.air, 0)).Thrust }, "smaller disc against scrubbing")
}

func (p *pair) inTheAir() {
	t := p.t
	p.row("greatest lift in trim", "%.3f", func(i int) float64 { return p.a[i].MaxLift }, "the foreplane stalls before the wing has used its own lift")
	p.row("stalling speed, kt", "%.1f", func(i int) float64 { return must[float64](t)(p.a[i].StallSpeed(p.air, 1)) / unit.Knot }, "1/√ of the lift")
	p.row("best L/D", "%.2f", func(i int) float64 { _, r, err := p.a[i].LiftToDrag(); return must[float64](t)(r, err) }, "the foreplane bears much lift on a short span")
	p.row("CD0 of the polar, counts", "%.0f", func(i int) float64 { return 1e4 * must[float64](t)(p.a[i].Polar.CD(0.1)) }, "at CL 0.1: skin and items of drag are nearly the same")
	p.row("climb at sea level, ft/min", "%.0f", func(i int) float64 { return must[Flight](t)(p.a[i].Fastest(p.air)).Rate / unit.FootPerMinute }, "net efficiency, less what drag takes of it")
	p.row("V_Y, kt", "%.1f", func(i int) float64 { return must[Flight](t)(p.a[i].Fastest(p.air)).Speed / unit.Knot }, "induced drag is more: fly faster")
	p.row("service ceiling, ft", "%.0f", func(i int) float64 { return must[float64](t)(p.a[i].Ceiling(atmos.Day{}, ServiceRate)) / unit.Foot }, "induced drag rules in thin air")
	p.row("top speed at sea level, kt", "%.1f", func(i int) float64 { return must[Flight](t)(p.a[i].TopSpeed(p.air)).Speed / unit.Knot }, "net efficiency: drag is the same")
	cruise := airAt(t, 8000*unit.Foot)
	p.row("fuel at 120 kt and 8000 ft, kg/h", "%.2f", func(i int) float64 {
		return must[Flight](t)(p.a[i].Level(cruise, 120*unit.Knot)).Plant.Fuel / unit.KilogramPerHour
	}, "drag over net efficiency")
	p.row("best range at 8000 ft, km for 60 kg", "%.0f", func(i int) float64 {
		f := must[Flight](t)(p.a[i].BestRange(cruise, 0))
		log := must[Log](t)(p.a[i].Fly(Mission{From: 8000 * unit.Foot, Legs: []Leg{{Kind: CruiseLeg, Fuel: 60, At: HoldLift(f.CL)}}}))
		return log.End().Distance / unit.Kilometre
	}, "L/D, less the gain in efficiency")
}

func (p *pair) onTheGround() {
	t := p.t
	r := Runway{Air: p.air}
	p.row("unstick speed, kt", "%.1f", func(i int) float64 {
		return must[float64](t)(p.a[i].Unstick(TakeOff{Runway: r, Ground: p.g[i]})) / unit.Knot
	},
		"the foreplane lifts the nose, and the lift with it; a tailplane pushes down")
	p.row("take-off run, m", "%.0f", func(i int) float64 {
		return must[Field](t)(p.a[i].TakeOff(TakeOff{Runway: r, Ground: p.g[i]})).GroundRun()
	}, "stalling speed squared")
	p.row("take-off to 50 ft, m", "%.0f", func(i int) float64 {
		return must[Field](t)(p.a[i].TakeOff(TakeOff{Runway: r, Ground: p.g[i]})).Sum().Distance
	}, "the same")
	p.row("landing from 50 ft, m", "%.0f", func(i int) float64 {
		return must[Field](t)(p.a[i].Land(Landing{Runway: r, Ground: p.g[i]})).Sum().Distance
	}, "the same, less in the approach")
	flapped := must[Ground](t)(GroundOf(aircraft.Bracken(), Setup{Flaps: map[string]unit.Angle{"flaps": 20 * unit.Degree}}))
	p.row("landing, Bracken with 20° of flap, m", "%.0f", func(i int) float64 {
		return must[Field](t)(p.a[i].Land(Landing{Runway: r, Ground: []Ground{p.g[0], flapped}[i]})).Sum().Distance
	}, "no reserve of the foreplane for flaps, so there are none")
}

// causes puts one property of Bracken in the place of Sedge's and holds the difference to shrink or to turn, as the reasons of the table say.
func (p *pair) causes() {
	t := p.t
	sedge, bracken := p.a[0], p.a[1]
	of := func(what string, differ func(Aeroplane) float64, change func(*Aeroplane), least float64) {
		t.Helper()
		other := sedge
		change(&other)
		full, rest := differ(sedge)-differ(bracken), differ(other)-differ(bracken)
		if share := 1 - rest/full; share < least {
			t.Errorf("%s: with that of Bracken %.4g is left of a difference of %.4g", what, rest, full)
		}
	}
	run := func(a Aeroplane) float64 { // of a clean aeroplane, without rotation
		return must[Field](t)(a.TakeOff(TakeOff{Runway: Runway{Air: p.air}, Ground: Ground{RollLift: 0.28}})).GroundRun()
	}
	of("run by greatest lift", run, func(a *Aeroplane) { a.MaxLift = bracken.MaxLift; a.Polar = bracken.Polar }, 0.9)
	top := func(a Aeroplane) float64 { return must[Flight](t)(a.TopSpeed(p.air)).Speed }
	of("top speed by propulsion", top, func(a *Aeroplane) { a.Propulsion = bracken.Propulsion }, 0.5)
	ceiling := func(a Aeroplane) float64 { return must[float64](t)(a.Ceiling(atmos.Day{}, ServiceRate)) }
	of("ceiling by polar", ceiling, func(a *Aeroplane) { a.Polar, a.MaxLift = bracken.Polar, bracken.MaxLift }, 0.5)
}
