package aircraft

import (
	"bytes"
	"embed"
	"sync"
)

// fleet holds the invented aeroplanes as files.
//
//go:embed fleet/*.toml
var fleet embed.FS

// Sedge returns an invented two-seat aeroplane with a foreplane and a pusher propeller: swept wing with tip fins, all-moving foreplane. Mass, power, wing
// span, wing area and total area are those of [Bracken].
func Sedge() Aircraft { return sedge().Clone() }

// Bracken returns an invented two-seat aeroplane with its tailplane behind and a tractor propeller: straight low wing, all-moving tailplane. Mass, power, wing
// span, wing area and total area are those of [Sedge].
func Bracken() Aircraft { return bracken().Clone() }

var (
	sedge   = sync.OnceValue(func() Aircraft { return embedded("fleet/sedge.toml") })
	bracken = sync.OnceValue(func() Aircraft { return embedded("fleet/bracken.toml") })
)

// embedded reads a file of the package, which tests hold to be sound.
func embedded(name string) Aircraft {
	text, err := fleet.ReadFile(name)
	if err != nil {
		panic("aircraft: " + err.Error())
	}
	a, err := Read(bytes.NewReader(text))
	if err != nil {
		panic(err)
	}
	return a
}
