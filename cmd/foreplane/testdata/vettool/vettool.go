// Package vettool has what go vet finds with foreplane; it imports nothing, or go vet would look at all that it imports first.
package vettool

func half(x float64) float64 { return 1 / 2 * x }

func third(x float64) float64 { return 1.0 / 3 * x }

var _, _ = half, third
