package aircraft

import "foreplane/aerolib/unit"

// ItemKind says what an item of drag belongs to.
type ItemKind string

// Kinds of items of drag.
const (
	GearItem         ItemKind = "gear"
	CoolingItem      ItemKind = "cooling"
	ProtuberanceItem ItemKind = "protuberance" // aerials, steps, exhausts, gaps
)

// DragItem is drag that no surface and no body has: it is stated as the area of a plate with drag coefficient 1.
type DragItem struct {
	Name     string
	Kind     ItemKind
	Area     unit.Area // D/q
	Retracts bool      // counts with the landing gear down only
}
