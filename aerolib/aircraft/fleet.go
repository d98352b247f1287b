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

// Teasel returns an invented two-seat aeroplane with three lifting surfaces: a fixed foreplane with flaps, a straight wing and an all-moving tailplane, with a pusher
// propeller behind the tail.
func Teasel() Aircraft { return teasel().Clone() }

// Yarrow returns an invented two-seat aeroplane with two wings of equal span in tandem and a tractor propeller: elevators on the front wing, which is low, ailerons on the
// rear one, which is high.
func Yarrow() Aircraft { return yarrow().Clone() }

// Fleet returns Sedge, Bracken, Teasel and Yarrow.
func Fleet() []Aircraft { return []Aircraft{Sedge(), Bracken(), Teasel(), Yarrow()} }

var (
	sedge   = sync.OnceValue(func() Aircraft { return embedded("fleet/sedge.toml") })
	bracken = sync.OnceValue(func() Aircraft { return embedded("fleet/bracken.toml") })
	teasel  = sync.OnceValue(func() Aircraft { return embedded("fleet/teasel.toml") })
	yarrow  = sync.OnceValue(func() Aircraft { return embedded("fleet/yarrow.toml") })
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
