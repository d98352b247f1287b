package trim

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/unit"
)

func TestDerivatives(t *testing.T) {
	reference.Check(t, "T1", 0, func(in reference.Inputs) reference.Values {
		d := Derivatives{CLAlpha: in.Get("CL_alpha"), CmAlpha: in.Get("Cm_alpha"), CG: in.Get("h_cg"), Reference: aircraft.Reference{Chord: 1}}
		return reference.Values{"SM": d.StaticMargin(), "h_n": d.NeutralPoint()}
	})
	reference.Check(t, "T3", 0, func(in reference.Inputs) reference.Values {
		d := Derivatives{CLAlpha: in.Get("CL_alpha"), CLDelta: in.Get("CL_de"), CmAlpha: in.Get("Cm_alpha"), CmDelta: in.Get("Cm_de")}
		return reference.Values{"det": d.determinant(), "d(de)/dCL": d.DeflectionSlope()}
	})
}

// TestAlgebraicCanard solves the two-surface equations with slopes and wash given.
func TestAlgebraicCanard(t *testing.T) {
	reference.Check(t, "T9", 0, func(in reference.Inputs) reference.Values {
		r := aircraft.Reference{Area: in.Get("Sw"), Chord: in.Get("c")}
		s := system{elements: []element{
			{area: in.Get("Sw"), x: in.Get("x_ac_wing"), slope: in.Get("aw"), couple: in.Get("Cm0") * r.Area * r.Chord},
			{area: in.Get("Sc"), x: in.Get("x_ac_canard"), slope: in.Get("ac"), turn: 1},
		}, wash: square(2), uneven: square(2)}
		s.wash[0][1] = in.Get("kappa") / in.Get("ac")
		d := need[Derivatives](t)(s.derivatives(r, in.Get("xcg"), 1))
		alpha, delta, err := d.Trim(in.Get("CL"))
		if err != nil {
			t.Fatal(err)
		}
		lift := need[[]float64](t)(s.lift([]float64{alpha, alpha + delta}))
		return reference.Values{"alpha": alpha, "delta_c": delta, "x_np": d.NeutralPoint(), "SM": d.StaticMargin(), "CL_canard_on_Sc": lift[1]}
	})
}

// bare returns the flat-plate surface of a lattice case.
func bare(in reference.Inputs, name string, role aircraft.Role, moves bool) aircraft.Surface {
	get := func(what string) float64 { return in.Get(name + " " + what) }
	s := aircraft.Trapezoid{
		Name: name, Role: role, Span: get("span"), RootChord: get("root chord"), TipChord: get("tip chord"), Sweep: get("sweep"), X: get("x"), Z: get("z"),
		Twist: get("twist"), Section: aircraft.Section{LiftSlope: 2 * math.Pi},
	}
	if moves {
		s.Controls = []aircraft.Control{{Name: name, Purpose: aircraft.Pitch, AllMoving: true, Min: -0.5, Max: 0.5}}
	}
	return s.Surface()
}

