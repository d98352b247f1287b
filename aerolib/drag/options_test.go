package drag_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

func cda(t testing.TB, b drag.Buildup, name string) float64 {
	t.Helper()
	return need[drag.Item](t)(b.Item(name)).CDA
}

// TestUsual holds what is taken where no option says otherwise: interference by role, and the sweep of the line of greatest thickness, at 30 % of a chord of 1.40 to 0.70 m.
func TestUsual(t *testing.T) {
	f := cruise(t)
	want := map[string]float64{"wing": 1, "front wing": 1.05, "rear wing": 1, "foreplane": 1.05, "tailplane": 1.05, "fin": 1.05, "tip fins": 1.05, "body": 1}
	for _, a := range aircraft.Fleet() {
		for _, i := range build(t, a, f, drag.Options{Surfaces: drag.Raymer}).Items {
			if i.Wetted > 0 {
				near(t, a.Name+" "+i.Name, i.Interference, want[i.Name], 0)
			}
		}
	}
	wing := build(t, aircraft.Sedge(), f, drag.Options{}).Items[0]
	by := drag.Shape{Thickness: 0.13, Thickest: 0.3, Mach: f.Mach(), Sweep: math.Atan((5.0181 - 3.20 - 0.3*0.7) / 4.5)}
	near(t, "form factor of the wing", value(t, wing.Factors, drag.Raymer), value(t, need[[]drag.Factor](t)(drag.SurfaceForms(by)), drag.Raymer), 1e-12)
	near(t, "its length", wing.Length, 2.0/3*1.4*(1+0.5+0.25)/1.5, 1e-12)
}

// TestOptions: each option does what it says to the components that it is for, and to no other.
func TestOptions(t *testing.T) {
	a, f := aircraft.Sedge(), cruise(t)
	base := build(t, a, f, drag.Options{})
	same := func(what string, b drag.Buildup, except ...string) {
		t.Helper()
		for _, i := range base.Items {
			changed := cda(t, b, i.Name) != i.CDA
			named := false
			for _, e := range except {
				named = named || e == i.Name
			}
			if changed != named {
				t.Errorf("%s: drag area of the %s %g, before %g", what, i.Name, cda(t, b, i.Name), i.CDA)
			}
		}
	}
	q := build(t, a, f, drag.Options{Interference: map[string]float64{"wing": 1.2}})
	same("interference", q, "wing")
	near(t, "wing with interference", cda(t, q, "wing"), 1.2*cda(t, base, "wing"), 1e-15)
	rough := build(t, a, f, drag.Options{Roughness: 1e-4})
	same("roughness", rough, "wing", "foreplane", "tip fins", "body")
	if !(rough.CDA > 1.1*base.CDA) {
		t.Errorf("drag area %g rough, %g smooth", rough.CDA, base.CDA)
	}
	profile := need[drag.Profile](t)(rough.Profile("wing"))
	near(t, "rough sections", need[float64](t)(profile.Drag(0.9)), need[float64](t)(need[drag.Profile](t)(base.Profile("wing")).Drag(0.9))*cda(t, rough, "wing")/cda(t, base, "wing"), 1e-12)
	laminar := build(t, a, f, drag.Options{Transitions: map[string]drag.Transition{"wing": {Fraction: 0.5}}})
	same("transition", laminar, "wing")
	if !(cda(t, laminar, "wing") < 0.85*cda(t, base, "wing")) {
		t.Errorf("wing %g with a laminar half, %g without", cda(t, laminar, "wing"), cda(t, base, "wing"))
	}
	turbulent := build(t, a, f, drag.Options{Transition: drag.Transition{Turbulent: true}})
	same("turbulent", turbulent, "wing", "foreplane", "tip fins", "body")
	if !(turbulent.CDA > base.CDA) {
		t.Errorf("drag area %g turbulent, %g with transition", turbulent.CDA, base.CDA)
	}
	raymer := build(t, a, f, drag.Options{Bodies: drag.Raymer})
	same("Raymer", raymer, "body")
	if !strings.Contains(strings.Join(raymer.Notes, " "), "form factor of the body is Raymer 2.00 (outside its range: fineness 3.92") {
		t.Errorf("notes %q", raymer.Notes)
	}
	line := build(t, a, f, drag.Options{Law: drag.SchoenherrLine, Surfaces: drag.Hoerner})
	near(t, "friction by Schoenherr over that by Prandtl and Schlichting", line.Items[3].Friction/base.Items[3].Friction, 0.98, 0.01)
	if !strings.Contains(line.Items[0].Source, "Schoenherr") || !strings.Contains(line.Items[0].Source, "FF Hoerner") {
		t.Errorf("source %q", line.Items[0].Source)
	}
	for _, i := range line.Items[:3] {
		near(t, i.Name+" by Hoerner", i.Form, value(t, i.Factors, drag.Hoerner), 0)
	}
}

