package section_test

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

const measured = `# invented
alpha [°],cl,cd,cm,Reynolds
-12,-1.0,0.030,-0.04,1e6
0,0.2,0.008,-0.05,1e6
8,1.0,0.012,-0.05,1e6
14,1.2,0.030,-0.06,1e6
-12,-1.2,0.020,-0.04,4e6
0,0.2,0.006,-0.05,4e6
14,1.6,0.020,-0.06,4e6
`

func family(t *testing.T, text string) section.Family {
	t.Helper()
	return need[section.Family](t)(section.ReadPolars("tunnel", strings.NewReader(text)))
}

func TestFamily(t *testing.T) {
	f := family(t, measured)
	p := need[section.Polar](t)(f.At(2e6)) // half way in the logarithm
	s := need[section.Sample](t)(p.At(14 * unit.Degree))
	near(t, "cl", s.CL, 1.4, 1e-12)
	near(t, "cd", s.CD, 0.025, 1e-12)
	s = need[section.Sample](t)(need[section.Polar](t)(f.At(1e6)).At(4 * unit.Degree))
	near(t, "cl between samples", s.CL, 0.6, 1e-12)
	near(t, "greatest cl", p.MaxLift().CL, 1.4, 1e-12)
	near(t, "least cl", p.MinLift().CL, -1.1, 1e-12)
	slope, zero, err := f.Polars()[0].LiftLine(0, 8*unit.Degree)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "slope", slope, 0.1/unit.Degree, 1e-9)
	near(t, "α_L0", zero, -2*unit.Degree, 1e-9)

	var file bytes.Buffer
	if err := f.WriteCSV(&file); err != nil {
		t.Fatal(err)
	}
	back := family(t, file.String())
	if got, want := fmt.Sprint(back), fmt.Sprint(f); got != want {
		t.Errorf("read back %s, want %s", got, want)
	}
}

func TestResiduals(t *testing.T) {
	f := family(t, measured)
	low, high := f.Polars()[0], f.Polars()[1]
	r, outside := low.Residuals(high)
	if len(r) != 4 || outside != 0 {
		t.Fatalf("%v, %d outside", r, outside)
	}
	near(t, "cl", r[3].CL, -0.4, 1e-12)
	near(t, "cd", r[3].CD, 0.01, 1e-12)
}

// TestExtended: continuous at the stall, a plate at 90°, the mirror image on the other side.
func TestExtended(t *testing.T) {
	p := family(t, measured).Polars()[0]
	e := need[section.Polar](t)(p.Extended())
	for _, end := range []section.Sample{p.Samples()[0], p.Samples()[3]} {
		over := end.Alpha * (1 + 1e-6)
		s := need[section.Sample](t)(e.At(over))
		near(t, "cl", s.CL, end.CL, 1e-5)
		near(t, "cd", s.CD, end.CD, 1e-5)
		near(t, "cm", s.CM, end.CM, 1e-5)
		if !s.PostStall || end.PostStall {
			t.Errorf("marks at %g: %v", end.Alpha, s.PostStall)
		}
	}
	for _, side := range []float64{1, -1} {
		s := need[section.Sample](t)(e.At(side * math.Pi / 2))
		near(t, "cl at 90°", s.CL, 0, 1e-9)
		near(t, "cd at 90°", s.CD, 2.01, 1e-9)
		near(t, "cm at 90°", s.CM, -side*2.01/4, 1e-9)
	}
	// Next to the stall the curves must join the plate: the first extended sample stays near the last datum.
	near(t, "cl at 15°", need[section.Sample](t)(e.At(15*unit.Degree)).CL, 1.2, 0.1)
	near(t, "cd at 15°", need[section.Sample](t)(e.At(15*unit.Degree)).CD, 0.03, 0.05)
	near(t, "cl at -15°", need[section.Sample](t)(e.At(-15*unit.Degree)).CL, -1.0, 0.15)
	if s := need[section.Sample](t)(e.At(45 * unit.Degree)); !(0.9 < s.CL && s.CL < 1.3 && 0.8 < s.CD && s.CD < 1.2) {
		t.Errorf("at 45°: %+v", s)
	}
}

func TestPolarsRefuse(t *testing.T) {
	f := family(t, measured)
	var r *unit.RangeError
	if _, err := f.At(5e6); !errors.As(err, &r) {
		t.Error(err)
	}
	if _, err := f.Polars()[0].At(15 * unit.Degree); !errors.As(err, &r) {
		t.Error(err)
	}
	for text, want := range map[string]string{
		"alpha,cl,cd,cm,Reynolds\n":                                  "needs its unit",
		"alpha [°],cl,cd,cm\n":                                       `no column "Reynolds"`,
		"alpha [°],cl,cl,cm,Reynolds\n":                              "each once",
		"alpha [°],cl,cd,cm,Reynolds\n1,x,0,0,1e6\n":                 "line 2: cl",
		"alpha [°],cl,cd,cm,Reynolds\n1,1,0,0,1e6\n1,1,0,0,1e6\n":    "two samples",
		"alpha [°],cl,cd,cm,Reynolds\n1,1,-0.1,0,1e6\n2,1,0,0,1e6\n": "cd -0.1",
		"alpha [°],cl,cd,cm,Reynolds\n1,1,0,0,1e6\n":                 "at least 2",
		"": "no header",
	} {
		if _, err := section.ReadPolars("x", strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
	e := need[section.Polar](t)(f.Polars()[0].Extended())
	var p *section.PolarError
	if _, err := e.Extended(); !errors.As(err, &p) {
		t.Error(err)
	}
	if err := need[section.Family](t)(section.NewFamily(e)).WriteCSV(&bytes.Buffer{}); !errors.As(err, &p) {
		t.Error(err)
	}
}

func ExampleReadPolars() {
	f, _ := section.ReadPolars("tunnel", strings.NewReader(measured))
	p, _ := f.At(2e6)
	fmt.Printf("greatest cl at Re 2 million: %.2f\n", p.MaxLift().CL)
	// Output: greatest cl at Re 2 million: 1.40
}
