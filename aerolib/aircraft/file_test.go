package aircraft_test

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// TestRoundTrip: what is written is read back the same, bit for bit, and written the same again, also for numbers with no short decimal.
func TestRoundTrip(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		odd := a.Clone()
		odd.Name = `A "quoted" name: Ålesund \ 3`
		odd.CG, odd.CGHeight = a.CG+1e-3/3, 1.0/7
		odd.Surfaces[0].Stations[1].Chord *= 1.0 / 3
		odd.Surfaces[0].Incidence = 0.1 / 3
		odd.Plants[0].Power *= 1.0 / 3
		odd.Plants[0].Tilt = -0.3 / 7
		odd.Masses[0].Own = aircraft.Inertia{XX: 2.0 / 3, YY: 1, ZZ: 1.1, XZ: -1e-9 / 3}
		for _, b := range []aircraft.Aircraft{a, odd} {
			var text strings.Builder
			if err := b.Write(&text); err != nil {
				t.Fatal(err)
			}
			again, err := aircraft.Read(strings.NewReader(text.String()))
			if err != nil {
				t.Fatalf("%s: %v\n%s", b.Name, err, text.String())
			}
			if !reflect.DeepEqual(b, again) {
				t.Errorf("%s: read back\n%+v\nwritten\n%+v", b.Name, again, b)
			}
			if again.String() != text.String() {
				t.Errorf("%s: written again it differs", b.Name)
			}
		}
	}
}

// TestFeet: a file in feet, inches, pounds and horsepower gives the same aeroplane.
func TestFeet(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		text := converted(t, a.String())
		if strings.Contains(text, `0 m"`) || strings.Contains(text, "kg") || strings.Contains(text, "kW") {
			t.Fatal("units were left")
		}
		b, err := aircraft.Read(strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		near(t, a.Name+" area", b.Area(), a.Area(), 1e-12)
		near(t, a.Name+" mass", b.Mass, a.Mass, 1e-12)
		near(t, a.Name+" CG", b.CG, a.CG, 1e-12)
		near(t, a.Name+" power", b.Power(), a.Power(), 1e-12)
		near(t, a.Name+" body", b.Bodies[0].Volume(), a.Bodies[0].Volume(), 1e-12)
		near(t, a.Name+" span", b.Surfaces[0].Span(), a.Surfaces[0].Span(), 1e-12)
	}
}

// converted writes every length, area, mass and power of a file in customary units, with all digits.
func converted(t *testing.T, text string) string {
	t.Helper()
	parts := strings.Split(text, `"`)
	for i := 1; i < len(parts); i += 2 {
		for _, pair := range [][3]string{{" m", "Length", "ft"}, {" m²", "Area", "ft²"}, {" kg", "Mass", "lb"}, {" kW", "Power", "hp"},
			{" kg/(kW·h)", "PowerConsumption", "lb/(hp·h)"}} {
			if !strings.HasSuffix(parts[i], pair[0]) {
				continue
			}
			if v, err := unit.Parse(parts[i], pair[1]); err == nil {
				parts[i] = unit.FormatExact(v, pair[2])
			}
		}
	}
	return strings.Join(parts, `"`)
}

