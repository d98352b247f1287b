package figure

import (
	"bytes"
	"encoding/xml"
	"flag"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the golden files anew")

// span returns n values from a to b.
func span(a, b float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = a + (b-a)*float64(i)/float64(n-1)
	}
	return out
}

func values(x []float64, f func(float64) float64) []float64 {
	out := make([]float64, len(x))
	for i := range x {
		out[i] = f(x[i])
	}
	return out
}

// samples are figures that use every part of the package; the golden files show them.
func samples() map[string]*Figure {
	v := span(24, 70, 40)
	cl := span(-0.2, 1.4, 9)
	re := values(span(5, 7.5, 20), func(e float64) float64 { return math.Pow(10, e) })
	friction := values(re, func(r float64) float64 { return 0.455 / math.Pow(math.Log10(r), 2.58) })
	j := span(0.1, 1.6, 40)

	trim := New("Trim of Sedge at 6 500 ft", Axis{Label: "Equivalent airspeed V", Unit: "kt"}, Axis{Label: "Angle", Unit: "°"}).
		Curve("foreplane δ_f", v, values(v, func(v float64) float64 { return 105/v/v - 0.03 })).
		Curve("angle of attack α", v, values(v, func(v float64) float64 { return 140/v/v - 0.05 })).
		Limit("V_S", 26.5).Point("cruise", 56, 105.0/56/56-0.03)

	moment := New("Moment about the CG", Axis{Label: "Lift coefficient C_L"}, Axis{Label: "Moment coefficient C_m"})
	for _, d := range []struct {
		label string
		up    float64
	}{{"δ = -5°", -0.05}, {"δ = 0°", 0}, {"δ = 5°", 0.05}, {"δ = 10°", 0.1}} {
		moment.Curve(d.label, cl, values(cl, func(c float64) float64 { return d.up - 0.12*c }))
	}
	moment.Points("trimmed", []float64{0.4, 0.85}, []float64{0, 0})
	moment.Caption = "For study and preliminary work; the approved flight manual decides."

	log := New("Skin friction", Axis{Label: "Reynolds number Re_c", Log: true}, Axis{Label: "C_f", Log: true}).
		Band("mixed", re, values(friction, func(c float64) float64 { return 0.7 * c }), friction).
		Curve("laminar", re, values(re, func(r float64) float64 { return 1.328 / math.Sqrt(r) }))

	limits := New("CG limits", Axis{Label: "EAS V_e", Unit: "kt"}, Axis{Label: "CG x_cg", Unit: "m"}).
		Curve("forward limit", v, values(v, func(v float64) float64 { return 2.1 + 3/v/v*20 })).
		Level("neutral point", 2.4).Note("loaded here", 50, 2.3).Limit("V_A", 45).
		Top(Axis{Label: "TAS V", Unit: "kt"}, func(v float64) float64 { return 1.18 * v }).
		Right(Axis{Label: "CG in MAC", Unit: "%"}, func(x float64) float64 { return (x - 2) / 1.2 })

	efficiency := New("", Axis{Label: "Advance ratio J"}, Axis{Label: "Efficiency η"})
	many := New("Too many for the margin", Axis{Label: "J"}, Axis{Label: "η"})
	for i := range 8 {
		eta := values(j, func(x float64) float64 {
			e := 0.8 * (1 - math.Pow((x-0.2-0.12*float64(i))/(0.3+0.07*float64(i)), 2))
			if e < 0 {
				return math.NaN()
			}
			return e
		})
		label := "blade angle β = " + significant(float64(15+5*i), 2) + "°"
		many.Curve(label+" at three quarters of the radius", j, eta)
		if i < 4 {
			efficiency.Curve("β = "+significant(float64(15+5*i), 2)+"°", j, eta)
		}
	}
	return map[string]*Figure{
		"trim": trim, "moment": moment, "log": log, "limits": limits, "efficiency": efficiency, "legend": many,
		"bars": Bars("Who carries what at 95 kt", Axis{Label: "Share of lift", Unit: "%"}, "Sedge", "Bracken").
			Part("wing", []float64{0.774, 1.048}).Part("foreplane", []float64{0.226, 0}).Part("tailplane", []float64{0, -0.048}),
		"planform": Planform(canard(), Station{NeutralPoint, "neutral point", 2.75}),
		"single":   New("", Axis{Label: "h", Unit: "ft"}, Axis{Label: "σ"}).Curve("", span(0, 6000, 5), span(1, 0.53, 5)),
	}
}

// TestGolden compares every sample with its golden file and holds it to be well-formed, small, and without fonts.
func TestGolden(t *testing.T) {
	for name, f := range samples() {
		t.Run(name, func(t *testing.T) {
			got, err := f.SVG()
			if err != nil {
				t.Fatal(err)
			}
			wellFormed(t, got)
			if len(got) > 40_000 || bytes.Contains(got, []byte("@font-face")) {
				t.Errorf("%d bytes; fonts embedded: %v", len(got), bytes.Contains(got, []byte("@font-face")))
			}
			golden(t, name+".svg", got)
			golden(t, name+".txt", []byte(f.AltText()+"\n\n"+asText(f.Data())+"\n"))
		})
	}
}

