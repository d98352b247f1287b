package drag

import (
	"fmt"
	"math"
	"strings"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// Kind says what an item is.
type Kind string

// Kinds of items.
const (
	SurfaceKind      Kind = "surface"
	BodyKind         Kind = "body"
	AftBodyKind      Kind = "aft body"
	GearKind         Kind = "gear"
	CoolingKind      Kind = "cooling"
	ProtuberanceKind Kind = "protuberance"
	ControlKind      Kind = "control"
)

// Item is one line of the build-up. What has no skin here, such as an aerial, has CDA only.
type Item struct {
	Name         string
	Kind         Kind
	Wetted       unit.Area
	Length       unit.Length // mean chord or length of the body
	Reynolds     unit.ReynoldsNumber
	Friction     unit.Coefficient // Cf, of the wetted area
	Form         unit.Ratio       // FF that counts
	Interference unit.Ratio       // Q
	CDA          unit.Area        // drag over dynamic pressure
	CD           unit.Coefficient // on the reference area
	Share        unit.Ratio       // of the sum
	Factors      []Factor         // form factors side by side
	Source       string
}

// Buildup is the drag of an aeroplane without lift, item by item.
type Buildup struct {
	Aircraft  string
	Flight    Flight
	Mach      unit.MachNumber
	Reference aircraft.Reference
	Items     []Item
	Wetted    unit.Area
	CDA       unit.Area        // sum of the items
	CD        unit.Coefficient // the same on the reference area
	Closures  []Closure        // of the bodies
	Profiles  []Profile        // of the surfaces, over lift
	Notes     []string

	areas map[string]exposure
}

// exposure is the area of a surface, both sides of fins that are mirrored.
type exposure struct{ gross, exposed unit.Area }

// Build builds up the drag of an aeroplane without lift. Each surface and body has its own length l and Reynolds number,
//
//	CDA = Cf(Re_l) FF Q S_wet,   CD = ΣCDA/S_ref
//
// with friction after [Plate.Friction], wetted areas after package aircraft (what wings cover of a body is not taken off), and l the mean chord of a surface or the length
// of a body. The form factor is of [Options]: that of a section is its least drag over the friction of both its sides, cd S_exposed/(Cf S_wet). All factors of an item
// stand side by side in its Factors, with their ranges. Interference is, unless given, 1 for wings and bodies and 1.05 for other surfaces ([Raymer]: well filleted wings 1.0,
// unfilleted low ones 1.1 to 1.4, tails 1.04 to 1.08). Behind these come the aft bodies ([Closure]), hinged controls that are
// deflected ([ControlDrag]), and the items of drag of the aeroplane.
//
// It returns the errors of [aircraft.Aircraft.Validate], [Plate.Friction], [SurfaceForms] and [BodyForms], and an [*Error] for an option that is not known. What makes
// the result doubtful is in its Notes.
func Build(a aircraft.Aircraft, f Flight, o Options) (Buildup, error) {
	if err := a.Validate(); err != nil {
		return Buildup{}, err
	}
	if err := f.check("drag.Build"); err != nil {
		return Buildup{}, err
	}
	o, err := o.filled(a)
	if err != nil {
		return Buildup{}, err
	}
	b := builder{a, o, Buildup{Aircraft: a.Name, Flight: f, Mach: f.Mach(), Reference: a.Reference, areas: map[string]exposure{}}}
	for _, s := range a.Surfaces {
		if err := b.surface(s); err != nil {
			return Buildup{}, err
		}
	}
	for _, body := range a.Bodies {
		if err := b.body(body); err != nil {
			return Buildup{}, err
		}
	}
	if err := b.controls(); err != nil {
		return Buildup{}, err
	}
	b.stated()
	b.total()
	return b.Buildup, nil
}

// builder collects items.
type builder struct {
	a aircraft.Aircraft
	o Options
	Buildup
}

// plate returns the skin of a component.
func (b *builder) plate(name string, length unit.Length) Plate {
	return Plate{
		Length: length, Reynolds: b.Flight.Air.Reynolds(b.Flight.Speed, length), Mach: b.Mach,
		Transition: b.o.transition(name), Roughness: b.o.Roughness, Law: b.o.Law,
	}
}

// skin returns an item of friction whose form factor is still to be chosen.
func (b *builder) skin(name string, kind Kind, wetted unit.Area, p Plate, q interference) (Item, error) {
	cf, err := p.Friction()
	if err != nil {
		return Item{}, fmt.Errorf("%s: the %s: %w", b.Aircraft, name, err)
	}
	law := p.Law
	if law == "" {
		law = PrandtlSchlichting
	}
	source := fmt.Sprintf("Cf %s, %s; Q %s", law, p.Transition, q.source)
	if p.Roughness > 0 {
		source += "; grains of " + unit.Format(p.Roughness/1e-6, "1") + " µm"
	}
	return Item{Name: name, Kind: kind, Wetted: wetted, Length: p.Length, Reynolds: p.Reynolds, Friction: cf, Interference: q.value, Source: source}, nil
}

// add completes an item with a form factor and adds it.
func (b *builder) add(i Item, form unit.Ratio, from string) {
	i.Form = form
	i.CDA = i.Friction * form * i.Interference * i.Wetted
	i.Source = "FF " + from + "; " + i.Source
	b.Items = append(b.Items, i)
}

// chosen returns the factor of a form among several, with a note if it is outside its range.
func (b *builder) chosen(name string, factors []Factor, form Form) Factor {
	for _, f := range factors {
		if f.Form == form {
			if !f.Inside() {
				b.Notes = append(b.Notes, fmt.Sprintf("The form factor of the %s is %s.", name, f))
			}
			return f
		}
	}
	return Factor{} // not reached: filled has checked the form
}

func (b *builder) surface(s aircraft.Surface) error {
	p := b.plate(s.Name, s.MeanChord())
	item, err := b.skin(s.Name, SurfaceKind, b.a.WettedArea(s), p, b.o.interferenceOf(s.Name, usual[s.Role]))
	if err != nil {
		return err
	}
	thickness, thickest := thickest(s)
	if item.Factors, err = SurfaceForms(Shape{thickness, thickest, s.SweepAt(thickest), b.Mach}); err != nil {
		return fmt.Errorf("%s: the %s: %w", b.Aircraft, s.Name, err)
	}
	exposed := b.a.ExposedArea(s)
	b.areas[s.Name] = exposure{s.Area() * sides(s), exposed}
	form := b.o.Surfaces
	if form == Sections {
		profile, err := b.sections(s, p, item.Friction)
		if err == nil {
			f := profile.Least * exposed / (item.Friction * item.Wetted)
			item.Factors = append(item.Factors, Factor{Sections, f, "thickness", thickness, 0, 1})
			b.Profiles = append(b.Profiles, profile)
			b.add(item, f, profile.Source)
			return nil
		}
		b.Notes = append(b.Notes, fmt.Sprintf("The %s counts as a plate: %v.", s.Name, err))
		form = Raymer
	}
	f := b.chosen(s.Name, item.Factors, form)
	b.Profiles = append(b.Profiles, plateProfile(s, item.Friction*f.Value*item.Wetted/exposed))
	b.add(item, f.Value, string(form))
	return nil
}

// sections returns the profile of a surface from its sections, more by what roughness adds to the friction of its plate.
func (b *builder) sections(s aircraft.Surface, p Plate, friction unit.Coefficient) (Profile, error) {
	profile, err := sectionProfile(s, p)
	if err != nil || p.Roughness == 0 {
		return profile, err
	}
	p.Roughness = 0
	smooth, err := p.Friction()
	return profile.times(friction / smooth), err
}

// times returns the profile with k times the drag.
func (p Profile) times(k unit.Ratio) Profile {
	p.Least *= k
	for i := range p.samples {
		p.samples[i].CD *= k
	}
	return p
}

// thickest returns the thickness of a surface and its station; one that is not known counts as 12 % at 30 % of the chord.
func thickest(s aircraft.Surface) (thickness, station unit.Ratio) {
	section := s.Section()
	thickness, station = section.Thickness, section.Thickest
	if thickness == 0 {
		thickness = 0.12
	}
	if station == 0 {
		station = 0.3
	}
	return thickness, station
}

// sides returns how many there are of what Area is that of.
func sides(s aircraft.Surface) unit.Ratio {
	if s.Mirrored && s.Role.Upright() {
		return 2
	}
	return 1
}

func (b *builder) body(body aircraft.Body) error {
	item, err := b.skin(body.Name, BodyKind, body.Count()*body.WettedArea(), b.plate(body.Name, body.Length()), b.o.interferenceOf(body.Name, interference{1, "body (Raymer)"}))
	if err != nil {
		return err
	}
	if item.Factors, err = BodyForms(body.Fineness()); err != nil {
		return fmt.Errorf("%s: the %s: %w", b.Aircraft, body.Name, err)
	}
	f := b.chosen(body.Name, item.Factors, b.o.Bodies)
	b.add(item, f.Value, string(f.Form))
	c, err := CloseOf(body, b.a.Plants, b.Items[len(b.Items)-1].CDA/body.Count(), b.Mach, b.Flight.PowerOff)
	if err != nil {
		return fmt.Errorf("%s: %w", b.Aircraft, err)
	}
	b.Closures = append(b.Closures, c)
	b.Items = append(b.Items, Item{Name: "aft end of the " + body.Name, Kind: AftBodyKind, CDA: body.Count() * c.Drag, Source: "base drag, Hoerner"})
	if !c.Attached || c.Separated > 0 {
		b.Notes = append(b.Notes, c.String())
	}
	return nil
}

// kinds of the items of an aeroplane.
var kinds = map[aircraft.ItemKind]Kind{aircraft.GearItem: GearKind, aircraft.CoolingItem: CoolingKind, aircraft.ProtuberanceItem: ProtuberanceKind}

// stated adds the items of drag of the aeroplane.
func (b *builder) stated() {
	retracts, gear := false, false
	for _, d := range b.a.Drag {
		retracts, gear = retracts || d.Retracts, gear || d.Kind == aircraft.GearItem
		if !d.Retracts || !b.Flight.GearUp {
			b.Items = append(b.Items, Item{Name: d.Name, Kind: kinds[d.Kind], CDA: d.Area, Source: "stated"})
		}
	}
	if b.Flight.GearUp && !retracts {
		b.Notes = append(b.Notes, "The gear is up, but no item of drag retracts: it makes no difference.")
	}
	if len(b.a.Wheels) > 0 && !gear {
		b.Notes = append(b.Notes, "There are wheels, but no item of drag is for the landing gear.")
	}
}

func (b *builder) total() {
	for _, i := range b.Items {
		b.CDA += i.CDA
		b.Wetted += i.Wetted
	}
	b.CD = b.CDA / b.Reference.Area
	for i := range b.Items {
		item := &b.Items[i]
		item.CD, item.Share = item.CDA/b.Reference.Area, item.CDA/b.CDA
	}
}

// Equivalent returns the equivalent friction coefficient, drag area over wetted area.
func (b Buildup) Equivalent() unit.Coefficient { return b.CDA / b.Wetted }

// Item returns the item of the given name.
func (b Buildup) Item(name string) (Item, error) {
	for _, i := range b.Items {
		if i.Name == name {
			return i, nil
		}
	}
	return Item{}, &Error{"drag.Buildup.Item", "item", fmt.Sprintf("%q does not exist in %s", name, b.Aircraft)}
}

// Profile returns the profile drag of the surface of the given name.
func (b Buildup) Profile(surface string) (Profile, error) {
	for _, p := range b.Profiles {
		if p.Surface == surface {
			return p, nil
		}
	}
	return Profile{}, &Error{"drag.Buildup.Profile", "surface", fmt.Sprintf("%q does not exist in %s", surface, b.Aircraft)}
}

// String writes the sum and the items.
func (b Buildup) String() string {
	var text strings.Builder
	fmt.Fprintf(&text, "%s without lift: CDA %s, CD %s on %s, Cf %s of the wetted %s\n", b.Aircraft, unit.Format(b.CDA, "m²"), five(b.CD), unit.Format(b.Reference.Area, "m²"),
		five(b.Equivalent()), unit.Format(b.Wetted, "m²"))
	for _, i := range b.Items {
		fmt.Fprintf(&text, "%28s: CDA %s, CD %s, %4.1f %%\n", i.Name, unit.Format(i.CDA, "m²"), five(i.CD), 100*i.Share)
	}
	for _, n := range b.Notes {
		text.WriteString(n + "\n")
	}
	return text.String()
}

// five writes a coefficient of drag.
func five(c unit.Coefficient) string { return fmt.Sprintf("%.5f", math.Round(c*1e5)/1e5+0) }
