// Package vet has what foreplane vet finds.
package vet

import "foreplane/aerolib/unit"

// Rate does not name its quantity.
const Rate = 0.5

func wrong(h unit.Length, V unit.Speed) unit.Length {
	return h + V
}

func unknown(h unit.Length) float64 { return float64(h) }

var _, _ = wrong, unknown