// TestAgainstLattice compares the closed form with a vortex lattice, with the gaps in the log (go test -v). Nothing in the method was adjusted to close them;
// the bands are the next round figure. They come from Küchemann's slope, which lies 3 to 7 % above a lattice for planforms of aspect ratio 8 or more without
// much taper, and goes into CL_α and α; and from the wash, taken at one distance for the whole span, which leaves the neutral point to some hundredths of a
// chord, and with it δ to a few tenths of a degree and the shares to a hundredth of CL.
func TestAgainstLattice(t *testing.T) {
	for _, c := range []struct {
		id, fixed, moving     string
		fixedRole, movingRole aircraft.Role
		delta, share          string // names of values in the case
	}{
		{"T10", "wing", "foreplane", aircraft.Wing, aircraft.Foreplane, "delta_c", "CL_canard_on_Sref"},
		{"T12", "rear", "front", aircraft.Wing, aircraft.Foreplane, "delta_f", ""},
		{"T13", "wing", "tailplane", aircraft.Wing, aircraft.Tailplane, "delta_t", "CL_tail_on_Sref"},
	} {
		file := reference.Load(t, c.id)
		in := file.Read(t)
		r := aircraft.Reference{Area: in.Get("Sref"), Chord: in.Get("cref")}
		s := need[system](t)(newSystem([]aircraft.Surface{bare(in, c.fixed, c.fixedRole, false), bare(in, c.moving, c.movingRole, true)}, 0, 0))
		cg, ok := in.All()["xcg"]
		if !ok { // the case puts it by static margin, ahead of the lattice's neutral point
			cg = file.Want(t, "x_np").Value - in.Get("SM")*r.Chord
		}
		d := need[Derivatives](t)(s.derivatives(r, cg, 1))
		alpha, delta, err := d.Trim(in.Get("CL"))
		if err != nil {
			t.Fatal(err)
		}
		compare := func(name string, got, band float64, symbol string) {
			want := file.Want(t, name).Value
			t.Logf("%s %-20s closed form %10s  lattice %10s  gap %10s", c.id, name, unit.Format(got, symbol), unit.Format(want, symbol), unit.Format(got-want, symbol))
			if !(math.Abs(got-want) <= band) {
				t.Errorf("%s: %s is %s, lattice %s, band %s", c.id, name, unit.Format(got, symbol), unit.Format(want, symbol), unit.Format(band, symbol))
			}
		}
		compare("x_np", d.NeutralPoint(), 0.04*r.Chord, "m")
		compare("CL_alpha", d.CLAlpha, 0.07*d.CLAlpha, "1/rad")
		compare("alpha", alpha, 0.08*alpha, "°")
		compare(c.delta, delta, 0.35*unit.Degree, "°")
		lift := need[[]float64](t)(s.lift([]float64{alpha + s.elements[0].fixed, alpha + delta}))
		if c.share != "" {
			compare(c.share, lift[1]*s.elements[1].area/r.Area, 0.01*in.Get("CL"), "1")
		}
		if c.id == "T12" {
			both := need[[]float64](t)(s.lift([]float64{1, 1}))
			compare("rear/front slope ratio", both[0]/both[1], 0.03, "1")
		}
	}
}

// surfacesOnly returns an aeroplane without bodies and power plants.
func surfacesOnly(a aircraft.Aircraft) aircraft.Aircraft {
	a.Bodies, a.Plants = nil, nil
	return a
}

func solved(t *testing.T, a aircraft.Aircraft) Result {
	t.Helper()
	c := need[Condition](t)(At(4000*unit.Foot, 110*unit.Knot))
	return need[Result](t)(Solve(a, c))
}

func TestResiduals(t *testing.T) {
	for _, a := range []aircraft.Aircraft{aircraft.Sedge(), aircraft.Bracken()} {
		r := solved(t, a)
		if math.Abs(r.ForceResidual) > 1e-9*r.Weight || math.Abs(r.MomentResidual) > 1e-9*r.Weight*r.Reference.Chord {
			t.Errorf("%s: residuals %v N, %v N m", a.Name, r.ForceResidual, r.MomentResidual)
		}
		var about, share, cl float64 // moment about the datum must be that of the weight held at the CG
		for _, l := range slices.Concat(r.Loads, r.Others) {
			about += l.Moment - l.Lift*r.CG
			share += l.Share
			cl += l.CLShare
		}
		if math.Abs(about+r.Weight*r.CG) > 1e-9*r.Weight {
			t.Errorf("%s: moment about the datum %v, want %v", a.Name, about, -r.Weight*r.CG)
		}
		if math.Abs(share-1) > 1e-12 || math.Abs(cl-r.CL) > 1e-12 {
			t.Errorf("%s: shares sum to %v, coefficients to %v of %v", a.Name, share, cl, r.CL)
		}
		for i, s := range a.Lifting() {
			l := r.Loads[i]
			if want := need[float64](t)(slope(s, r.Mach)) * (l.LocalAlpha - s.Section().ZeroLift); math.Abs(l.CL-want) > 1e-12 {
				t.Errorf("%s: the %s has CL %v, its local angle asks for %v", a.Name, l.Name, l.CL, want)
			}
		}
		if CL, Cm := r.Model.At(r.Alpha, r.Deflection); math.Abs(CL-r.CL) > 1e-12 || math.Abs(Cm) > 1e-12 {
			t.Errorf("%s: the model has CL %v, Cm %v", a.Name, CL, Cm)
		}
	}
}

