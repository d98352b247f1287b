package symbols

import (
	"gonum.org/v1/plot"

	"foreplane/aerolib/figure"
)

// Present returns what a front end shows in place of v: a plot made with gonum/plot, which cannot draw itself into a notebook, is shown as a figure.
func Present(v any) any {
	if p, ok := v.(*plot.Plot); ok {
		return figure.Of(p)
	}
	return v
}
