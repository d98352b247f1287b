package aircraft

// field is one key of a table of the file. The tables of this file are the format: reading, writing and the reference in the documentation follow them.
type field[T any] struct {
	key  string
	kind string // a quantity of package unit, or one of the kinds below
	need bool
	text string // what it is
	at   func(*T) any
}

// Kinds that are not quantities, with what at points to.
const (
	words  = "text"   // *string, *Role, *Purpose, *ItemKind
	truth  = "truth"  // *bool
	named  = "name"   // *Section, of which the file has the name
	tables = "tables" // rows
	nested = "table"  // []entry
)

// entry is a field of a certain value.
type entry struct {
	key, kind, text string
	need            bool
	value           any
}

func bind[T any](fields []field[T], value *T) []entry {
	entries := make([]entry, len(fields))
	for i, f := range fields {
		entries[i] = entry{f.key, f.kind, f.text, f.need, f.at(value)}
	}
	return entries
}

// rows is a list of tables. Short ones are written in one line each.
type rows interface {
	count() int
	row(i int) []entry
	add() []entry
	short() bool
}

type listOf[T any] struct {
	items  *[]T
	fields []field[T]
	brief  bool
}

func (l listOf[T]) count() int        { return len(*l.items) }
func (l listOf[T]) row(i int) []entry { return bind(l.fields, &(*l.items)[i]) }
func (l listOf[T]) short() bool       { return l.brief }
func (l listOf[T]) add() []entry {
	*l.items = append(*l.items, *new(T))
	return l.row(len(*l.items) - 1)
}

// document is a file: an aeroplane, the sections that its stations name, and its state if that is not the sum of the masses.
type document struct {
	Aircraft
	sections           []Section
	mass, cg, cgHeight float64
}

// Lists that are written in short come ahead of all tables with headings, as TOML asks for.
var documentFields = []field[document]{
	{"name", words, true, "of the aeroplane", func(d *document) any { return &d.Name }},
	{"mass", "Mass", false, "studied; without it the sum of the masses", func(d *document) any { return &d.mass }},
	{"cg", "Length", false, "station of the centre of gravity studied; without it that of the masses", func(d *document) any { return &d.cg }},
	{"cg_height", "Length", false, "z of the centre of gravity studied; without it that of the masses", func(d *document) any { return &d.cgHeight }},
	{"masses", tables, false, "list of masses; needed unless mass and cg are stated", func(d *document) any { return listOf[MassItem]{&d.Masses, massFields, true} }},
	{"wheels", tables, false, "landing gear", func(d *document) any { return listOf[Wheel]{&d.Wheels, wheelFields, true} }},
	{"drag", tables, false, "items of drag that no surface and no body has", func(d *document) any { return listOf[DragItem]{&d.Drag, dragFields, true} }},
	{"reference", nested, true, "quantities that make coefficients", func(d *document) any { return bind(referenceFields, &d.Reference) }},
	{"sections", tables, true, "aerofoil sections", func(d *document) any { return listOf[Section]{&d.sections, sectionFields, false} }},
	{"surfaces", tables, true, "lifting surfaces and fins", func(d *document) any { return listOf[Surface]{&d.Surfaces, surfaceFields, false} }},
	{"bodies", tables, false, "fuselages, pods, booms", func(d *document) any { return listOf[Body]{&d.Bodies, bodyFields, false} }},
	{"plants", tables, false, "engines with their propellers", func(d *document) any { return listOf[Plant]{&d.Plants, plantFields, false} }},
}

var referenceFields = []field[Reference]{
	{"name", words, true, "what the quantities are taken from, such as wing", func(r *Reference) any { return &r.Name }},
	{"area", "Area", true, "S_ref", func(r *Reference) any { return &r.Area }},
	{"chord", "Length", true, "c_ref", func(r *Reference) any { return &r.Chord }},
	{"span", "Length", true, "b_ref", func(r *Reference) any { return &r.Span }},
	{"leading_edge", "Length", true, "station of the leading edge of the chord, from which its per cent count", func(r *Reference) any { return &r.LeadingEdge }},
}

var sectionFields = []field[Section]{
	{"name", words, true, "by which stations call it", func(s *Section) any { return &s.Name }},
	{"naca", words, false, "designation of four or five digits", func(s *Section) any { return &s.NACA }},
	{"coordinates", words, false, "file of coordinates, beside the file of the aeroplane", func(s *Section) any { return &s.Coordinates }},
	{"polars", words, false, "file of polars, beside the file of the aeroplane", func(s *Section) any { return &s.Polars }},
	{"reynolds", "ReynoldsNumber", false, "at which numbers are taken from polars", func(s *Section) any { return &s.Reynolds }},
	{"lift_slope", "PerRadian", false, "dcl/dα", func(s *Section) any { return &s.LiftSlope }},
	{"zero_lift", "Angle", false, "angle of attack at zero lift", func(s *Section) any { return &s.ZeroLift }},
	{"moment", "Coefficient", false, "cm about the quarter chord", func(s *Section) any { return &s.Moment }},
	{"max_lift", "Coefficient", false, "largest cl at the Reynolds number of the surface", func(s *Section) any { return &s.MaxLift }},
	{"thickness", "Ratio", false, "greatest, of the chord", func(s *Section) any { return &s.Thickness }},
	{"thickest", "Ratio", false, "where that is, of the chord", func(s *Section) any { return &s.Thickest }},
}