func TestStates(t *testing.T) {
	f := cruise(t)
	a := aircraft.Teasel()
	base := build(t, a, f, drag.Options{})
	up := f
	up.GearUp = true
	near(t, "gear up", build(t, a, up, drag.Options{}).CDA, base.CDA-cda(t, base, "main gear")-cda(t, base, "nose gear"), 1e-15)
	sedge := build(t, aircraft.Sedge(), up, drag.Options{})
	near(t, "fixed gear up", sedge.CDA, build(t, aircraft.Sedge(), f, drag.Options{}).CDA, 0)
	if !strings.Contains(strings.Join(sedge.Notes, " "), "no item of drag retracts") {
		t.Errorf("notes %q", sedge.Notes)
	}
	off := f
	off.PowerOff = true
	glide, cruise := build(t, aircraft.Sedge(), off, drag.Options{}), build(t, aircraft.Sedge(), f, drag.Options{})
	near(t, "engine off", glide.CDA-cruise.CDA, cruise.Closures[0].Separated, 1e-15)
	if glide.Closures[0].Attached || !strings.Contains(strings.Join(glide.Notes, " "), "taken to leave it at 3.80 m") {
		t.Errorf("closure %v, notes %q", glide.Closures, glide.Notes)
	}
	bare := a.Clone()
	bare.Drag = nil
	if notes := build(t, bare, f, drag.Options{}).Notes; !strings.Contains(strings.Join(notes, " "), "no item of drag is for the landing gear") {
		t.Errorf("notes %q", notes)
	}
}

// TestControlDrag: flaps of 35° by hand: 0.0144·0.25·S_f·25, with both sides of S_f.
func TestControlDrag(t *testing.T) {
	a := aircraft.Bracken()
	wing := need[aircraft.Surface](t)(a.Surface("wing"))
	flaps := wing.Controls[0]
	inner, outer := 1.2-0.3*flaps.From, 1.2-0.3*flaps.To
	area := (inner + outer) / 2 * (flaps.To - flaps.From) * 9
	for degrees, want := range map[float64]float64{35: 25, -35: 25, 10: 0, 5: 0, 11: 1} {
		near(t, "flaps", need[float64](t)(drag.ControlDrag(wing, flaps, degrees*unit.Degree)), 0.0144*0.25*area*want, 1e-9)
	}
	f := cruise(t)
	f.Deflections = map[string]float64{"flaps": 35 * unit.Degree, "pitch": -12 * unit.Degree, "ailerons": 0, "rudder": 20 * unit.Degree}
	b := build(t, a, f, drag.Options{})
	near(t, "flaps in the build-up", cda(t, b, "flaps at 35.0°"), 0.0144*0.25*area*25, 1e-9)
	clean := build(t, a, cruise(t), drag.Options{})
	near(t, "all controls", b.CDA-clean.CDA, cda(t, b, "flaps at 35.0°")+cda(t, b, "rudder at 20.0°"), 1e-12)
	fins := aircraft.Sedge().Surfaces[2]
	near(t, "both rudders", need[float64](t)(drag.ControlDrag(fins, fins.Controls[0], 20*unit.Degree)), 0.0144*0.32*2*fins.Part(0.05, 0.9).Area()*10, 1e-12)
	f.Deflections = map[string]float64{"flap": 0.1}
	_, err := drag.Build(a, f, drag.Options{})
	refused(t, err, `"flap", which is no control of Bracken`)
	f.Deflections = map[string]float64{"flaps": math.NaN()}
	_, err = drag.Build(a, f, drag.Options{})
	refused(t, err, "deflection of the flaps is NaN")
}