// TestBrokenFiles: each change to the file of Sedge gives an error with the line that was changed, the key, and what was expected.
func TestBrokenFiles(t *testing.T) {
	raw, err := os.ReadFile("fleet/sedge.toml")
	if err != nil {
		t.Fatal(err)
	}
	sound := string(raw)
	for _, c := range []struct{ old, new, want string }{
		{`x = "5.0181 m"`, `x = "5.0181"`, `surfaces[1].stations[2].x: "5.0181" as Length: a unit is missing: write m or ft`},
		{`x = "5.0181 m"`, `x = 5.0181`, `surfaces[1].stations[2].x: a unit is missing: it is the number 5.0181, must be a text with a unit, as in x = "1.500 m"`},
		{`x = "5.0181 m"`, `x = "5.0181 kg"`, `surfaces[1].stations[2].x: "5.0181 kg" as Length: kg is a unit of Mass, not of Length`},
		{`x = "5.0181 m"`, `x = "5.0181 metr"`, `surfaces[1].stations[2].x: "5.0181 metr" as Length: no unit is called "metr"; did you mean`},
		{`x = "5.0181 m"`, `x = "long"`, `surfaces[1].stations[2].x: "long" as Length`},
		{`x = "5.0181 m"`, `x = true`, `surfaces[1].stations[2].x: it is true, must be a text with a unit`},
		{`x = "5.0181 m"`, `x = "20 m"`, `surfaces[1].stations[2].x: the leading edge of the wing ahead of station 2 is swept 75.0°, must be -75° to 75°`},
		{`x = "5.0181 m", `, ``, `surfaces[1].stations[2].x: it is missing: of the leading edge, aft of the datum, as in x = "1.500 m"`},
		{`y = "4.50 m", z = "0 m", chord = "0.70 m", twist`, `y = "0 m", z = "0 m", chord = "0.70 m", twist`, `surfaces[1].stations[2].y: station 2 of the wing is 0 m from the one before along y: the span must be above zero`},
		{`y = "4.50 m", z = "0 m", chord = "0.70 m", twist`, `y = "-4.50 m", z = "0 m", chord = "0.70 m", twist`, `surfaces[1].stations[2].y: station 2 of the wing is -4.50 m from the one before along y`},
		{`chord = "1.40 m"`, `chord = "0 m"`, `surfaces[1].stations[1].chord: station 1 of the wing: chord is 0 m, must be above zero and finite`},
		{`chord = "0.70 m", twist`, `chord = "-0.70 m", twist`, `surfaces[1].stations[2].chord: station 2 of the wing: chord is -0.700 m, must be at least 0 m`},
		{`chord = "1.40 m"`, `chord = "NaN m"`, `surfaces[1].stations[1].chord: "NaN m" as Length`},
		{`chord = "1.40 m"`, `chord = "inf m"`, `surfaces[1].stations[1].chord: "inf m" as Length`},
		{`twist = "-1.5°"`, `twist = "-1.5 m"`, `surfaces[1].stations[2].twist: "-1.5 m" as Angle: m is a unit of Length, not of Angle`},
		{`twist = "-1.5°"`, `twist = "-45°"`, `surfaces[1].stations[2].twist: station 2 of the wing: twist is -45.0°, must be -30° to 30°`},
		{`twist = "-1.5°"`, `washout = "-1.5°"`, `surfaces[1].stations[2].washout: there is no such key here: known are x, y, z, chord, twist, section`},
		{`chord = "1.40 m", section = "swept"`, `chord = "1.40 m", section = "sweet"`, `surfaces[1].stations[1].section: there is no section "sweet": known are swept, foreplane, fin`},
		{`naca = "34013"`, `naca = "640"`, `sections[1]: section.NACA: "640" is no section`},
		{`naca = "34013"`, `coordinates = "a.dat"`, `sections[1]: the file "a.dat" cannot be found from here: read the aeroplane with ReadFile or ReadFS`},
		{`naca = "34013"`, "naca = \"34013\"\npolars = \"a.csv\"", `sections[1]: naca, coordinates and polars exclude each other`},
		{`moment = -0.03`, `moment = nan`, `sections[1].moment: it is the number NaN, must be a finite number`},
		{`moment = -0.03`, `moment = -3`, `sections[1].moment: section swept: moment is -3.00, must be -1 to 1`},
		{`lift_slope = "6.1 /rad"`, `lift_slope = "-6.1 /rad"`, `sections[1].lift_slope: section swept: lift slope is -6.10 /rad, must be above zero`},
		{`max_lift = 1.45`, `max_lift = "1.45 m"`, `sections[1].max_lift: "1.45 m" as Coefficient`},
		{`name = "foreplane"` + "\nnaca", `name = "swept"` + "\nnaca", `sections[2].name: there are two sections called "swept"`},
		{`role = "foreplane"`, `role = "canard wing"`, `surfaces[2].role: there is no role "canard wing": wing, foreplane, tailplane, fin, tip fin are known`},
		{`name = "foreplane"` + "\nrole", `name = "wing"` + "\nrole", `surfaces[2].name: each surface needs a name of its own, "wing" is none`},
		{`role = "foreplane"` + "\nmirrored = true", `role = "foreplane"`, `surfaces[2].mirrored: the foreplane must be mirrored: only fins may have one side`},
		{`role = "foreplane"` + "\nmirrored = true", `role = "foreplane"` + "\nmirrored = 1", `surfaces[2].mirrored: it is the number 1, must be mirrored = true`},
		{`x = "0.40 m", y = "0 m"`, `x = "0.40 m", y = "0.2 m"`, `surfaces[2].stations[1].y: the root of the foreplane must lie in the plane of symmetry, y is 0.200 m`},
		{`y = "4.50 m", z = "0 m", chord = "0.70 m", section = "fin"`, `y = "-4.50 m", z = "0 m", chord = "0.70 m", section = "fin"`, `surfaces[3].mirrored: the tip fins is mirrored, so it must stand to starboard`},
		{`min = "-10°", max = "12°"`, `min = "12°", max = "-10°"`, `surfaces[2].controls[1].max: the limits of the control pitch are the wrong way round: least 12.00°, greatest -10.00°`},
		{`from = 0.58, to = 0.96`, `from = 0.58, to = 1.2`, `surfaces[1].controls[1].to: control ailerons: outer end, of the span, is 1.200, must be 0 to 1`},
		{`from = 0.58, to = 0.96`, `from = 0.98, to = 0.96`, `surfaces[1].controls[1].to: the control ailerons ends at 0.960 of the span, inside where it begins, 0.980`},
		{`chord = 0.22`, `chord = 1.22`, `surfaces[1].controls[1].chord: control ailerons: chord fraction behind the hinge is 1.220, must be 0.02 to 0.98`},
		{`all_moving = true`, `all_moving = true, chord = 0.3`, `surfaces[2].controls[1].all_moving: the control pitch turns as a whole`},
		{`purpose = "roll"`, `purpose = "bank"`, `surfaces[1].controls[1].purpose: there is no purpose "bank": pitch, roll, yaw, flap are known`},
		{`name = "pitch"`, `name = "ailerons"`, `surfaces[2].controls[1].name: the name "ailerons" is taken, by the wing: each control needs one of its own`},
		{`x = "0.50 m", z = "0.10 m"`, `x = "-0.50 m", z = "0.10 m"`, `bodies[1].stations[2].x: station 2 of the body is at x = -0.500 m, not behind the one before at 0 m`},
		{`width = "0.55 m"`, `width = "-0.55 m"`, `bodies[1].stations[2].width: station 2 of the body: width is -0.550 m, must be at least 0 m`},
		{`power = "85 kW"`, `power = "85 kt"`, `plants[1].power: "85 kt" as Power: kt is a unit of Speed, not of Power`},
		{`diameter = "1.70 m"`, `diameter = "0 m"`, `plants[1].diameter: engine: propeller diameter is 0 m, must be above zero`},
		{`y = "1.05 m"`, `y = "-1.05 m"`, `wheels[2].y: main wheels: y is -1.050 m, must be at least 0 m`},
		{`area = "9.45 m²"`, `area = "9.45 m"`, `reference.area: "9.45 m" as Area: m is a unit of Length, not of Area`},
		{`area = "9.45 m²"`, `area = "-9.45 m²"`, `reference.area: reference: area is -9.45 m², must be above zero`},
		{`mass = "98 kg"`, `mass = "98 lbf"`, `masses[1].mass: "98 lbf" as Mass: lbf is a unit of Force, not of Mass`},
		{`mass = "98 kg"`, `mass = "-98 kg"`, `masses[1].mass: wing: mass is -98.0 kg, must be at least 0 kg`},
		{`mass = "98 kg"` + "\nx = \"4.4 m\"\n", `mass = "98 kg"` + "\n", `masses[1].x: it is missing: of its centre of gravity, as in x = "1.500 m"`},
		{`mass = "76 kg"`, `mass = "96 kg"`, `masses[12].mass: fuel: mass is 96.0 kg, must be 0 kg to 86 kg`},
		{`x = "4.18 m"`, `x = "418 m"`, `masses: the CG at 69.6 m is outside the aeroplane, which reaches from 0 m to 6.17 m`},
		{`kind = "gear"`, `kind = "wheels"`, `drag[1].kind: there is no kind "wheels": gear, cooling, protuberance are known`},
		{`area = "0.034 m²"`, `area = "-0.034 m²"`, `drag[1].area: main gear: area of drag is -0.0340 m², must be at least 0 m²`},
		{`name = "Sedge"`, `name = "Sedge"` + "\ncg = \"9 m\"", `cg: the CG at 9.00 m is outside the aeroplane`},
		{`name = "Sedge"`, `name = "Sedge"` + "\nwingspan = \"9 m\"", `wingspan: there is no such key here: known are name, mass`},
		{`name = "Sedge"`, `name = "Sedge`, `line 4`},
		{`name = "Sedge"`, `name = "Sedge"` + "\nname = \"Sedge\"", `name`},
		{`name = "Sedge"`, `name = ["Sedge"]`, `name: it is a list, must be name = "…"`},
	} {
		at := strings.Index(sound, c.old)
		if at < 0 {
			t.Errorf("the file has no %q", c.old)
			continue
		}
		text := sound[:at] + c.new + sound[at+len(c.old):]
		_, err := aircraft.Read(strings.NewReader(text))
		var where *aircraft.Error
		if err == nil || !strings.Contains(err.Error(), c.want) || !errors.As(err, &where) {
			t.Errorf("%q: error\n%v, want\n%s", c.new, err, c.want)
			continue
		}
		changed := 1 + strings.Count(sound[:at], "\n")
		if d := where.Line - changed; where.Line == 0 || !strings.HasPrefix(where.Key, "masses") && (d < -3 || d > 4) {
			t.Errorf("%q: the error is said to be in line %d, the change is in line %d", c.new, where.Line, changed)
		}
	}
}