// TestSigns holds what a practitioner expects of either layout.
func TestSigns(t *testing.T) {
	sedge, bracken := solved(t, aircraft.Sedge()), solved(t, aircraft.Bracken())
	wing, foreplane := sedge.Loads[0], sedge.Loads[1]
	switch {
	case foreplane.Arm >= 0 || wing.Arm <= 0:
		t.Errorf("arms %v, %v", foreplane.Arm, wing.Arm)
	case foreplane.Share < 0.15 || foreplane.Share > 0.4 || foreplane.CL <= wing.CL:
		t.Errorf("the foreplane carries %v at CL %v, the wing CL %v", foreplane.Share, foreplane.CL, wing.CL)
	case wing.Downwash <= 0 || foreplane.Downwash >= 0:
		t.Errorf("wash %v on the wing, %v on the foreplane", wing.Downwash, foreplane.Downwash)
	case sedge.Model.DeflectionSlope() <= 0 || bracken.Model.DeflectionSlope() >= 0:
		t.Errorf("dδ/dCL %v, %v", sedge.Model.DeflectionSlope(), bracken.Model.DeflectionSlope())
	case bracken.Loads[1].Downwash <= 0 || math.Abs(bracken.Loads[1].Share) > 0.1:
		t.Errorf("tailplane %+v", bracken.Loads[1])
	case !sedge.Stable || !bracken.Stable || len(sedge.Notes)+len(bracken.Notes) > 0:
		t.Errorf("stable %v %v, notes %q %q", sedge.Stable, bracken.Stable, sedge.Notes, bracken.Notes)
	case sedge.CG >= aircraft.Sedge().Surfaces[0].LeadingEdge():
		t.Error("the CG of a foreplane layout lies ahead of the mean chord of the wing")
	}
	for _, r := range []Result{sedge, bracken} {
		slow := need[Result](t)(Solve(map[string]func() aircraft.Aircraft{"Sedge": aircraft.Sedge, "Bracken": aircraft.Bracken}[r.Aircraft](),
			Condition{Air: r.Condition.Air, Speed: 0.8 * r.Condition.Speed}))
		if change := (slow.Deflection - r.Deflection) * r.Model.DeflectionSlope(); change <= 0 || slow.Alpha <= r.Alpha {
			t.Errorf("%s slower: α %v to %v, δ %v to %v", r.Aircraft, r.Alpha, slow.Alpha, r.Deflection, slow.Deflection)
		}
	}
}

func TestNeutralPoint(t *testing.T) {
	for _, a := range []aircraft.Aircraft{aircraft.Sedge(), aircraft.Bracken()} {
		n := need[Neutral](t)(NeutralPoint(a, 0))
		moved := a
		moved.CG += 0.7
		m := need[Neutral](t)(NeutralPoint(moved, 0))
		if math.Abs(n.X-m.X) > 1e-12 {
			t.Errorf("%s: the neutral point moves with the CG, %v to %v", a.Name, n.X, m.X)
		}
		sum := n.CG
		for _, term := range n.Terms {
			sum += term.Shift
		}
		if math.Abs(sum-n.X) > 1e-12 || math.Abs(n.StaticMargin-(n.X-n.CG)/n.Reference.Chord) > 1e-12 {
			t.Errorf("%s: parts end at %v, neutral point %v, margin %v", a.Name, sum, n.X, n.StaticMargin)
		}
		if n.Terms[1].Shift*(a.Surfaces[1].QuarterChord()-a.CG) <= 0 {
			t.Errorf("%s: the second surface shifts the neutral point by %v", a.Name, n.Terms[1].Shift)
		}
		moved.CG = n.X
		if d := need[Derivatives](t)(Derive(moved, "", 0)); math.Abs(d.DeflectionSlope()) > 1e-12 || math.Abs(d.StaticMargin()) > 1e-12 {
			t.Errorf("%s: at the neutral point dδ/dCL %v, margin %v", a.Name, d.DeflectionSlope(), d.StaticMargin())
		}
	}
}

