package figure

import (
	"bytes"
	"cmp"
	"image"
	"image/color"
	"image/png"
	"slices"

	"gonum.org/v1/plot/vg/vgimg"
)

// pixelRatio is the number of pixels of a PNG for one CSS pixel.
const pixelRatio = 2

// PNG draws the figure as a picture with two pixels for each CSS pixel of [Figure.Size]. The same figure gives the same bytes. It fails like
// [Figure.SVG].
func (f *Figure) PNG() ([]byte, error) {
	s, err := f.layout()
	if err != nil {
		return nil, err
	}
	c := vgimg.NewWith(vgimg.UseWH(s.w, s.h), vgimg.UseDPI(72*pixelRatio))
	s.draw(c)
	img := c.Image()
	if rgba, ok := img.(*image.RGBA); ok {
		img = indexed(rgba)
	}
	var b bytes.Buffer
	err = png.Encode(&b, img)
	return b.Bytes(), err
}

// indexed returns the picture with a palette of its 256 most frequent colours, which makes the file a third as large. All areas and lines keep
// their colours; of the shades along their edges the rarest become the nearest in the palette.
func indexed(img *image.RGBA) *image.Paletted {
	count := map[[4]byte]int{}
	for i := 0; i < len(img.Pix); i += 4 {
		count[[4]byte(img.Pix[i:])]++
	}
	colors := make([][4]byte, 0, len(count))
	for c := range count {
		colors = append(colors, c)
	}
	slices.SortFunc(colors, func(a, b [4]byte) int {
		return cmp.Or(cmp.Compare(count[b], count[a]), bytes.Compare(a[:], b[:]))
	})
	out := image.NewPaletted(img.Rect, nil)
	index := make(map[[4]byte]uint8, len(colors))
	for i, c := range colors {
		rgba := color.RGBA{c[0], c[1], c[2], c[3]}
		if i < 256 {
			out.Palette = append(out.Palette, rgba)
			index[c] = uint8(i)
			continue
		}
		index[c] = uint8(out.Palette.Index(rgba))
	}
	for i := range out.Pix {
		out.Pix[i] = index[[4]byte(img.Pix[4*i:])]
	}
	return out
}
