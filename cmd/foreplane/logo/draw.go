//go:build ignore

// Draw writes the kernel's logo, seen from above: foreplane ahead, wing behind, both lifting. The outlines below are the only source; the SVG
// and the two PNGs that kernelspecs want are made from them.
package main

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"log"
	"os"
	"strings"

	"golang.org/x/image/vector"
)

const size = 64 // side of the drawing in its own units

type point struct{ x, y float32 }

// starboard half of each outline, from the plane of symmetry outwards and back; nose up.
var outlines = [][]point{
	{{32, 6}, {34, 10}, {35, 20}, {35.5, 46}, {33.5, 56}, {32, 57}},              // body
	{{32, 13}, {48, 14.5}, {48, 19}, {32, 20}},                                   // foreplane
	{{32, 30}, {60, 43}, {60.5, 49}, {58, 50}, {56.5, 47.5}, {36, 45}, {32, 45}}, // wing with tip fin
}

var (
	ground = color.RGBA{0x12, 0x3f, 0x56, 0xff}
	shape  = color.RGBA{0xf4, 0xf1, 0xe6, 0xff}
)

func main() {
	write("logo-svg.svg", []byte(svg()))
	for _, n := range []int{32, 64} {
		write(fmt.Sprintf("logo-%dx%d.png", n, n), raster(n))
	}
}

// whole mirrors a starboard half to port.
func whole(half []point) []point {
	all := append([]point(nil), half...)
	for i := len(half) - 1; i >= 0; i-- {
		all = append(all, point{size - half[i].x, half[i].y})
	}
	return all
}

func svg() string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" role="img"><title>Foreplane</title>`, size, size)
	fmt.Fprintf(&b, `<rect width="%d" height="%d" rx="12" fill="#%02x%02x%02x"/>`, size, size, ground.R, ground.G, ground.B)
	fmt.Fprintf(&b, `<path fill="#%02x%02x%02x" d="`, shape.R, shape.G, shape.B)
	for _, o := range outlines {
		for i, p := range whole(o) {
			fmt.Fprintf(&b, "%c%g %g", "ML"[min(i, 1)], p.x, p.y)
		}
		b.WriteByte('Z')
	}
	b.WriteString("\"/></svg>\n")
	return b.String()
}

func raster(n int) []byte {
	img := image.NewRGBA(image.Rect(0, 0, n, n))
	fill(img, ground, roundedSquare(12))
	for _, o := range outlines {
		fill(img, shape, whole(o))
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		log.Fatal(err)
	}
	return b.Bytes()
}

// roundedSquare approximates the square with corner radius r by a polygon with bevelled quarter circles.
func roundedSquare(r float32) []point {
	const k = 0.29289 // 1 - cos 45°
	return []point{{r, 0}, {size - r, 0}, {size - k*r, k * r}, {size, r}, {size, size - r}, {size - k*r, size - k*r}, {size - r, size},
		{r, size}, {k * r, size - k*r}, {0, size - r}, {0, r}, {k * r, k * r}}
}

func fill(img draw.Image, c color.Color, outline []point) {
	n := img.Bounds().Dx()
	f := float32(n) / size
	r := vector.NewRasterizer(n, n)
	for i, p := range outline {
		if i == 0 {
			r.MoveTo(p.x*f, p.y*f)
			continue
		}
		r.LineTo(p.x*f, p.y*f)
	}
	r.ClosePath()
	r.Draw(img, img.Bounds(), image.NewUniform(c), image.Point{})
}

func write(name string, data []byte) {
	if err := os.WriteFile(name, data, 0o644); err != nil {
		log.Fatal(err)
	}
}