// TestMissing: parts of a file that are missing as a whole, and geometry that cannot be.
func TestMissing(t *testing.T) {
	a := aircraft.Sedge()
	bare := a.Clone()
	bare.Masses = nil
	text := bare.String()
	without := strings.NewReplacer("mass = \"700 kg\"\n", "").Replace(text)
	if _, err := aircraft.Read(strings.NewReader(text)); err != nil {
		t.Errorf("with mass and cg stated: %v", err)
	}
	if _, err := aircraft.Read(strings.NewReader(without)); err == nil || !strings.Contains(err.Error(), "list the masses with their arms in [[masses]], or state mass and cg") {
		t.Errorf("without masses: %v", err)
	}
	if _, err := aircraft.Read(strings.NewReader("")); err == nil || !strings.Contains(err.Error(), "line 1: reference: it is missing") || !strings.Contains(err.Error(), "surfaces: it is missing") {
		t.Errorf("empty file: %v", err)
	}
	foreplane, _ := a.Surface("foreplane")
	if err := a.With(foreplane.Moved(3.5, 0, -0.2)).Validate(); err == nil || !strings.Contains(err.Error(), "surfaces[2]: the foreplane overlaps the wing at x 3.9") {
		t.Errorf("overlap: %v", err)
	}
	if err := a.With(foreplane.Moved(3.5, 0, 0.5)).Validate(); err != nil {
		t.Errorf("a foreplane above the wing: %v", err)
	}
}

