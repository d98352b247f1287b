package figure

import (
	"image/color"
	"math"
	"reflect"
	"testing"
)

// dark is the ground of a page for the night.
var dark = color.NRGBA{0x1e, 0x1e, 0x1e, 0xff}

// TestContrast holds the colours of series to 3:1 against white and against a dark page, as WCAG 2.1, criterion 1.4.11, asks of graphics, and
// text to the 4.5:1 of criterion 1.4.3.
func TestContrast(t *testing.T) {
	if got := contrast(color.NRGBA{0, 0, 0, 255}, color.NRGBA{255, 255, 255, 255}); got != 21 {
		t.Errorf("black on white has %g, want 21", got)
	}
	if got := contrast(color.NRGBA{0x77, 0x77, 0x77, 255}, ground); math.Abs(got-4.48) > 0.005 { // a known pair just below 4.5
		t.Errorf("#777 on white has %g, want 4.48", got)
	}
	for i, l := range looks {
		if w, d := contrast(l.color, ground), contrast(l.color, dark); w < 3 || d < 3 {
			t.Errorf("colour %d has %.2f on white and %.2f on dark", i, w, d)
		}
		if c := contrast(textColor(l.color), ground); c < 4.5 {
			t.Errorf("text in colour %d has %.2f", i, c)
		}
		if c := contrast(ink, tint(l.color, 0.25)); c < 4.5 {
			t.Errorf("ink on the tint of colour %d has %.2f", i, c)
		}
	}
	for name, c := range map[string]color.NRGBA{"ink": ink, "frame": frame} {
		if contrast(c, ground) < 4.5 {
			t.Errorf("%s has %.2f", name, contrast(c, ground))
		}
	}
}

// sights turn linear sRGB into what people without one kind of cone see: G. Machado, M. Oliveira, L. Fernandes, "A physiologically-based model
// for simulation of color vision deficiency", IEEE Trans. Vis. Comput. Graph. 15 (2009), matrices for severity 1.0 (recalled).
var sights = map[string][3][3]float64{
	"normal":       {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
	"protanopia":   {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
	"deuteranopia": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
	"tritanopia":   {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
}

// TestSights holds each row of the matrices to sum to one: white stays white.
func TestSights(t *testing.T) {
	for name, m := range sights {
		for i, row := range m {
			if sum := row[0] + row[1] + row[2]; math.Abs(sum-1) > 2e-6 {
				t.Errorf("%s, row %d sums to %g", name, i, sum)
			}
		}
	}
}

// TestSeparation holds any two colours apart by ΔE*ab (CIE 1976) of 20 or more for every kind of sight; 2.3 is just noticeable.
func TestSeparation(t *testing.T) {
	for name, m := range sights {
		for i := range looks {
			for j := range i {
				if d := distance(seen(m, looks[i].color), seen(m, looks[j].color)); d < 20 {
					t.Errorf("%s: colours %d and %d differ by %.1f", name, j, i, d)
				}
			}
		}
	}
}

// seen returns the colour in CIE L*a*b* (D65) as seen through m.
func seen(m [3][3]float64, c color.NRGBA) [3]float64 {
	in := [3]float64{linear(c.R), linear(c.G), linear(c.B)}
	var rgb [3]float64
	for i, row := range m {
		rgb[i] = math.Min(math.Max(row[0]*in[0]+row[1]*in[1]+row[2]*in[2], 0), 1)
	}
	x := (0.4124*rgb[0] + 0.3576*rgb[1] + 0.1805*rgb[2]) / 0.9505
	y := 0.2126*rgb[0] + 0.7152*rgb[1] + 0.0722*rgb[2]
	z := (0.0193*rgb[0] + 0.1192*rgb[1] + 0.9505*rgb[2]) / 1.0890
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	return [3]float64{116*f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))}
}

func distance(a, b [3]float64) float64 {
	return math.Sqrt((a[0]-b[0])*(a[0]-b[0]) + (a[1]-b[1])*(a[1]-b[1]) + (a[2]-b[2])*(a[2]-b[2]))
}

// TestLooksDiffer holds series apart in dash and marker too, and the first 36 in at least one thing.
func TestLooksDiffer(t *testing.T) {
	for i := range looks {
		for j := range i {
			if reflect.DeepEqual(looks[i].dashes, looks[j].dashes) || reflect.DeepEqual(looks[i].marker, looks[j].marker) {
				t.Errorf("looks %d and %d share dash or marker", j, i)
			}
		}
	}
	for i := range 36 {
		for j := range i {
			if reflect.DeepEqual(lookOf(i), lookOf(j)) {
				t.Errorf("series %d looks like series %d", i, j)
			}
		}
	}
}
