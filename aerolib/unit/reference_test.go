package unit_test

import (
	"testing"

	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/unit"
)

// The cases give one unit each; reading the input is the conversion under test, and the expected SI value does not depend on it.
func TestConversions(t *testing.T) {
	reference.Check(t, "U1 U2 U3 U4", 0, func(in reference.Inputs) reference.Values {
		return in.All()
	})
	reference.Check(t, "U6", 0, func(in reference.Inputs) reference.Values {
		return reference.Values{"c": in.Get("sfc") * unit.StandardGravity} // weight of fuel over power and time
	})
}