// TestWingAlone: without a second surface the neutral point is the quarter point of the mean chord, and CL_α that of the wing.
func TestWingAlone(t *testing.T) {
	a := surfacesOnly(aircraft.Sedge())
	a.Surfaces = a.Surfaces[:1]
	n := need[Neutral](t)(NeutralPoint(a, 0))
	alone := need[float64](t)(slope(a.Surfaces[0], 0))
	if math.Abs(n.X-a.Surfaces[0].QuarterChord()) > 1e-12 || math.Abs(n.CLAlpha-alone) > 1e-12 {
		t.Errorf("neutral point %v, CLα %v", n.X, n.CLAlpha)
	}
	if _, err := Derive(a, "", 0); err == nil || !strings.Contains(err.Error(), "no control for pitch") {
		t.Errorf("error %v", err)
	}
	full := surfacesOnly(aircraft.Sedge())
	tiny, _ := full.Surface("foreplane")
	if m := need[Neutral](t)(NeutralPoint(full.With(tiny.Scaled(1e-4)), 0)); math.Abs(m.X-n.X) > 1e-4 {
		t.Errorf("with a tiny foreplane %v, alone %v", m.X, n.X)
	}
}

// TestScale: a model of any size with mass in proportion to area flies at the same speed, angles and coefficients.
func TestScale(t *testing.T) {
	for _, a := range []aircraft.Aircraft{surfacesOnly(aircraft.Sedge()), surfacesOnly(aircraft.Bracken())} {
		r := solved(t, a)
		const k = 0.37
		b := a
		b.Mass *= k * k
		b.CG *= k
		b.Reference.Area *= k * k
		b.Reference.Chord *= k
		b.Reference.Span *= k
		for _, s := range a.Surfaces {
			root := s.Root()
			b = b.With(s.Scaled(k).Moved((k-1)*root.X, (k-1)*root.Y, (k-1)*root.Z))
		}
		m := solved(t, b)
		if math.Abs(m.Alpha-r.Alpha) > 1e-12 || math.Abs(m.Deflection-r.Deflection) > 1e-12 || math.Abs(m.Neutral.X-k*r.Neutral.X) > 1e-12 ||
			math.Abs(m.Neutral.StaticMargin-r.Neutral.StaticMargin) > 1e-12 {
			t.Errorf("%s: α %v and %v, δ %v and %v", a.Name, m.Alpha, r.Alpha, m.Deflection, r.Deflection)
		}
	}
}

// TestUpsideDown: an aeroplane with all its cambers, twists and incidences reversed and mirrored in z has the constant terms reversed and the same slopes.
func TestUpsideDown(t *testing.T) {
	for _, a := range []aircraft.Aircraft{surfacesOnly(aircraft.Sedge()), surfacesOnly(aircraft.Bracken())} {
		d := need[Derivatives](t)(Derive(a, "", 0))
		a = a.Clone()
		for _, s := range a.Lifting() {
			s.Incidence = -s.Incidence
			for i := range s.Stations {
				station := &s.Stations[i]
				station.Z, station.Twist = -station.Z, -station.Twist
				station.Section.ZeroLift, station.Section.Moment = -station.Section.ZeroLift, -station.Section.Moment
			}
			a = a.With(s)
		}
		m := need[Derivatives](t)(Derive(a, "", 0))
		for name, pair := range map[string][2]float64{
			"CL0": {-d.CL0, m.CL0}, "Cm0": {-d.Cm0, m.Cm0}, "CLα": {d.CLAlpha, m.CLAlpha}, "Cmα": {d.CmAlpha, m.CmAlpha},
			"CLδ": {d.CLDelta, m.CLDelta}, "Cmδ": {d.CmDelta, m.CmDelta},
		} {
			if math.Abs(pair[0]-pair[1]) > 1e-12 {
				t.Errorf("%s: %s %v, upside down %v", a.Name, name, pair[0], pair[1])
			}
		}
	}
}