// asText writes a table with tabs between its columns.
func asText(d Data) string {
	lines := []string{d.Caption, strings.Join(d.Header, "\t"), strings.Join(d.Units, "\t")}
	for _, row := range d.Rows {
		lines = append(lines, strings.Join(row, "\t"))
	}
	return strings.Join(lines, "\n")
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, got, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs from its golden file; look at it, and run go test with -update if it is right", name)
	}
}

func wellFormed(t *testing.T, svg []byte) {
	t.Helper()
	for d := xml.NewDecoder(bytes.NewReader(svg)); ; {
		if _, err := d.Token(); err == io.EOF {
			return
		} else if err != nil {
			t.Fatalf("not well-formed: %v", err)
		}
	}
}

// TestDrawnTwice holds drawing to be repeatable and to leave the figure alone.
func TestDrawnTwice(t *testing.T) {
	f := samples()["limits"]
	a, _ := f.SVG()
	b, _ := f.SVG()
	if !bytes.Equal(a, b) {
		t.Error("the second drawing differs from the first")
	}
}

// TestPNG holds the picture to have two pixels for each CSS pixel, and to be small.
func TestPNG(t *testing.T) {
	for _, name := range []string{"trim", "moment", "legend"} {
		f := samples()[name]
		data, err := f.PNG()
		if err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		w, h := f.Size()
		if got := img.Bounds().Size(); got.X != 2*w || got.Y != 2*h || w != defaultWidth || len(data) > 120_000 {
			t.Errorf("%s: %v pixels for %d × %d, %d bytes", name, got, w, h, len(data))
		}
	}
}

// TestIndexed holds the colours of areas to stay as they are when there are more shades than a palette takes.
func TestIndexed(t *testing.T) {
	img := image.NewRGBA(image.Rect(0, 0, 100, 100))
	for i := range 10_000 {
		c := color.RGBA{200, 30, 10, 255}
		if i%10 == 0 {
			c = color.RGBA{uint8(i / 40), uint8(i), 100, 255} // a thousand shades, once each
		}
		img.SetRGBA(i%100, i/100, c)
	}
	out := indexed(img)
	if len(out.Palette) != 256 || out.At(1, 0) != (color.RGBA{200, 30, 10, 255}) {
		t.Errorf("%d colours, the area is %v", len(out.Palette), out.At(1, 0))
	}
}

// TestBadData holds figures to say what is wrong instead of drawing something else.
func TestBadData(t *testing.T) {
	plainAxis, one := Axis{}, []float64{1}
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		want string
		f    *Figure
	}{
		{"has no data", New("Empty", plainAxis, plainAxis)},
		{`Curve "a": 2 values of x, but 1 of y`, New("", plainAxis, plainAxis).Curve("a", []float64{1, 2}, one)},
		{`Band "b": 1 values of x, but 0 of low`, New("", plainAxis, plainAxis).Band("b", one, nil, one)},
		{`x[0] = NaN is not finite`, New("", plainAxis, plainAxis).Curve("", []float64{nan}, one)},
		{`y[1] is infinite`, New("", plainAxis, plainAxis).Points("", []float64{1, 2}, []float64{1, inf})},
		{`no point to show among 2`, New("", plainAxis, plainAxis).Curve("", []float64{1, 2}, []float64{nan, nan})},
		{`no point to show among 0`, New("", plainAxis, plainAxis).Curve("", nil, nil)},
		{`Point "p": point (1, NaN) is not finite`, New("", plainAxis, plainAxis).Point("p", 1, nan)},
		{`Limit "l": value +Inf is not finite`, New("", plainAxis, plainAxis).Limit("l", inf)},
		{`logarithmic, but has the value -1`, New("", plainAxis, Axis{Log: true}).Curve("", one, []float64{-1})},
		{`axis "Speed V": `, New("", Axis{Label: "Speed V", Unit: "furlongs per fortnight"}, plainAxis).Curve("", one, one)},
		{`cannot run from 3 to 2`, New("", Axis{Min: 3, Max: 2}, plainAxis).Curve("", one, one)},
		{`first`, New("", plainAxis, plainAxis).Curve("first", one, nil).Curve("second", nil, one)},
		{`Top "t": no function`, New("", plainAxis, plainAxis).Top(Axis{Label: "t"}, nil)},
		{`Right "r": no function`, New("", plainAxis, plainAxis).Right(Axis{Label: "r"}, nil)},
		{`top axis "square" neither rises nor falls`, New("", plainAxis, plainAxis).Curve("", []float64{-1, 1}, []float64{0, 1}).
			Top(Axis{Label: "square"}, func(x float64) float64 { return x * x })},
		{`right axis "root" has the value NaN`, New("", plainAxis, plainAxis).Curve("", []float64{-1, 1}, []float64{-1, 1}).
			Right(Axis{Label: "root"}, math.Sqrt)},
		{`Outline "o": needs three points`, New("", plainAxis, plainAxis).Outline("o", []float64{1, 2}, []float64{1, 2})},
		{`Mark "m": no symbol has the number 9`, New("", plainAxis, plainAxis).Mark(9, "m", 1, 2)},
		{`no names of bars`, Bars("", plainAxis)},
		{`Part "wing": 1 values for 2 bars`, Bars("", plainAxis, "A", "B").Part("wing", one)},
		{`Part "wing": value 1, NaN, is not finite`, Bars("", plainAxis, "A", "B").Part("wing", []float64{1, nan})},
		{`has no data`, Bars("", plainAxis, "A").Part("wing", []float64{0})},
		{`no plot`, Of(nil)},
		{`outside 240 × 120`, func() *Figure { f := New("", plainAxis, plainAxis).Curve("", one, one); f.Width = 50; return f }()},
	} {
		_, err := c.f.SVG()
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("error %v, want %q", err, c.want)
		}
		if _, err2 := c.f.PNG(); err2 == nil || err2.Error() != err.Error() {
			t.Errorf("PNG: %v, SVG: %v", err2, err)
		}
		if !strings.Contains(c.f.String(), c.want) {
			t.Errorf("text %q does not say %q", c.f.String(), c.want)
		}
	}
}