var surfaceFields = []field[Surface]{
	{"name", words, true, "of its own", func(s *Surface) any { return &s.Name }},
	{"role", words, true, "wing, foreplane, tailplane, fin or tip fin", func(s *Surface) any { return &s.Role }},
	{"mirrored", truth, false, "stations describe the starboard half, and port is its image", func(s *Surface) any { return &s.Mirrored }},
	{"incidence", "Angle", false, "of the whole surface, nose up", func(s *Surface) any { return &s.Incidence }},
	{"stations", tables, true, "from root to tip", func(s *Surface) any { return listOf[Station]{&s.Stations, stationFields, true} }},
	{"controls", tables, false, "parts that turn", func(s *Surface) any { return listOf[Control]{&s.Controls, controlFields, true} }},
}

var stationFields = []field[Station]{
	{"x", "Length", true, "of the leading edge, aft of the datum", func(t *Station) any { return &t.X }},
	{"y", "Length", true, "the same, to starboard", func(t *Station) any { return &t.Y }},
	{"z", "Length", true, "the same, up", func(t *Station) any { return &t.Z }},
	{"chord", "Length", true, "along x", func(t *Station) any { return &t.Chord }},
	{"twist", "Angle", false, "nose up; washout is negative", func(t *Station) any { return &t.Twist }},
	{"section", named, true, "name of one of the sections", func(t *Station) any { return &t.Section }},
}

var controlFields = []field[Control]{
	{"name", words, true, "of its own in the whole aeroplane", func(c *Control) any { return &c.Name }},
	{"purpose", words, true, "pitch, roll, yaw or flap", func(c *Control) any { return &c.Purpose }},
	{"all_moving", truth, false, "the whole surface turns", func(c *Control) any { return &c.AllMoving }},
	{"from", "Ratio", false, "inner end of a hinged one, of the way from root to tip", func(c *Control) any { return &c.From }},
	{"to", "Ratio", false, "outer end of a hinged one", func(c *Control) any { return &c.To }},
	{"chord", "Ratio", false, "fraction of the chord behind the hinge", func(c *Control) any { return &c.Chord }},
	{"min", "Angle", true, "least deflection; trailing edge down is positive", func(c *Control) any { return &c.Min }},
	{"max", "Angle", true, "greatest deflection", func(c *Control) any { return &c.Max }},
}

var bodyFields = []field[Body]{
	{"name", words, true, "of its own", func(b *Body) any { return &b.Name }},
	{"y", "Length", false, "of its centre line, to starboard; one beside the plane of symmetry has an image", func(b *Body) any { return &b.Y }},
	{"stations", tables, true, "elliptic cross-sections from nose to tail", func(b *Body) any { return listOf[BodyStation]{&b.Stations, bodyStationFields, true} }},
}

var bodyStationFields = []field[BodyStation]{
	{"x", "Length", true, "aft of the datum", func(t *BodyStation) any { return &t.X }},
	{"z", "Length", true, "of the centre", func(t *BodyStation) any { return &t.Z }},
	{"width", "Length", true, "full", func(t *BodyStation) any { return &t.Width }},
	{"height", "Length", true, "full", func(t *BodyStation) any { return &t.Height }},
}