func TestRefused(t *testing.T) {
	a := aircraft.Sedge()
	f := cruise(t)
	for _, c := range []struct {
		change func(*aircraft.Aircraft, *drag.Flight, *drag.Options)
		words  []string
	}{
		{func(_ *aircraft.Aircraft, f *drag.Flight, _ *drag.Options) { f.Speed = 0 }, []string{"drag.Build: true airspeed is 0 m/s, must be above zero"}},
		{func(_ *aircraft.Aircraft, f *drag.Flight, _ *drag.Options) { f.Speed = math.NaN() }, []string{"true airspeed is NaN"}},
		{func(_ *aircraft.Aircraft, f *drag.Flight, _ *drag.Options) { f.Speed = 300 }, []string{"Mach number is 0.9", "must be 0 to 0.7"}},
		{func(_ *aircraft.Aircraft, f *drag.Flight, _ *drag.Options) { f.Air.Density = 0 }, []string{"air density is 0 kg/m³"}},
		{func(_ *aircraft.Aircraft, f *drag.Flight, _ *drag.Options) { f.Air.Viscosity = 0 }, []string{"viscosity is 0 Pa·s"}},
		{func(_ *aircraft.Aircraft, f *drag.Flight, _ *drag.Options) { f.Speed = 1e-3 }, []string{"Sedge: the wing", "Reynolds number is 63.", "must be 10000 to"}},
		{func(a *aircraft.Aircraft, _ *drag.Flight, _ *drag.Options) { a.Mass = -1 }, []string{"mass"}},
		{func(_ *aircraft.Aircraft, _ *drag.Flight, o *drag.Options) { o.Surfaces = "Smith" }, []string{"form of surfaces is Smith, must be sections, Raymer or Hoerner"}},
		{func(_ *aircraft.Aircraft, _ *drag.Flight, o *drag.Options) { o.Bodies = drag.Sections }, []string{"form of bodies is sections, must be Raymer or Hoerner"}},
		{func(_ *aircraft.Aircraft, _ *drag.Flight, o *drag.Options) { o.Law = "Smith" }, []string{"law of friction is Smith"}},
		{func(_ *aircraft.Aircraft, _ *drag.Flight, o *drag.Options) { o.Roughness = -1 }, []string{"roughness is -1000 mm"}},
		{func(_ *aircraft.Aircraft, _ *drag.Flight, o *drag.Options) { o.Roughness = 0.01 }, []string{"roughness is 10.00 mm, must be 0 mm to"}},
		{func(_ *aircraft.Aircraft, _ *drag.Flight, o *drag.Options) {
			o.Interference = map[string]float64{"wings": 1}
		}, []string{"interference is given for wings, which the aeroplane does not have; it has wing, foreplane, tip fins, body"}},
		{func(_ *aircraft.Aircraft, _ *drag.Flight, o *drag.Options) {
			o.Interference = map[string]float64{"wing": 0}
		}, []string{"interference factor of the wing is 0, must be 0.5 to 3"}},
		{func(_ *aircraft.Aircraft, _ *drag.Flight, o *drag.Options) {
			o.Transitions = map[string]drag.Transition{"fuselage": {}}
		}, []string{"transition is given for fuselage"}},
		{func(_ *aircraft.Aircraft, _ *drag.Flight, o *drag.Options) {
			o.Transition = drag.Transition{Fraction: 0.5, Turbulent: true}
		}, []string{"more than one of Reynolds, Fraction and Turbulent"}},
		{func(_ *aircraft.Aircraft, _ *drag.Flight, o *drag.Options) { o.Transition.Fraction = 2 }, []string{"laminar fraction is 2.00, must be 0 to 0.9"}},
		{func(_ *aircraft.Aircraft, _ *drag.Flight, o *drag.Options) { o.Transition.Reynolds = -5 }, []string{"Reynolds number of transition is -5"}},
	} {
		b, g, o := a.Clone(), f, drag.Options{}
		c.change(&b, &g, &o)
		_, err := drag.Build(b, g, o)
		refused(t, err, c.words...)
	}
}

