//go:build !purego

package lu

import "golang.org/x/sys/cpu"

// vectors reports whether the processor has the instructions of tile.
var vectors = cpu.X86.HasAVX2 && cpu.X86.HasFMA

// kernel subtracts the product of two packed strips of the given depth from a tile of c.
func kernel(depth int, a, b, c []float64, stride int) {
	if !vectors {
		portable(depth, a, b, c, stride)
		return
	}
	_, _, _ = a[depth*tileRows-1], b[depth*tileCols-1], c[(tileRows-1)*stride+tileCols-1]
	tile(depth, &a[0], &b[0], &c[0], stride)
}

// tile does what kernel does, with fused multiplications of four numbers at once.
//
//go:noescape
func tile(depth int, a, b, c *float64, stride int)
