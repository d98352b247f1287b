package aircraft_test

import (
	"math"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/lattice"
	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

func body(stations ...aircraft.BodyStation) aircraft.Body {
	return aircraft.Body{Name: "body", Stations: stations}
}

// TestBodies holds the integrals against closed forms of cone, cylinder, frustum and elliptic cylinder, whose girth is 4a E(e²).
func TestBodies(t *testing.T) {
	cone := body(aircraft.BodyStation{}, aircraft.BodyStation{X: 3, Width: 2, Height: 2})
	near(t, "cone", cone.WettedArea(), math.Pi*math.Hypot(3, 1), 1e-9)
	near(t, "volume of the cone", cone.Volume(), math.Pi, 1e-14)
	near(t, "its base", cone.BaseArea(), math.Pi, 1e-14)
	pipe := body(aircraft.BodyStation{Width: 2, Height: 2}, aircraft.BodyStation{X: 5, Width: 2, Height: 2})
	near(t, "cylinder", pipe.WettedArea(), 10*math.Pi, 1e-12)
	near(t, "volume of the cylinder", pipe.Volume(), 5*math.Pi, 1e-14)
	near(t, "fineness", pipe.Fineness(), 2.5, 1e-14)
	frustum := body(aircraft.BodyStation{Width: 2, Height: 2}, aircraft.BodyStation{X: 2, Width: 1, Height: 1})
	near(t, "frustum", frustum.WettedArea(), math.Pi*1.5*math.Hypot(2, 0.5), 1e-9)
	near(t, "volume of the frustum", frustum.Volume(), math.Pi*2/3*(1+0.5+0.25), 1e-14)
	oval := body(aircraft.BodyStation{Width: 2, Height: 1}, aircraft.BodyStation{X: 1, Width: 2, Height: 1})
	near(t, "ellipse, half axes 1 and ½", oval.WettedArea(), 4.844224110273838, 1e-9) // 4 E(¾)
	near(t, "volume of the ellipse", oval.Volume(), math.Pi/2, 1e-14)
	near(t, "frontal area", oval.FrontalArea(), math.Pi/2, 1e-14)
	near(t, "diameter", oval.Diameter(), math.Sqrt2, 1e-14)
	near(t, "length", body(aircraft.BodyStation{X: 2}, aircraft.BodyStation{X: 5, Width: 1, Height: 1}).Length(), 3, 0)
	near(t, "width half way", cone.At(1.5).Width, 1, 1e-14)
	if cone.At(-1).Width != 0 || cone.At(4).Height != 0 || cone.Width() != 2 {
		t.Error("a body has sections beyond its ends")
	}
	slanted := body(aircraft.BodyStation{Width: 2, Height: 2}, aircraft.BodyStation{X: 5, Z: 1, Width: 2, Height: 2})
	if slanted.WettedArea() <= pipe.WettedArea() || slanted.Volume() != pipe.Volume() {
		t.Error("a sheared cylinder has more skin and the same volume")
	}
}

// TestInertia holds rod, box and parallel axes against closed forms, and the tensor against turning and moving the datum.
func TestInertia(t *testing.T) {
	rod := aircraft.MassItem{Name: "rod", Mass: 12, Box: aircraft.Box{X: 2}}
	box := aircraft.MassItem{Name: "box", Mass: 12, Box: aircraft.Box{X: 1, Y: 2, Z: 3}}
	weigh := func(items ...aircraft.MassItem) aircraft.Balance {
		b, err := aircraft.Weigh(items)
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	if got := weigh(rod).Inertia; got != (aircraft.Inertia{YY: 4, ZZ: 4}) { // m l²/12
		t.Errorf("rod %+v", got)
	}
	if got := weigh(box).Inertia; got != (aircraft.Inertia{XX: 13, YY: 10, ZZ: 5}) { // m (b² + c²)/12
		t.Errorf("box %+v", got)
	}
	a, b := aircraft.MassItem{Name: "a", Mass: 1, X: 1, Y: 2, Z: 3}, aircraft.MassItem{Name: "b", Mass: 1, X: -1, Y: -2, Z: -3}
	if got := weigh(a, b).Inertia; got != (aircraft.Inertia{XX: 26, YY: 20, ZZ: 10, XY: 4, YZ: 12, XZ: 6}) {
		t.Errorf("two points %+v", got)
	}
	if m := weigh(a, b).Inertia.Tensor(); m[0][2] != -6 || m[1][2] != -12 || m[2][1] != -12 || m[1][1] != 20 {
		t.Errorf("tensor %v", m)
	}
	own := aircraft.MassItem{Name: "own", Mass: 2, Own: aircraft.Inertia{XX: 1, YY: 2, ZZ: 2.5, XZ: -0.1}}
	if got := weigh(own).Inertia; got != own.Own {
		t.Errorf("stated inertia %+v", got)
	}
	if _, err := aircraft.Weigh(nil); err == nil {
		t.Error("no masses passed")
	}
}

// TestMirror: with port and starboard exchanged, products of inertia with y change sign and nothing else; the fleet has none.
func TestMirror(t *testing.T) {
	items := []aircraft.MassItem{
		{Name: "a", Mass: 3, X: 1, Y: 0.5, Z: 0.2, Own: aircraft.Inertia{XX: 1, YY: 1, ZZ: 1, XY: 0.1, YZ: -0.2, XZ: 0.3}},
		{Name: "b", Mass: 2, X: -1, Y: -0.7, Z: 0.1, Box: aircraft.Box{X: 1, Y: 2}},
	}
	a, _ := aircraft.Weigh(items)
	for i := range items {
		items[i].Y, items[i].Own.XY, items[i].Own.YZ = -items[i].Y, -items[i].Own.XY, -items[i].Own.YZ
	}
	b, _ := aircraft.Weigh(items)
	near(t, "y", b.Y, -a.Y, 1e-15)
	a.Inertia.XY, a.Inertia.YZ, a.Y = -a.Inertia.XY, -a.Inertia.YZ, -a.Y
	for i, row := range b.Inertia.Tensor() {
		for j, v := range row {
			near(t, "inertia", v, a.Inertia.Tensor()[i][j], 1e-14)
		}
	}
	for _, x := range aircraft.Fleet() {
		if sum, _ := x.Balance(); math.Abs(sum.Inertia.XY) > 1e-9 || math.Abs(sum.Inertia.YZ) > 1e-9 {
			t.Errorf("%s: %+v", x.Name, sum.Inertia)
		}
	}
}

// TestTailless: an aeroplane of a wing alone, with elevons in its file as two controls, is complete.
func TestTailless(t *testing.T) {
	a := aircraft.Sedge()
	a.Surfaces = append(a.Surfaces[:1], a.Surfaces[2])
	a.Surfaces[0].Controls = append(a.Surfaces[0].Controls, aircraft.Control{Name: "pitch", Purpose: aircraft.Pitch, From: 0.2, To: 0.56, Chord: 0.25, Min: -0.3, Max: 0.3})
	a.CG = 3.9
	again, err := aircraft.Read(strings.NewReader(a.String()))
	if err != nil || again.CG != 3.9 || len(again.Lifting()) != 1 {
		t.Errorf("%v, CG %v", err, again.CG)
	}
}

// shifted moves the datum: every station is further aft and higher.
func shifted(a aircraft.Aircraft, dx, dz float64) aircraft.Aircraft {
	a = a.Clone()
	for i, s := range a.Surfaces {
		a.Surfaces[i] = s.Moved(dx, 0, dz)
	}
	for _, b := range a.Bodies {
		for i := range b.Stations {
			b.Stations[i].X, b.Stations[i].Z = b.Stations[i].X+dx, b.Stations[i].Z+dz
		}
	}
	for i := range a.Masses {
		a.Masses[i].X, a.Masses[i].Z = a.Masses[i].X+dx, a.Masses[i].Z+dz
	}
	for i := range a.Wheels {
		a.Wheels[i].X, a.Wheels[i].Z = a.Wheels[i].X+dx, a.Wheels[i].Z+dz
	}
	for i := range a.Plants {
		a.Plants[i].X, a.Plants[i].Z = a.Plants[i].X+dx, a.Plants[i].Z+dz
	}
	a.CG, a.CGHeight, a.Reference.LeadingEdge = a.CG+dx, a.CGHeight+dz, a.Reference.LeadingEdge+dx
	return a
}

// TestDatum: the datum is a convention. Lengths, areas, volumes, inertia and stance do not know it; stations follow.
func TestDatum(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		b := shifted(a, 1.7, -0.4)
		if err := b.Validate(); err != nil {
			t.Error(err)
		}
		for i, s := range a.Surfaces {
			u := b.Surfaces[i]
			near(t, "exposed area", b.ExposedArea(u), a.ExposedArea(s), 1e-9)
			near(t, "wetted area", b.WettedArea(u), a.WettedArea(s), 1e-9)
			near(t, "volume", b.TailVolume(u), a.TailVolume(s), 1e-12)
			near(t, "quarter chord", u.QuarterChord(), s.QuarterChord()+1.7, 1e-12)
		}
		near(t, "body", b.Bodies[0].WettedArea(), a.Bodies[0].WettedArea(), 1e-12)
		near(t, "fraction", b.Reference.Fraction(b.CG), a.Reference.Fraction(a.CG), 1e-12)
		before, _ := a.Balance()
		after, _ := b.Balance()
		near(t, "CG", after.X, before.X+1.7, 1e-12)
		for i, row := range after.Inertia.Tensor() {
			for j, v := range row {
				near(t, "inertia", v, before.Inertia.Tensor()[i][j], 1e-10)
			}
		}
		s, errS := a.Stand()
		u, errU := b.Stand()
		if errS != nil || errU != nil {
			t.Fatal(errS, errU)
		}
		for _, pair := range [][2]float64{{s.Share, u.Share}, {s.TipBack, u.TipBack}, {s.Overturn, u.Overturn}, {s.Scrape, u.Scrape}, {s.Clearance, u.Clearance}} {
			near(t, a.Name+" stance", pair[1], pair[0], 1e-12)
		}
	}
}

// TestStand holds the stance against a triangle with round numbers, level and with the nose low.
func TestStand(t *testing.T) {
	a := aircraft.Aircraft{Name: "a", CG: 3, CGHeight: 0, Wheels: []aircraft.Wheel{
		{Name: "nose", X: 1, Z: -1}, {Name: "main", Main: true, X: 4, Y: 1.2, Z: -1}}}
	stance := func() aircraft.Stance {
		t.Helper()
		s, err := a.Stand()
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	s := stance()
	near(t, "wheelbase", s.Wheelbase, 3, 1e-15)
	near(t, "track", s.Track, 2.4, 1e-15)
	near(t, "share", s.Share, 1.0/3, 1e-15)
	near(t, "tip-back", s.TipBack, 45*unit.Degree, 1e-15)
	near(t, "overturn", s.Overturn, math.Atan(math.Hypot(3, 1.2)/(2*1.2)), 1e-15)
	near(t, "nothing scrapes", s.Scrape, math.Pi/2, 1e-15)
	a.Wheels[0].Z = -1.3 // the ground rises by 0.1 a metre going aft
	s = stance()
	near(t, "tip-back with the nose low", s.TipBack, math.Atan2(1, 1.1), 1e-15)
	a.Plants = []aircraft.Plant{{Name: "engine", X: 6, Z: 0.5, Diameter: 2}}
	s = stance()
	near(t, "clearance with the nose low", s.Clearance, 0.5-0.2, 1e-15)
	near(t, "scrape with the nose low", s.Scrape, math.Atan(0.3/2), 1e-15)
	a.Wheels[0].Z = -1
	near(t, "the propeller scrapes", stance().Scrape, math.Atan(0.5/2), 1e-15)
	a.Bodies = []aircraft.Body{body(aircraft.BodyStation{X: 0, Z: 0, Height: 1, Width: 1}, aircraft.BodyStation{X: 8, Z: 0.2, Height: 1, Width: 1})}
	near(t, "the body scrapes", stance().Scrape, math.Atan(0.7/4), 1e-15)
	a.Surfaces = []aircraft.Surface{aircraft.Trapezoid{Name: "wing", Role: aircraft.Wing, Span: 8, RootChord: 3, TipChord: 2, X: 3.5, Z: -0.9}.Surface()}
	near(t, "the trailing edge scrapes", stance().Scrape, math.Atan(0.1/2.5), 1e-14)
	a.Wheels[0].X = 7 // a tail wheel
	s = stance()
	near(t, "share of a tail wheel with the CG ahead of the main wheels", s.Share, -1.0/3, 1e-15)
	near(t, "wheelbase of a tail wheel", s.Wheelbase, -3, 1e-15)
	a.Wheels = a.Wheels[:1]
	if _, err := a.Stand(); err == nil || !strings.Contains(err.Error(), "pair of main wheels") {
		t.Errorf("error %v", err)
	}
	a.Wheels = slices.Repeat(a.Wheels, 2)
	if _, err := a.Stand(); err == nil || !strings.Contains(err.Error(), "one other wheel") {
		t.Errorf("error %v", err)
	}
}

// TestCoordinates: coordinates of a NACA section give about what its designation gives; the flow knows thickness, thin-aerofoil theory does not.
func TestCoordinates(t *testing.T) {
	profile, err := section.NACA("2412")
	if err != nil {
		t.Fatal(err)
	}
	contour, err := profile.Sharp().Contour()
	if err != nil {
		t.Fatal(err)
	}
	var points strings.Builder
	if err := contour.Write(&points); err != nil {
		t.Fatal(err)
	}
	stated := "naca = \"0010\"\nlift_slope = \"6 /rad\"\nzero_lift = \"0°\"\nmoment = 0.0\nmax_lift = 1.1\nthickness = 0.1\nthickest = 0.3\n"
	read := func(source string) aircraft.Section {
		text := strings.Replace(aircraft.Bracken().String(), stated, source, 1)
		a, err := aircraft.ReadFS(fstest.MapFS{"a.toml": {Data: []byte(text)}, "2412.dat": {Data: []byte(points.String())}}, "a.toml")
		if err != nil {
			t.Fatal(err)
		}
		return a.Surfaces[1].Section()
	}
	flow, thin := read("coordinates = \"2412.dat\"\n"), read("naca = \"2412\"\n")
	if flow.Coordinates == "" || thin.NACA == "" {
		t.Fatal("the source was not replaced")
	}
	panels, err := section.Panels(contour)
	if err != nil {
		t.Fatal(err)
	}
	none, err := panels.At(flow.ZeroLift)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "lift at the zero-lift angle", none.CL, 0, 5e-4) // lift goes with sin α, the slope is that of a degree
	near(t, "moment there", flow.Moment, none.CM, 1e-4)
	near(t, "slope of the designation", thin.LiftSlope, 2*math.Pi, 1e-12)
	near(t, "zero-lift angle of the designation", thin.ZeroLift, -2.077*unit.Degree, 1e-4)
	near(t, "thickness of the designation", thin.Thickness, 0.12, 1e-15)
	for what, c := range map[string]struct{ got, low, high float64 }{
		"slope":           {flow.LiftSlope / thin.LiftSlope, 1.05, 1.12}, // 1 + 0.77 t, about
		"zero-lift angle": {flow.ZeroLift / thin.ZeroLift, 0.98, 1.06},
		"moment":          {flow.Moment / thin.Moment, 0.98, 1.12},
		"thickness":       {flow.Thickness / thin.Thickness, 0.995, 1.005},
	} {
		if c.got < c.low || c.got > c.high {
			t.Errorf("%s from coordinates is %.4f of that of the designation", what, c.got)
		}
	}
}

// TestOverlap: surfaces are apart if there is half of both thicknesses between them, or if one ends where the other begins.
func TestOverlap(t *testing.T) {
	plate := aircraft.Section{Name: "plate", LiftSlope: 6, Thickness: 0.1}
	thin := aircraft.Section{Name: "thin", LiftSlope: 6, Thickness: 0.04}
	unknown := aircraft.Section{Name: "unknown", LiftSlope: 6}
	surface := func(name string, x, y, z float64, s aircraft.Section, role aircraft.Role) aircraft.Surface {
		return aircraft.Trapezoid{Name: name, Role: role, Span: 8, RootChord: 2, TipChord: 2, X: x, Y: y, Z: z, Section: s}.Surface()
	}
	for _, c := range []struct {
		name       string
		a, b       aircraft.Surface
		overlapped bool
	}{
		{"in the same place", surface("a", 1, 0, 0, plate, aircraft.Wing), surface("b", 1, 0, 0, plate, aircraft.Wing), true},
		{"behind", surface("a", 1, 0, 0, plate, aircraft.Wing), surface("b", 3.01, 0, 0, plate, aircraft.Wing), false},
		{"just not behind", surface("a", 1, 0, 0, plate, aircraft.Wing), surface("b", 2.99, 0, 0, plate, aircraft.Wing), true},
		{"ahead", surface("b", 3.01, 0, 0, plate, aircraft.Wing), surface("a", 1, 0, 0, plate, aircraft.Wing), false},
		{"just above", surface("a", 1, 0, 0, plate, aircraft.Wing), surface("b", 1, 0, 0.19, plate, aircraft.Wing), true},
		{"above", surface("a", 1, 0, 0, plate, aircraft.Wing), surface("b", 1, 0, 0.21, plate, aircraft.Wing), false},
		{"below", surface("a", 1, 0, 0.21, plate, aircraft.Wing), surface("b", 1, 0, 0, plate, aircraft.Wing), false},
		{"just below", surface("a", 1, 0, 0.19, plate, aircraft.Wing), surface("b", 1, 0, 0, plate, aircraft.Wing), true},
		{"both high", surface("a", 1, 0, 3, plate, aircraft.Wing), surface("b", 1, 0, 3.1, plate, aircraft.Wing), true},
		{"one thin, above", surface("a", 1, 0, 0, plate, aircraft.Wing), surface("b", 1, 0, 0.15, thin, aircraft.Wing), false},
		{"one not known, above", surface("a", 1, 0, 0, thin, aircraft.Wing), surface("b", 1, 0, 0.17, unknown, aircraft.Wing), false},
		{"one not known, just above", surface("a", 1, 0, 0, thin, aircraft.Wing), surface("b", 1, 0, 0.15, unknown, aircraft.Wing), true},
		{"fins in the same place", surface("a", 1, 2, 1, plate, aircraft.TipFin), surface("b", 1, 2, 1, plate, aircraft.TipFin), true},
		{"fins side by side", surface("a", 1, 2, 1, plate, aircraft.TipFin), surface("b", 1, 2.5, 1, plate, aircraft.TipFin), false},
		{"fins side by side, the other way round", surface("a", 1, 2.5, 1, plate, aircraft.TipFin), surface("b", 1, 2, 1, plate, aircraft.TipFin), false},
		{"fins on top of each other", surface("a", 1, 2, 1, plate, aircraft.TipFin), surface("b", 1, 2, 9.5, plate, aircraft.TipFin), false},
		{"fins, one through the top of the other", surface("a", 1, 2, 1, plate, aircraft.TipFin), surface("b", 1, 2, 8.5, plate, aircraft.TipFin), true},
		{"fins one above the other, the upper first", surface("a", 1, 2, 9.5, plate, aircraft.TipFin), surface("b", 1, 2, 1, plate, aircraft.TipFin), false},
	} {
		d := aircraft.Aircraft{Name: "d", Mass: 1, CG: 1.5, Reference: aircraft.ReferenceOf(c.a)}
		d.Surfaces = []aircraft.Surface{surface("c", -9, 0, 0, plate, aircraft.Wing), c.a, c.b}
		if err := d.Validate(); (err != nil) != c.overlapped || err != nil && !strings.Contains(err.Error(), "surfaces[3]: the "+c.b.Name+" overlaps") {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	halves := func(z float64) aircraft.Surface { // to starboard of the plane of symmetry, from root to tip
		return aircraft.Trapezoid{Name: "b", Role: aircraft.Wing, Span: 2, RootChord: 2, TipChord: 2, X: 1, Z: z, Section: plate}.Surface()
	}
	d := aircraft.Aircraft{Name: "d", Mass: 1, CG: 1.5, Reference: aircraft.ReferenceOf(halves(0)), Surfaces: []aircraft.Surface{halves(0), surface("a", 1, 0, 0.15, plate, aircraft.Wing)}}
	if err := d.Validate(); err == nil {
		t.Error("a wing lies in the inner half of another")
	}
	bent := surface("wing", 1, 0, 0, plate, aircraft.Wing)
	bent.Stations = append(bent.Stations, bent.Stations[1])
	bent.Stations[2].Y = 3
	if err := bent.Validate(); err == nil || !strings.Contains(err.Error(), "stations[3].y: station 3 of the wing is -1.000 m from the one before") {
		t.Errorf("stations that go back: %v", err)
	}
}

func TestThrustArm(t *testing.T) {
	p := aircraft.Plant{X: 4, Z: 0.5, Diameter: 2}
	near(t, "below the thrust line", p.ThrustArm(3, 0.2), -0.3, 1e-15)
	p.Tilt = 90 * unit.Degree // upwards, behind the point: nose down
	near(t, "lift fan", p.ThrustArm(3, 0.2), -1, 1e-15)
	near(t, "disc", p.DiscArea(), math.Pi, 1e-15)
}

// TestCamber: the mean line of a section has in thin-aerofoil theory the zero-lift angle and the moment that the section states, and begins and ends on the chord.
func TestCamber(t *testing.T) {
	s := aircraft.Section{ZeroLift: -2.3 * unit.Degree, Moment: -0.06}
	var zero, moment, height float64
	const n = 100000
	for i := range n {
		theta := math.Pi * (float64(i) + 0.5) / n
		slope := s.Camber((1 - math.Cos(theta)) / 2)
		zero += slope * (1 - math.Cos(theta)) / n
		moment -= math.Pi / 4 * slope * (math.Cos(theta) - math.Cos(2*theta)) * 2 / n
		height += slope * math.Sin(theta) / 2 * math.Pi / n
	}
	near(t, "zero-lift angle", zero, s.ZeroLift, 1e-8)
	near(t, "moment", moment, s.Moment, 1e-8)
	near(t, "height at the trailing edge", height, 0, 1e-8)
}

// TestEffect: a full-span flap of the whole chord is the surface; half the span of a straight one is half of it.
func TestEffect(t *testing.T) {
	s := aircraft.Trapezoid{Name: "tail", Span: 4, RootChord: 1, TipChord: 1}.Surface()
	effect := func(c aircraft.Control) (float64, float64) {
		alpha, moment, err := s.Effect(c)
		if err != nil {
			t.Fatal(err)
		}
		return alpha, moment
	}
	alpha, moment := effect(aircraft.Control{AllMoving: true})
	near(t, "all-moving", alpha, 1, 0)
	near(t, "its moment", moment, 0, 0)
	whole, _ := effect(aircraft.Control{To: 1, Chord: 0.25})
	half, halfMoment := effect(aircraft.Control{From: 0.5, To: 1, Chord: 0.25})
	near(t, "quarter-chord flap", whole, 0.608998, 1e-5) // τ = 1 − (θ − sin θ)/π, θ = 120°
	near(t, "half the span", half, whole/2, 1e-14)
	near(t, "moment of half the span", halfMoment, -math.Sqrt(0.25*0.75*0.75*0.75), 1e-12)
	if _, _, err := s.Effect(aircraft.Control{To: 1}); err == nil {
		t.Error("a flap without chord passed")
	}
}

// TestExposed: the body covers what is inside its half width.
func TestExposed(t *testing.T) {
	wing := aircraft.Trapezoid{Name: "wing", Role: aircraft.Wing, Span: 8, RootChord: 1, TipChord: 1, X: 2}.Surface()
	a := aircraft.Aircraft{Bodies: []aircraft.Body{body(aircraft.BodyStation{Width: 1, Height: 1}, aircraft.BodyStation{X: 6, Width: 1, Height: 1})}}
	near(t, "exposed", a.ExposedArea(wing), 7, 1e-9)
	near(t, "above the body", a.ExposedArea(wing.Moved(0, 0, 0.6)), 8, 1e-12)
	near(t, "wet, thickness not known", a.WettedArea(wing), 7*(1.977+0.52*0.12), 1e-9)
	for i := range wing.Stations {
		wing.Stations[i].Section.Thickness = 0.04
	}
	near(t, "thin", a.WettedArea(wing), 7*2.003, 1e-9)
	fins := aircraft.Trapezoid{Name: "fins", Role: aircraft.TipFin, Span: 1, RootChord: 1, TipChord: 1, X: 3, Y: 4}.Surface()
	near(t, "two fins", a.ExposedArea(fins), 2, 1e-12)
	a.Reference, a.CG = aircraft.Reference{Area: 10, Span: 8, Chord: 2}, 1.25
	near(t, "volume of two fins", a.TailVolume(fins), 2*1*2.0/80, 1e-14)
	near(t, "volume of a wing", a.TailVolume(wing), 8*1.0/20, 1e-14)
}

// TestLattice: the lattice has the same areas, the sides of mirrored surfaces, and controls that turn as their purpose is.
func TestLattice(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		surfaces, err := a.Lattice()
		if err != nil {
			t.Fatal(err)
		}
		for i, s := range a.Surfaces {
			count := 1.0
			if s.Role == aircraft.TipFin {
				count = 2
			}
			near(t, "area", surfaces[i].Area()*math.Cos(s.Dihedral())/map[bool]float64{true: math.Cos(s.Dihedral()), false: 1}[s.Role.Upright()], count*s.Area(), 1e-12)
		}
		m, err := lattice.New(surfaces, lattice.Settings{Reference: a.LatticeReference(), Rows: 4, Strips: 24})
		if err != nil {
			t.Fatalf("%s: %v", a.Name, err)
		}
		d, err := m.Derivatives(lattice.State{Alpha: 3 * unit.Degree, Point: lattice.Point{X: a.CG, Z: a.CGHeight}})
		if err != nil {
			t.Fatalf("%s: %v", a.Name, err)
		}
		margin := (d.NeutralPoint - a.CG) / a.Reference.Chord
		t.Logf("%s: CLα %.2f, bare static margin %.1f %%", a.Name, d.Alpha.CL, 100*margin)
		if margin < 0.15 || margin > 0.32 {
			t.Errorf("%s: the lattice has a bare static margin of %.3f", a.Name, margin)
		}
		for name, c := range d.Controls {
			_, surface, control := find(t, a, name)
			sign := map[bool]float64{true: 1, false: -1}[surface.QuarterChord() < a.CG]
			switch control.Purpose {
			case aircraft.Pitch:
				if c.CL <= 0 || sign*c.Cm <= 0 || math.Abs(c.Cl) > 1e-9 {
					t.Errorf("%s: %s has %+v", a.Name, name, c)
				}
			case aircraft.Roll: // trailing edge down to starboard lifts that wing
				if c.Cl >= 0 || math.Abs(c.CL) > 1e-9 {
					t.Errorf("%s: %s has %+v", a.Name, name, c)
				}
			case aircraft.Yaw: // trailing edge to starboard turns the nose to starboard
				if c.Cn <= 0 || c.CY >= 0 || math.Abs(c.CL) > 1e-9 {
					t.Errorf("%s: %s has %+v", a.Name, name, c)
				}
			case aircraft.Flap:
				if c.CL <= 0 {
					t.Errorf("%s: %s has %+v", a.Name, name, c)
				}
			}
		}
	}
}

func find(t *testing.T, a aircraft.Aircraft, control string) (int, aircraft.Surface, aircraft.Control) {
	t.Helper()
	for i, s := range a.Surfaces {
		if j := slices.IndexFunc(s.Controls, func(c aircraft.Control) bool { return c.Name == control }); j >= 0 {
			return i, s, s.Controls[j]
		}
	}
	t.Fatalf("%s has no control %s", a.Name, control)
	panic("unreachable")
}

// TestValidate: what code, not a file, can make wrong.
func TestValidate(t *testing.T) {
	for want, spoil := range map[string]func(*aircraft.Aircraft){
		"mass: state: mass is -1.000 kg":                                func(a *aircraft.Aircraft) { a.Mass = -1 },
		"cg: state: CG is NaN m":                                        func(a *aircraft.Aircraft) { a.CG = math.NaN() },
		"cg_height: state: height of the CG is +Inf m":                  func(a *aircraft.Aircraft) { a.CGHeight = math.Inf(1) },
		"reference.chord: reference: chord is 0 m":                      func(a *aircraft.Aircraft) { a.Reference.Chord = 0 },
		"reference.span: reference: span is NaN m":                      func(a *aircraft.Aircraft) { a.Reference.Span = math.NaN() },
		"reference.leading_edge: reference: leading edge is N":          func(a *aircraft.Aircraft) { a.Reference.LeadingEdge = math.NaN() },
		"surfaces: it has no lifting surface":                           func(a *aircraft.Aircraft) { a.Surfaces = a.Fins() },
		"the wing has 1 stations, must be 2 or more":                    func(a *aircraft.Aircraft) { a.Surfaces[0].Stations = a.Surfaces[0].Stations[:1] },
		"surfaces[1].stations[2].z: station 2 of the wing: z is NaN m":  func(a *aircraft.Aircraft) { a.Surfaces[0].Stations[1].Z = math.NaN() },
		"surfaces[1].stations[2].y: station 2 of the wing: y is +Inf m": func(a *aircraft.Aircraft) { a.Surfaces[0].Stations[1].Y = math.Inf(1) },
		"surfaces[1].incidence: wing: incidence is 90.0°":               func(a *aircraft.Aircraft) { a.Surfaces[0].Incidence = 90 * unit.Degree },
		"zero-lift angle is 90.0°":                                      func(a *aircraft.Aircraft) { a.Surfaces[1].Stations[0].Section.ZeroLift = 90 * unit.Degree },
		`two sections have the name "foreplane" and are not the same`:   func(a *aircraft.Aircraft) { a.Surfaces[1].Stations[0].Section.MaxLift = 1.2 },
		"the body has 1 stations, must be 2 or more":                    func(a *aircraft.Aircraft) { a.Bodies[0].Stations = a.Bodies[0].Stations[:1] },
		"masses[1].inertia: no body has the moments of inertia":         func(a *aircraft.Aircraft) { a.Masses[0].Own = aircraft.Inertia{XX: 3, YY: 1, ZZ: 1} },
		"masses[1].inertia: wing: inertia is NaN":                       func(a *aircraft.Aircraft) { a.Masses[0].Own.XZ = math.NaN() },
		"masses[1].box.y: wing: extent along y is -1.000 m":             func(a *aircraft.Aircraft) { a.Masses[0].Box.Y = -1 },
		"masses[1].max: the limits of the wing are the wrong way round": func(a *aircraft.Aircraft) { a.Masses[0].Min = 5; a.Masses[0].Max = 2 },
		"characters that do not print":                                  func(a *aircraft.Aircraft) { a.Name = "a\x7fb" },
		"plants[1].pitch_high: engine: pitch at the high stop is 5.00°": func(a *aircraft.Aircraft) { a.Plants[0].PitchHigh = 5 * unit.Degree },
		"plants[1].pitch: engine: pitch is -1.000°":                     func(a *aircraft.Aircraft) { a.Plants[0].Pitch = -1 * unit.Degree },
		"plants[1].blade[2].radius: engine: radius of a blade station is 0.2": func(a *aircraft.Aircraft) {
			a.Plants[0].Blade = []aircraft.BladeStation{{Radius: 0.5, Chord: 0.1}, {Radius: 0.2, Chord: 0.1}}
		},
		"plants[1].blade: a blade needs at least two stations":     func(a *aircraft.Aircraft) { a.Plants[0].Blade = []aircraft.BladeStation{{Radius: 0.5, Chord: 0.1}} },
		"plants[1].tilt: engine: tilt of the thrust line is 30.0°": func(a *aircraft.Aircraft) { a.Plants[0].Tilt = 30 * unit.Degree },
		"control pitch: greatest deflection is NaN":                func(a *aircraft.Aircraft) { a.Surfaces[1].Controls[0].Max = math.NaN() },
	} {
		a := aircraft.Sedge()
		spoil(&a)
		err := a.Validate()
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want %q", err, want)
		}
		if werr := a.Write(&strings.Builder{}); werr == nil {
			t.Errorf("%q: it was written", want)
		}
	}
}