// TestDoors: the functions that take plain numbers refuse what is outside their range, NaN among it.
func TestDoors(t *testing.T) {
	nan := math.NaN()
	factor := func(v float64, err error) error { return err }
	forms := func(_ []drag.Factor, err error) error { return err }
	parabola := func(_ drag.Parabola, err error) error { return err }
	induced := func(_ drag.Induced, err error) error { return err }
	ref := aircraft.Reference{Area: 10}
	for i, err := range []error{
		factor(drag.Laminar(nan)), factor(drag.Laminar(100)), factor(drag.Turbulent(nan, 0)), factor(drag.Turbulent(1e6, 0.8)), factor(drag.Turbulent(1e6, nan)), factor(drag.Schoenherr(1e12)),
		forms(drag.SurfaceForms(drag.Shape{Thickness: 0.5, Thickest: 0.3})), forms(drag.SurfaceForms(drag.Shape{Thickness: 0.1})),
		forms(drag.SurfaceForms(drag.Shape{Thickness: 0.1, Thickest: 0.3, Sweep: 2})), forms(drag.SurfaceForms(drag.Shape{Thickness: 0.1, Thickest: 0.3, Mach: nan})),
		forms(drag.BodyForms(0.5)), forms(drag.BodyForms(nan)), factor(drag.NacelleForm(0)), factor(drag.NacelleForm(nan)),
		factor(drag.RaymerOswald(2, 0)), factor(drag.RaymerOswald(14, 0)), factor(drag.RaymerOswald(8, -0.1)), factor(drag.RaymerOswald(8, 1.2)), factor(drag.RaymerOswald(nan, 0)),
		factor(drag.MutualFactor(0, 1, 0)), factor(drag.MutualFactor(1, -1, 0)), factor(drag.MutualFactor(1, 1, nan)),
		factor(drag.CoplanarPenalty(0.1, 2)), factor(drag.CoplanarPenalty(nan, 0.5)),
		factor(drag.GroundFactor(drag.ImageModel, 0)), factor(drag.GroundFactor(drag.McCormickModel, -1)), factor(drag.GroundFactor(drag.WieselsbergerModel, 0.5)), factor(drag.GroundFactor("Smith", 0.1)),
		parabola(drag.ParabolaOf(0, 0.8, 8)), parabola(drag.ParabolaOf(0.02, nan, 8)), parabola(drag.ParabolaOf(0.02, 0.8, 0)), factor(drag.Parabola{}.CD(nan)),
		induced(drag.PrandtlMunk(nil, ref, 0)), induced(drag.PrandtlMunk([]drag.EllipticLoad{{Span: 0}}, ref, 0)), induced(drag.PrandtlMunk([]drag.EllipticLoad{{Span: 1}}, aircraft.Reference{}, 0)),
		induced(drag.PrandtlMunk([]drag.EllipticLoad{{Span: 1, CL: nan}}, ref, 0)), induced(drag.PrandtlMunk([]drag.EllipticLoad{{Span: 1, Height: nan}}, ref, 0)),
		induced(drag.PrandtlMunk([]drag.EllipticLoad{{Span: 1}}, ref, -1)), induced(drag.PrandtlMunk([]drag.EllipticLoad{{Span: 1, Height: -2}}, ref, 1)),
		factor(drag.Induced{CL: 0.5}.SpanEfficiency(8)), factor(drag.Induced{CD: 0.5}.SpanEfficiency(8)), factor(drag.Induced{CL: 1, CD: 0.5}.SpanEfficiency(nan)),
	} {
		if err == nil {
			t.Errorf("call %d of the list is not refused", i)
		}
	}
}

