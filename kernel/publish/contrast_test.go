package publish

import (
	"math"
	"strconv"
	"testing"
)

// contrast returns the contrast ratio of two colours written #rrggbb.
//
//	C = (L₁ + 0.05) / (L₂ + 0.05),   L₁ ≥ L₂ relative luminances
//
// (WCAG 2.2, "contrast ratio" and "relative luminance").
func contrast(t *testing.T, a, b string) float64 {
	l, m := luminance(t, a), luminance(t, b)
	return (max(l, m) + 0.05) / (min(l, m) + 0.05)
}

func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	rgb, err := strconv.ParseUint(colour[1:], 16, 32)
	if err != nil {
		t.Fatal(err)
	}
	return 0.2126*linear(rgb>>16&0xff) + 0.7152*linear(rgb>>8&0xff) + 0.0722*linear(rgb&0xff)
}

func linear(v uint64) float64 {
	if s := float64(v) / 255; s > 0.04045 {
		return math.Pow((s+0.055)/1.055, 2.4)
	} else {
		return s / 12.92
	}
}

func TestContrastOfBlackAndWhite(t *testing.T) {
	if got := contrast(t, "#ffffff", "#000000"); math.Abs(got-21) > 1e-9 {
		t.Errorf("black on white has %v, want 21", got)
	}
}