// TestConstantMoments: washout on a swept-back wing raises the nose at zero lift, camber lowers it.
func TestConstantMoments(t *testing.T) {
	shape := func(twist unit.Angle, moment unit.Coefficient) aircraft.Surface {
		wing := aircraft.Sedge().Surfaces[0]
		for i := range wing.Stations {
			wing.Stations[i].Section.Moment = moment
		}
		wing.Stations[1].Twist = twist
		return wing
	}
	wing := shape(0, 0)
	couple := func(s aircraft.Surface) float64 { return need[element](t)(newElement(s, 0)).couple }
	if got := couple(wing); got != 0 {
		t.Errorf("flat wing has %v", got)
	}
	washout, camber := shape(-2*unit.Degree, 0), shape(0, -0.05)
	if couple(washout) <= 0 || math.Abs(couple(camber)+0.05*wing.Area()*wing.MeanChord()) > 1e-12 {
		t.Errorf("washout %v, camber %v", couple(washout), couple(camber))
	}
	more := aircraft.Sedge()
	for i := range more.Surfaces[0].Stations {
		more.Surfaces[0].Stations[i].Section.ZeroLift -= 1 * unit.Degree
	}
	before, after := need[Derivatives](t)(Derive(aircraft.Sedge(), "", 0)), need[Derivatives](t)(Derive(more, "", 0))
	if after.CL0 <= before.CL0 || after.Cm0 >= before.Cm0 { // the wing lies behind the CG
		t.Errorf("with more camber CL0 goes from %v to %v, Cm0 from %v to %v", before.CL0, after.CL0, before.Cm0, after.Cm0)
	}
	// the closed form of the twist moment, by strips
	var area, mean, sum float64
	const strips = 20000
	for pass := range 2 {
		for i := range strips {
			eta := (float64(i) + 0.5) / strips
			chord := wing.Root().Chord + (wing.Tip().Chord-wing.Root().Chord)*eta
			if pass == 0 {
				area += chord
				mean += chord * washout.Tip().Twist * eta
				continue
			}
			x := wing.Root().X + eta*wing.Semispan()*math.Tan(wing.SweepAt(0)) + chord/4
			sum += chord * (washout.Tip().Twist*eta - mean/area) * (x - wing.QuarterChord())
		}
	}
	if got := twistMoment(washout); math.Abs(got-sum/area) > 1e-9 {
		t.Errorf("twist moment %v, by strips %v", got, sum/area)
	}
}

func TestNotesAndLimits(t *testing.T) {
	air := need[atmos.Air](t)(atmos.Standard(0))
	has := func(r Result, text string) {
		t.Helper()
		if !strings.Contains(strings.Join(r.Notes, "\n"), text) {
			t.Errorf("notes %q, want %q", r.Notes, text)
		}
	}
	a := aircraft.Sedge()
	slow, err := Solve(a, Condition{Air: air, Speed: 50 * unit.Knot})
	has(slow, "The foreplane would need CL")
	if err != nil {
		t.Error(err)
	}
	var limit *LimitError
	beyond := a
	beyond.CG -= 0.6
	r, err := Solve(beyond, Condition{Air: air, Speed: 40 * unit.Knot})
	if !errors.As(err, &limit) || limit.Surface != "foreplane" || r.Deflection <= limit.Max || !strings.Contains(err.Error(), "beyond the limit of 12.00°") {
		t.Errorf("error %v", err)
	}
	pushed := aircraft.Bracken()
	pushed.CG -= 0.4
	if _, err := Solve(pushed, Condition{Air: air, Speed: 42 * unit.Knot}); !errors.As(err, &limit) || !strings.Contains(err.Error(), "beyond the limit of -14.00°") {
		t.Errorf("error %v", err)
	}
	unstable := a
	unstable.CG = 3.65
	r = solved(t, unstable)
	has(r, "Unstable: the CG is 0.0")
	if r.Stable {
		t.Error("stable")
	}
	skin := need[drag.Buildup](t)(drag.Build(a, drag.Flight{Air: air, Speed: 200}, drag.Options{Surfaces: drag.Raymer}))
	fast := need[Result](t)(Solve(a, Condition{Air: air, Speed: 0.75 * air.SpeedOfSound, Buildup: &skin, Omit: Bare}))
	has(fast, "Mach 0.75 is above 0.7")
	stub, _ := a.Surface("foreplane")
	stub.Stations = []aircraft.Station{stub.Root(), stub.Root()}
	stub.Stations[1].Y = 0.6
	stub.Stations[0].Section.MaxLift, stub.Stations[1].Section.MaxLift = 0, 0
	r, _ = Solve(a.With(stub), Condition{Air: air, Speed: 90 * unit.Knot})
	has(r, "aspect ratio 2.2")
	has(r, "hardly linear")
}