// scaled returns the aeroplane k times as large.
func scaled(a aircraft.Aircraft, k float64) aircraft.Aircraft {
	a = a.Clone()
	for i := range a.Surfaces {
		for j := range a.Surfaces[i].Stations {
			s := &a.Surfaces[i].Stations[j]
			s.X, s.Y, s.Z, s.Chord = k*s.X, k*s.Y, k*s.Z, k*s.Chord
		}
	}
	for i := range a.Bodies {
		a.Bodies[i].Y *= k
		for j := range a.Bodies[i].Stations {
			s := &a.Bodies[i].Stations[j]
			s.X, s.Z, s.Width, s.Height = k*s.X, k*s.Z, k*s.Width, k*s.Height
		}
	}
	for i := range a.Plants {
		p := &a.Plants[i]
		p.X, p.Y, p.Z, p.Diameter, p.Spinner = k*p.X, k*p.Y, k*p.Z, k*p.Diameter, k*p.Spinner
	}
	for i := range a.Drag {
		a.Drag[i].Area *= k * k
	}
	r := &a.Reference
	r.Area, r.Chord, r.Span, r.LeadingEdge = k*k*r.Area, k*r.Chord, k*r.Span, k*r.LeadingEdge
	a.CG, a.CGHeight = k*a.CG, k*a.CGHeight
	return a
}

// TestScale: an aeroplane twice as large in air twice as viscous, with grains twice as high, has the same coefficients. Units could be any.
func TestScale(t *testing.T) {
	f := cruise(t)
	for _, a := range aircraft.Fleet() {
		large := f
		large.Air.Viscosity *= 2
		before, after := build(t, a, f, drag.Options{Roughness: 2e-5}), build(t, scaled(a, 2), large, drag.Options{Roughness: 4e-5})
		for i, item := range before.Items {
			near(t, a.Name+" "+item.Name, after.Items[i].CDA/4, item.CDA, 1e-9*before.CDA)
			near(t, a.Name+" "+item.Name+" CD", after.Items[i].CD, item.CD, 1e-11)
		}
	}
}

// TestSpeed: more speed at the same altitude is less drag area: a higher Reynolds number.
func TestSpeed(t *testing.T) {
	slow, fast := cruise(t), cruise(t)
	slow.Speed, fast.Speed = 30, 90
	for _, o := range []drag.Options{{}, {Surfaces: drag.Raymer}, {Transition: drag.Transition{Turbulent: true}}} {
		a, b := build(t, aircraft.Yarrow(), slow, o), build(t, aircraft.Yarrow(), fast, o)
		if !(b.CDA < a.CDA) {
			t.Errorf("drag area %g at 30 m/s, %g at 90 m/s", a.CDA, b.CDA)
		}
	}
}