// TestSectionFiles reads coordinates and polars that stand beside the file.
func TestSectionFiles(t *testing.T) {
	polars := "alpha [°],cl,cd,cm,Reynolds\n-6,-0.6,0.01,-0.02,1e6\n0,0,0.008,-0.02,1e6\n6,0.6,0.01,-0.02,1e6\n12,1.1,0.02,-0.02,1e6\n"
	text := strings.Replace(aircraft.Bracken().String(), "naca = \"0010\"\nlift_slope = \"6 /rad\"\nzero_lift = \"0°\"\nmoment = 0.0\nmax_lift = 1.1\n",
		"polars = \"tail.csv\"\nreynolds = 1e6\n", 1)
	files := fstest.MapFS{"b.toml": {Data: []byte(text)}, "tail.csv": {Data: []byte(polars)}}
	a, err := aircraft.ReadFS(files, "b.toml")
	if err != nil {
		t.Fatal(err)
	}
	tail, _ := a.Surface("tailplane")
	s := tail.Section()
	near(t, "slope", s.LiftSlope, 0.1*unit.InverseDegree, 1e-12)
	near(t, "moment", s.Moment, -0.02, 1e-12)
	near(t, "greatest lift", s.MaxLift, 1.1, 1e-12)
	if family, ok := s.Family(); !ok || len(family.Polars()) != 1 {
		t.Error("the polars are lost")
	}
	surfaces, err := a.Lattice()
	if err != nil || surfaces[1].Stations[0].Section == nil || surfaces[0].Stations[0].Section != nil {
		t.Errorf("the lattice has no polars of the tailplane, or others: %v", err)
	}
	dir := t.TempDir()
	for name, file := range files {
		if err := os.WriteFile(filepath.Join(dir, name), file.Data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if b, err := aircraft.ReadFile(filepath.Join(dir, "b.toml")); err != nil || b.String() != a.String() {
		t.Errorf("from a folder: %v", err)
	}
}

// TestForms: TOML has several forms for the same; all are read, and lines are found in each.
func TestForms(t *testing.T) {
	text := `name = "Straw"
mass = "500 kg"
cg = "1.2 m"
reference.name = "wing"
reference.area = "8 m²"
reference.chord = "1 m"
reference.span = "8 m"
reference.leading_edge = "1 m"
sections = [ { name = "plate", lift_slope = "6 /rad" } ]

[[surfaces]]
name = "wing"
role = "wing"
mirrored = true
[[surfaces.stations]]
x = "1 m"
y = "0 m"
z = "0 m"
chord = "1 m"
section = "plate"
[[surfaces.stations]]
x = "1 m"
y = "4 m"
z = "0 m"
chord = "1 m"
section = "plate"
[[surfaces]]
name = "tail"
role = "tailplane"
mirrored = true
stations = [
  { x = "5 m", y = "0 m", z = "0 m", chord = "1 m", section = "plate" },
  # a remark
  { x = "5 m", y = "1 m", z = "0 m", chord = "1 m", section = "plate" },
]
`
	a, err := aircraft.Read(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "area", a.Area(), 10, 1e-14)
	if again, err := aircraft.Read(strings.NewReader(a.String())); err != nil || !reflect.DeepEqual(a, again) {
		t.Errorf("written in the other form it is another: %v", err)
	}
	for _, c := range []struct {
		old, new string
		line     int
		key      string
	}{
		{"cg = \"1.2 m\"", "cg = \"1.2\"", 3, "cg"},
		{"reference.area = \"8 m²\"", "reference.area = \"8 m\"", 5, "reference.area"},
		{"lift_slope = \"6 /rad\"", "lift_slope = \"6 rad\"", 9, "sections[1].lift_slope"},
		{"y = \"4 m\"", "y = \"4 s\"", 23, "surfaces[1].stations[2].y"},
		{"x = \"5 m\", y = \"1 m\"", "x = \"5 kg\", y = \"1 m\"", 34, "surfaces[2].stations[2].x"},
		{"x = \"5 m\", y = \"0 m\"", "y = \"0 m\"", 32, "surfaces[2].stations[1].x"},
	} {
		var where *aircraft.Error
		_, err := aircraft.Read(strings.NewReader(strings.Replace(text, c.old, c.new, 1)))
		if !errors.As(err, &where) || where.Line != c.line || where.Key != c.key || where.Aircraft != "Straw" {
			t.Errorf("%s: %v", c.new, err)
		}
	}
	several := strings.NewReplacer(`"8 m²"`, `"8 m"`, `"4 m"`, `"4 s"`).Replace(text)
	if _, err := aircraft.Read(strings.NewReader(several)); err == nil || !strings.Contains(err.Error(), "line 5") || !strings.Contains(err.Error(), "line 23") {
		t.Errorf("two mistakes: %v", err)
	}
}

// FuzzRead: whatever the text, reading ends with an aeroplane that can be written and read back, or with an error.
func FuzzRead(f *testing.F) {
	for _, a := range aircraft.Fleet() {
		f.Add(a.String())
	}
	f.Add("name = 1\n[[surfaces]]\nstations = [ 1, { x = 2 } ]\n[surfaces.controls]\n")
	f.Add("reference = \"x\"\nsurfaces = 3\nmasses = [ [] ]\n")
	f.Fuzz(func(t *testing.T, text string) {
		a, err := aircraft.Read(strings.NewReader(text))
		if err != nil {
			return
		}
		if again, err := aircraft.Read(strings.NewReader(a.String())); err != nil || again.String() != a.String() {
			t.Errorf("%v\n%s", err, a.String())
		}
	})
}