func TestRefuses(t *testing.T) {
	air := need[atmos.Air](t)(atmos.Standard(0))
	good := Condition{Air: air, Speed: 50}
	second := func(_ any, err error) error { return err }
	change := func(edit func(*aircraft.Aircraft)) aircraft.Aircraft {
		a := aircraft.Sedge()
		edit(&a)
		return a
	}
	abreast := change(func(a *aircraft.Aircraft) { a.Surfaces[1] = a.Surfaces[1].Moved(3.6, 0, 0.6) })
	both := change(func(a *aircraft.Aircraft) {
		a.Surfaces[0].Controls = append(a.Surfaces[0].Controls, aircraft.Control{Name: "elevator", Purpose: aircraft.Pitch, To: 1, Chord: 0.3, Min: -0.3, Max: 0.3})
	})
	bad := change(func(a *aircraft.Aircraft) { a.Mass = math.NaN() })
	for want, err := range map[string]error{
		"altitude is 90000 m":                                  second(At(90000, 50)),
		"air density is 0 kg/m³":                               second(Solve(aircraft.Sedge(), Condition{Speed: 50})),
		"true airspeed is NaN m/s":                             second(Solve(aircraft.Sedge(), Condition{Air: air, Speed: math.NaN()})),
		"true airspeed is -50.0 m/s":                           second(Solve(aircraft.Sedge(), Condition{Air: air, Speed: -50})),
		"speed of sound is 0 m/s":                              second(Solve(aircraft.Sedge(), Condition{Air: atmos.Air{Density: 1}, Speed: 50})),
		"Mach number is 0.970":                                 second(Solve(aircraft.Sedge(), Condition{Air: air, Speed: 330})),
		"mass is NaN kg":                                       second(Solve(bad, good)),
		"aircraft: Sedge: mass: state: mass is NaN kg, must b": second(Derive(bad, "", 0)),
		"state: mass is NaN":                                   second(NeutralPoint(bad, 0)),
		"no control for pitch called \"wing\"":                 second(Solve(aircraft.Sedge(), Condition{Air: air, Speed: 50, Control: "wing"})),
		"name the one that trims":                              second(Solve(both, good)),
		"apart lengthwise":                                     second(Solve(abreast, good)),
		"the closed form needs at least":                       second(NeutralPoint(abreast, 0)),
		"the closed form needs":                                second(Derive(abreast, "", 0)),
		"lift coefficient is NaN":                              func() error { _, _, err := (Derivatives{}).Trim(math.NaN()); return err }(),
		"so it cannot trim": func() error {
			_, _, err := (Derivatives{CLAlpha: 5, CLDelta: 5, CmAlpha: -1, CmDelta: -1}).Trim(0.5)
			return err
		}(),
	} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want %q", err, want)
		}
	}
	if r, err := Solve(both, Condition{Air: air, Speed: 50, Control: "foreplane"}); err != nil || r.Loads[1].Deflection != r.Deflection {
		t.Errorf("named control: %v", err)
	}
}