// TestProfile: sections give back their samples, plates the stated rise; both hold their limits. Three sections along the span mix by area.
func TestProfile(t *testing.T) {
	f := cruise(t)
	a := aircraft.Bracken()
	p := need[drag.Profile](t)(build(t, a, f, drag.Options{}).Profile("wing"))
	contour := need[section.Contour](t)(need[section.Profile](t)(section.NACA("2415")).Sharp().Contour())
	re := f.Air.Reynolds(f.Speed, a.Surfaces[0].MeanChord())
	for _, alpha := range []float64{-3, 2, 9} {
		v := need[section.Viscous](t)(need[*section.Flow](t)(section.Panels(contour)).Viscous(alpha*unit.Degree, re, section.Conditions{Trip: 5e5 / re, Mach: f.Mach()}))
		near(t, "cd of the section", need[float64](t)(p.Drag(v.Lift)), v.Drag, 1e-12)
	}
	for _, cl := range []float64{p.Min - 1e-9, p.Max + 1e-9, math.NaN()} {
		_, err := p.Drag(cl)
		refused(t, err, "cl of the wing is")
	}
	plate := need[drag.Profile](t)(build(t, a, f, drag.Options{Surfaces: drag.Raymer}).Profile("wing"))
	near(t, "plate", need[float64](t)(plate.Drag(-0.8)), plate.Least*(1+0.38*0.64), 1e-15)
	for _, cl := range []float64{0.2, 0.6, 1, 1.3} { // the comparison that the comment of Profile states
		near(t, "plate over section", need[float64](t)(plate.Drag(cl))/need[float64](t)(p.Drag(cl)), 1.05, 0.15)
	}
}

// measured returns a wing section with polars cd = k (0.008 + 0.004 cl²) at Reynolds numbers of 10⁶ and, with half of that, of 10⁷; lift falls beyond cl 1.2.
func measured(t testing.TB, k float64) aircraft.Section {
	var csv strings.Builder
	csv.WriteString("alpha [°],cl,cd,cm,Reynolds\n")
	for i := -6; i <= 14; i++ {
		cl := 0.1 * float64(i)
		for _, half := range []float64{1, 2} {
			fmt.Fprintf(&csv, "%d,%g,%g,0,%g\n", i, min(cl, 2.4-cl), k/half*(0.008+0.004*cl*cl), []float64{0, 1e6, 1e7}[int(half)])
		}
	}
	text := strings.Replace(aircraft.Bracken().String(), `naca = "2415"`, "polars = \"p.csv\"\nreynolds = 3e6", 1)
	a := need[aircraft.Aircraft](t)(aircraft.ReadFS(fstest.MapFS{"b.toml": {Data: []byte(text)}, "p.csv": {Data: []byte(csv.String())}}, "b.toml"))
	s := a.Surfaces[0].Stations[0].Section
	s.Name = fmt.Sprint("times ", k)
	return s
}

// TestPolarsOfSections: polars at the Reynolds number of the surface, mixed by area along the span, and a plate where they do not reach.
func TestPolarsOfSections(t *testing.T) {
	a, f := aircraft.Bracken(), cruise(t)
	root, tip := measured(t, 1), measured(t, 3)
	for i := range a.Surfaces[0].Stations {
		a.Surfaces[0].Stations[i].Section = root
	}
	re := f.Air.Reynolds(f.Speed, a.Surfaces[0].MeanChord())
	at := 1 - 0.5*math.Log10(re/1e6)
	p := need[drag.Profile](t)(build(t, a, f, drag.Options{}).Profile("wing"))
	near(t, "least", p.Least, at*0.008, 1e-12)
	near(t, "at a sample", need[float64](t)(p.Drag(0.7)), at*(0.008+0.004*0.49), 1e-12)
	near(t, "between samples", need[float64](t)(p.Drag(0.75)), at*(0.008+0.004*0.565), 1e-12)
	near(t, "greatest lift", p.Max, 1.2, 1e-12)
	a.Surfaces[0].Stations[1].Section = tip
	mixed := need[drag.Profile](t)(build(t, a, f, drag.Options{}).Profile("wing"))
	share := 0.975 / 2.1 // of the area next to the tip: chords of 1.2 and 0.9 m
	near(t, "two sections", need[float64](t)(mixed.Drag(0.7))/need[float64](t)(p.Drag(0.7)), 1+2*share, 1e-9)
	f.Speed = 10
	slow := build(t, a, f, drag.Options{})
	if !strings.Contains(strings.Join(slow.Notes, " "), "The wing counts as a plate: ") || need[drag.Profile](t)(slow.Profile("wing")).Source != "plate" {
		t.Errorf("notes %q", slow.Notes)
	}
}
