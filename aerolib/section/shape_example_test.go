package section_test

import (
	"fmt"
	"os"
	"strings"

	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

func ExampleNACA() {
	naca, err := section.NACA("NACA 23012")
	fmt.Println(naca.Name, err)
	_, err = section.NACA("64-215")
	fmt.Println(err)
	// Output:
	// NACA 23012 <nil>
	// section.NACA: "64-215" is no section: the thickness of the 6-series is published in tables: read its coordinates with section.Read; SixSeriesLine has the mean line
}

func ExampleThicken() {
	line, _ := section.SixSeriesLine(0.8, 0.4)
	line.Name = "a = 0.8 line, 12 % thick"
	own, _ := section.Thicken(line, 0.12)
	contour, _ := own.Sharp().Contour()
	thickness, _ := contour.Thickness()
	fmt.Printf("%s: %.3f\n", contour.Name, thickness)
	// Output: a = 0.8 line, 12 % thick: 0.120
}

func ExampleFourDigitLine() {
	line, _ := section.FourDigitLine(0.04, 0.4)
	fmt.Printf("height at 0.4: %.3f, slope %.3f\n", line.Height(0.4), line.Slope(0.4))
	// Output: height at 0.4: 0.040, slope 0.000
}

func ExampleSixSeriesLine() {
	line, _ := section.SixSeriesLine(1, 0.4)
	thin, _ := section.ThinTheory(line)
	fmt.Printf("cl %.2f at %.1f°, cm %.3f\n", thin.IdealLift, thin.IdealAngle/unit.Degree, thin.Moment)
	// Output: cl 0.40 at 0.0°, cm -0.100
}

func ExampleThin_Lift() {
	naca, _ := section.NACA("23012")
	thin, _ := section.ThinTheory(naca.Line)
	fmt.Printf("cl %.3f, centre of pressure at %.3f\n", thin.Lift(4*unit.Degree), thin.CentreOfPressure(4*unit.Degree))
	// Output: cl 0.559, centre of pressure at 0.273
}

func ExampleProfile_Surface() {
	naca, _ := section.NACA("0012")
	upper, lower := naca.Surface(0.3)
	fmt.Printf("%.5f %.5f\n", upper.Z, lower.Z)
	// Output: 0.06002 -0.06002
}

func ExampleProfile_ContourOf() {
	naca, _ := section.NACA("0012")
	contour, _ := naca.ContourOf(80)
	fmt.Println(len(contour.Points()), "points")
	// Output: 81 points
}

func ExampleProfile_Sharp() {
	naca, _ := section.NACA("0012")
	open, _ := naca.Contour()
	closed, _ := naca.Sharp().Contour()
	fmt.Printf("trailing edge %.4f, closed %.0f\n", open.TrailingGap(), closed.TrailingGap())
	// Output: trailing edge 0.0025, closed 0
}

func ExampleRead() {
	text := "plate with round nose\n1 0.02\n"
	for _, x := range []string{"0.95", "0.9", "0.8", "0.7", "0.6", "0.5", "0.4", "0.3", "0.2", "0.1"} {
		text += x + " 0.02\n"
	}
	text += "0 0\n"
	for _, x := range []string{"0.1", "0.2", "0.3", "0.4", "0.5", "0.6", "0.7", "0.8", "0.9", "0.95", "1"} {
		text += x + " -0.02\n"
	}
	contour, scale, err := section.Read(strings.NewReader(text))
	fmt.Println(contour.Name, scale, err)
	// Output: plate with round nose 1 <nil>
}

func ExampleNewContour() {
	_, err := section.NewContour("a line", []section.Point{{X: 1}, {X: 0}, {X: 1}})
	fmt.Println(err)
	// Output: section: contour "a line": it has 3 points, must be 21 to 2001
}

func ExampleContour_Thickness() {
	naca, _ := section.NACA("4415")
	c, _ := naca.Contour()
	thickness, at := c.Thickness()
	camber, _ := c.Camber()
	fmt.Printf("thickness %.3f at %.2f, camber %.3f, area %.3f, nose radius %.3f\n", thickness, at, camber, c.Area(), c.NoseRadius())
	// Output: thickness 0.150 at 0.30, camber 0.040, area 0.103, nose radius 0.025
}

func ExampleContour_Refined() {
	naca, _ := section.NACA("2412")
	coarse, _ := naca.ContourOf(40)
	fine, _ := coarse.Refined(200)
	fmt.Println(len(fine.Points()))
	// Output: 201
}

func ExampleContour_Write() {
	naca, _ := section.NACA("0012")
	c, _ := naca.Sharp().ContourOf(20)
	var file strings.Builder
	err := c.Write(&file)
	fmt.Println(strings.SplitN(file.String(), "\n", 3)[:2], err)
	// Output: [NACA 0012 1 0] <nil>
}

func ExampleFlow_At() {
	naca, _ := section.NACA("4412")
	contour, _ := naca.Contour() // with the trailing edge as published, slightly open
	flow, _ := section.Panels(contour)
	p, _ := flow.At(0)
	fmt.Printf("cl %.2f, cm %.2f\n", p.CL, p.CM)
	// Output: cl 0.52, cm -0.11
}

func ExampleNewPolar() {
	p, _ := section.NewPolar("tunnel", 1e6, []section.Sample{
		{Alpha: 10 * unit.Degree, CL: 1.1, CD: 0.015, CM: -0.05},
		{Alpha: -10 * unit.Degree, CL: -0.7, CD: 0.02, CM: -0.04},
		{Alpha: 0, CL: 0.2, CD: 0.008, CM: -0.05},
	})
	s, _ := p.At(5 * unit.Degree)
	slope, zero, _ := p.LiftLine(-10*unit.Degree, 10*unit.Degree)
	fmt.Printf("cl %.2f at 5°, %.2f to %.2f; slope %.2f per rad, zero lift at %.1f°\n", s.CL, p.MinLift().CL, p.MaxLift().CL, slope, zero/unit.Degree)
	// Output: cl 0.65 at 5°, -0.70 to 1.10; slope 5.16 per rad, zero lift at -2.2°
}

func ExamplePolar_Extended() {
	p, _ := section.NewPolar("tunnel", 1e6, []section.Sample{{Alpha: -0.2, CL: -1, CD: 0.02}, {Alpha: 0.25, CL: 1.3, CD: 0.02}})
	whole, _ := p.Extended()
	s, _ := whole.At(45 * unit.Degree)
	fmt.Printf("cl %.1f, cd %.1f, beyond the stall: %v\n", s.CL, s.CD, s.PostStall)
	// Output: cl 1.2, cd 0.9, beyond the stall: true
}

func ExamplePolar_Residuals() {
	naca, _ := section.NACA("2412")
	contour, _ := naca.Sharp().Contour()
	flow, _ := section.Panels(contour)
	computed, _ := flow.Polar(3e6, section.Conditions{})
	measured, _ := section.NewPolar("tunnel", 3e6, []section.Sample{
		{Alpha: 0, CL: 0.21, CD: 0.0062, CM: -0.048}, {Alpha: 4 * unit.Degree, CL: 0.63, CD: 0.0068, CM: -0.046}, {Alpha: 40 * unit.Degree, CL: 1, CD: 0.8, CM: -0.2},
	})
	residuals, outside := measured.Residuals(computed)
	fmt.Printf("Δcl %.2f at 4°; %d sample outside\n", residuals[1].CL, outside)
	// Output: Δcl -0.04 at 4°; 1 sample outside
}

func ExampleNewFamily() {
	at := func(reynolds, lift float64) section.Polar {
		p, _ := section.NewPolar("tunnel", reynolds, []section.Sample{{Alpha: 0, CL: 0.2, CD: 0.01}, {Alpha: 0.25, CL: lift, CD: 0.02}})
		return p
	}
	family, _ := section.NewFamily(at(4e6, 1.6), at(1e6, 1.2))
	p, _ := family.At(2e6) // half way in the logarithm
	fmt.Printf("%.2f of %d polars\n", p.MaxLift().CL, len(family.Polars()))
	// Output: 1.40 of 2 polars
}

func ExampleFamily_WriteCSV() {
	p, _ := section.NewPolar("tunnel", 1e6, []section.Sample{{Alpha: 0, CL: 0.2, CD: 0.01, CM: -0.05}, {Alpha: 0.25, CL: 1.5, CD: 0.02, CM: -0.05}})
	family, _ := section.NewFamily(p)
	if err := family.WriteCSV(os.Stdout); err != nil {
		fmt.Println(err)
	}
	// Output:
	// alpha [rad],cl,cd,cm,Reynolds
	// 0,0.2,0.01,-0.05,1e+06
	// 0.25,1.5,0.02,-0.05,1e+06
}

func ExampleViscous_Suction() {
	naca, _ := section.NACA("2412")
	contour, _ := naca.Sharp().Contour()
	flow, _ := section.Panels(contour)
	v, _ := flow.Viscous(-12*unit.Degree, 3e6, section.Conditions{})
	fmt.Println(v.Suction() == v.Lower)
	// Output: true
}
