package lu

import (
	"runtime"
	"sync"
)

// Sizes of the blocks of a product: the kernel takes tileRows × tileCols numbers, a packed block of A stays in the second cache, a strip of B in the first.
const (
	tileRows, tileCols = 6, 8
	depth              = 256
	height             = 16 * tileRows
)

// worthwhile is the number of multiplications above which goroutines share a product.
const worthwhile = 1 << 18

// subtractProduct subtracts a b from c.
func subtractProduct(c, a, b block) {
	if c.rows == 0 || c.cols == 0 {
		return
	}
	workers := runtime.GOMAXPROCS(0)
	if c.rows*c.cols*a.cols < worthwhile {
		workers = 1
	}
	for k := 0; k < a.cols; k += depth {
		end := min(k+depth, a.cols)
		packed := packB(b.part(k, end, 0, b.cols))
		share := func(worker int) {
			for i := worker * height; i < c.rows; i += workers * height {
				last := min(i+height, c.rows)
				subtractPacked(c.part(i, last, 0, c.cols), a.part(i, last, k, end), packed)
			}
		}
		if workers == 1 {
			share(0)
		} else {
			var group sync.WaitGroup
			for w := range workers {
				group.Go(func() { share(w) })
			}
			group.Wait()
		}
		buffers.Put(packed)
	}
}

// buffers holds packed blocks for the next product.
var buffers = sync.Pool{New: func() any { return new([]float64) }}

func buffer(n int) *[]float64 {
	b := buffers.Get().(*[]float64)
	if cap(*b) < n {
		*b = make([]float64, n)
	}
	*b = (*b)[:n]
	return b
}

// packB copies b strip by strip of tileCols columns, each strip row after row, filled up with zeros.
func packB(b block) *[]float64 {
	strips := (b.cols + tileCols - 1) / tileCols
	out := buffer(strips * tileCols * b.rows)
	at := 0
	for j := 0; j < b.cols; j += tileCols {
		width := min(tileCols, b.cols-j)
		for k := range b.rows {
			tile := (*out)[at : at+tileCols]
			clear(tile[copy(tile, b.data[k*b.stride+j:k*b.stride+j+width]):])
			at += tileCols
		}
	}
	return out
}

// packA copies a strip by strip of tileRows rows, each strip column after column, filled up with zeros.
func packA(a block) *[]float64 {
	strips := (a.rows + tileRows - 1) / tileRows
	out := buffer(strips * tileRows * a.cols)
	for s := range strips {
		strip := (*out)[s*tileRows*a.cols : (s+1)*tileRows*a.cols]
		for r := range tileRows {
			if i := s*tileRows + r; i < a.rows {
				for k, v := range a.row(i) {
					strip[k*tileRows+r] = v
				}
			} else {
				for k := range a.cols {
					strip[k*tileRows+r] = 0
				}
			}
		}
	}
	return out
}

// subtractPacked subtracts a b from c, b packed.
func subtractPacked(c, a block, b *[]float64) {
	left := packA(a)
	defer buffers.Put(left)
	var tile [tileRows * tileCols]float64
	for j := 0; j < c.cols; j += tileCols {
		strip := (*b)[j*a.cols : (j+tileCols)*a.cols]
		for i := 0; i < c.rows; i += tileRows {
			rows := (*left)[i*a.cols : (i+tileRows)*a.cols]
			if i+tileRows <= c.rows && j+tileCols <= c.cols {
				kernel(a.cols, rows, strip, c.data[i*c.stride+j:], c.stride)
				continue
			}
			clear(tile[:])
			kernel(a.cols, rows, strip, tile[:], tileCols)
			add(c.part(i, min(i+tileRows, c.rows), j, min(j+tileCols, c.cols)), tile[:])
		}
	}
}

// add adds the upper left part of a tile.
func add(c block, tile []float64) {
	for i := range c.rows {
		for j := range c.cols {
			c.data[i*c.stride+j] += tile[i*tileCols+j]
		}
	}
}

// portable subtracts the product of two packed strips of the given depth from a tile of c. It takes it in parts of 2 × 4 numbers, which fit the registers.
func portable(depth int, a, b, c []float64, stride int) {
	for i := 0; i < tileRows; i += 2 {
		for j := 0; j < tileCols; j += 4 {
			var c00, c01, c02, c03, c10, c11, c12, c13 float64
			p, q := a[i:], b[j:]
			for k := range depth {
				x, y := p[k*tileRows:k*tileRows+2:k*tileRows+2], q[k*tileCols:k*tileCols+4:k*tileCols+4]
				a0, a1 := x[0], x[1]
				c00 += a0 * y[0]
				c01 += a0 * y[1]
				c02 += a0 * y[2]
				c03 += a0 * y[3]
				c10 += a1 * y[0]
				c11 += a1 * y[1]
				c12 += a1 * y[2]
				c13 += a1 * y[3]
			}
			minus(c[i*stride+j:], c00, c01, c02, c03)
			minus(c[(i+1)*stride+j:], c10, c11, c12, c13)
		}
	}
}

func minus(c []float64, v0, v1, v2, v3 float64) {
	c = c[:4]
	c[0] -= v0
	c[1] -= v1
	c[2] -= v2
	c[3] -= v3
}