// TestDataIsCopied holds a figure to keep the data it was given.
func TestDataIsCopied(t *testing.T) {
	x, y := []float64{1, 2}, []float64{3, 4}
	f := New("", Axis{}, Axis{}).Curve("", x, y)
	before, _ := f.SVG()
	x[0], y[0] = 0, 0
	if after, _ := f.SVG(); !bytes.Equal(before, after) {
		t.Error("the figure changed with the slices it was made from")
	}
}

// TestUnits holds values to be shown in the unit of the axis: 51.444 m/s are 100 kt, 0 °C is not 0 K.
func TestUnits(t *testing.T) {
	d := New("", Axis{Label: "V", Unit: "kt"}, Axis{Label: "T", Unit: "°C"}).
		Curve("", []float64{0, 100 * 1852.0 / 3600}, []float64{273.15, 293.15}).Data()
	if got := d.Rows[1]; got[0] != "100" || got[1] != "20" {
		t.Errorf("row %q, want 100 kt and 20 °C", got)
	}
	if d.Units[0] != "kt" || d.Units[1] != "°C" {
		t.Errorf("units %q", d.Units)
	}
}

// TestAltTextTellsLosses holds the text to mention gaps and points outside the axes.
func TestAltTextTellsLosses(t *testing.T) {
	f := New("T", Axis{}, Axis{Min: 0, Max: 2}).Curve("c", []float64{1, 2, 3, 4}, []float64{1, math.NaN(), 2, 5})
	for _, want := range []string{"1 values missing", "1 points lie outside the axes", "rises from 1 at x = 1 to 5 at x = 4"} {
		if !strings.Contains(f.AltText(), want) {
			t.Errorf("%q does not say %q", f.AltText(), want)
		}
	}
}

// TestOutsideTheAxes holds what fixed axes cut off to be told, not drawn.
func TestOutsideTheAxes(t *testing.T) {
	f := New("T", Axis{Min: 0, Max: 1}, Axis{Min: 0, Max: 1}).Curve("gone", []float64{2, 3}, []float64{2, 3}).
		Point("far", 5, 0.5).Limit("beyond", 7).Level("above", 8).Curve("here", []float64{0, 1}, []float64{0, 1})
	for _, want := range []string{"2 points lie outside the axes", "far: x = 5, y = 0.5, outside", "x = 7: beyond, outside", "y = 8: above, outside"} {
		if !strings.Contains(f.AltText(), want) {
			t.Errorf("%q does not say %q", f.AltText(), want)
		}
	}
	svg, err := f.SVG()
	if err != nil {
		t.Fatal(err)
	}
	_, drawing, _ := strings.Cut(string(svg), "</desc>")
	for _, gone := range []string{"gone", "far", "beyond", "above"} {
		if strings.Contains(drawing, gone) {
			t.Errorf("%q is drawn", gone)
		}
	}
}

// TestSinglePoints holds a point of a curve between two gaps to be seen.
func TestSinglePoints(t *testing.T) {
	nan := math.NaN()
	f := New("", Axis{}, Axis{}).Curve("c", []float64{0, 1, 2, 3, 4, 5}, []float64{0, nan, 1, nan, 2, 3})
	s, err := f.layout()
	if err != nil {
		t.Fatal(err)
	}
	if got := s.singles(s.series[0]); len(got) != 2 || got[1] != s.pixel(2, 1) {
		t.Errorf("single points %v, want those at x = 0 and 2", got)
	}
	if got := s.lines(s.series[0], s.series[0].y); len(got) != 1 || len(got[0]) != 2 {
		t.Errorf("lines %v, want one from x = 4 to 5", got)
	}
}