var plantFields = []field[Plant]{
	{"name", words, true, "of its own", func(p *Plant) any { return &p.Name }},
	{"power", "Power", true, "at sea level", func(p *Plant) any { return &p.Power }},
	{"x", "Length", true, "of the centre of the propeller disc", func(p *Plant) any { return &p.X }},
	{"y", "Length", false, "the same, to starboard", func(p *Plant) any { return &p.Y }},
	{"z", "Length", true, "the same, up", func(p *Plant) any { return &p.Z }},
	{"diameter", "Length", true, "of the propeller", func(p *Plant) any { return &p.Diameter }},
	{"tilt", "Angle", false, "of the thrust line, upwards", func(p *Plant) any { return &p.Tilt }},
	{"pusher", truth, false, "the propeller is behind its engine", func(p *Plant) any { return &p.Pusher }},
	{"blades", "Ratio", false, "of the propeller", func(p *Plant) any { return &p.Blades }},
	{"speed", "RotationRate", false, "of the propeller at that power", func(p *Plant) any { return &p.Speed }},
	{"pitch", "Angle", false, "of the blades at 75 % of the radius; of a propeller of constant speed, at the low stop", func(p *Plant) any { return &p.Pitch }},
	{"pitch_high", "Angle", false, "the same at the high stop; without it the pitch is fixed", func(p *Plant) any { return &p.PitchHigh }},
	{"activity_factor", "Ratio", false, "of one blade of usual shape", func(p *Plant) any { return &p.ActivityFactor }},
	{"blade", tables, false, "stations of a blade from root to tip, in place of the usual shape", func(p *Plant) any { return listOf[BladeStation]{&p.Blade, bladeFields, true} }},
	{"spinner", "Length", false, "its diameter", func(p *Plant) any { return &p.Spinner }},
	{"electric", truth, false, "the engine is electric", func(p *Plant) any { return &p.Electric }},
	{"consumption", "PowerConsumption", false, "fuel flow over shaft power", func(p *Plant) any { return &p.Consumption }},
	{"critical_altitude", "PressureAltitude", false, "of a turbocharger, up to which the power is that at sea level", func(p *Plant) any { return &p.Critical }},
}

var bladeFields = []field[BladeStation]{
	{"radius", "Ratio", true, "of the tip radius", func(b *BladeStation) any { return &b.Radius }},
	{"chord", "Ratio", true, "of the diameter", func(b *BladeStation) any { return &b.Chord }},
	{"twist", "Angle", false, "blade angle less that at 75 % of the radius", func(b *BladeStation) any { return &b.Twist }},
	{"thickness", "Ratio", false, "of the chord", func(b *BladeStation) any { return &b.Thickness }},
}

var wheelFields = []field[Wheel]{
	{"name", words, true, "of its own", func(w *Wheel) any { return &w.Name }},
	{"main", truth, false, "carries most of the weight", func(w *Wheel) any { return &w.Main }},
	{"x", "Length", true, "where it touches the ground", func(w *Wheel) any { return &w.X }},
	{"y", "Length", false, "the same; one beside the plane of symmetry has an image", func(w *Wheel) any { return &w.Y }},
	{"z", "Length", true, "the same", func(w *Wheel) any { return &w.Z }},
}

var dragFields = []field[DragItem]{
	{"name", words, true, "of its own", func(i *DragItem) any { return &i.Name }},
	{"kind", words, true, "gear, cooling or protuberance", func(i *DragItem) any { return &i.Kind }},
	{"area", "Area", true, "drag over dynamic pressure", func(i *DragItem) any { return &i.Area }},
	{"retracts", truth, false, "counts with the landing gear down only", func(i *DragItem) any { return &i.Retracts }},
}

var massFields = []field[MassItem]{
	{"name", words, true, "of its own", func(m *MassItem) any { return &m.Name }},
	{"mass", "Mass", true, "as it stands", func(m *MassItem) any { return &m.Mass }},
	{"x", "Length", true, "of its centre of gravity", func(m *MassItem) any { return &m.X }},
	{"y", "Length", false, "the same", func(m *MassItem) any { return &m.Y }},
	{"z", "Length", true, "the same", func(m *MassItem) any { return &m.Z }},
	{"min", "Mass", false, "least, of an item of loading", func(m *MassItem) any { return &m.Min }},
	{"max", "Mass", false, "greatest, of an item of loading", func(m *MassItem) any { return &m.Max }},
	{"box", nested, false, "extent, if it is as inert as an even box", func(m *MassItem) any { return bind(boxFields, &m.Box) }},
	{"inertia", nested, false, "about its own centre of gravity", func(m *MassItem) any { return bind(inertiaFields, &m.Own) }},
}

var boxFields = []field[Box]{
	{"x", "Length", false, "along x", func(b *Box) any { return &b.X }},
	{"y", "Length", false, "along y", func(b *Box) any { return &b.Y }},
	{"z", "Length", false, "along z", func(b *Box) any { return &b.Z }},
}

var inertiaFields = []field[Inertia]{
	{"xx", "MomentOfInertia", false, "∫(y² + z²) dm", func(i *Inertia) any { return &i.XX }},
	{"yy", "MomentOfInertia", false, "∫(x² + z²) dm", func(i *Inertia) any { return &i.YY }},
	{"zz", "MomentOfInertia", false, "∫(x² + y²) dm", func(i *Inertia) any { return &i.ZZ }},
	{"xy", "MomentOfInertia", false, "∫xy dm", func(i *Inertia) any { return &i.XY }},
	{"yz", "MomentOfInertia", false, "∫yz dm", func(i *Inertia) any { return &i.YZ }},
	{"xz", "MomentOfInertia", false, "∫xz dm", func(i *Inertia) any { return &i.XZ }},
}
