//go:build !amd64 || purego

package lu

func kernel(depth int, a, b, c []float64, stride int) { portable(depth, a, b, c, stride) }
