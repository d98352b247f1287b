package unit

// Kind describes a quantity: an alias of this package as data.
//
// Kinds of equal dimension are told apart. One whose Of is empty stands for itself: energy is not moment, rev/s are not rad/s. The others are special
// cases of the kind they name and share its units: a DynamicPressure is a Pressure.
type Kind struct {
	Name      string    // name of the alias, such as "TrueAirspeed"
	Dimension Dimension // as a Dimension{}, 1
	Angle     int       // exponent of the angle, which has dimension 1 but is not a ratio: 1 for Angle and AngularRate, -1 for PerRadian
	Of        string    // the more general kind
	SI        string    // symbol of the SI unit, that values are held in; empty for pure numbers
	Customary string    // symbol of the unit that pilots and engineers use beside SI; may be empty
}

var kinds = []Kind{
	{Name: "Ratio"},
	{Name: "Coefficient", Of: "Ratio"},
	{Name: "MachNumber", Of: "Ratio"},
	{Name: "ReynoldsNumber", Of: "Ratio"},
	{Name: "Angle", Angle: 1, SI: "rad", Customary: "°"},
	{Name: "PerRadian", Angle: -1, SI: "1/rad", Customary: "1/°"},

	{Name: "Length", Dimension: dim(0, 1, 0, 0), SI: "m", Customary: "ft"},
	{Name: "Altitude", Dimension: dim(0, 1, 0, 0), Of: "Length", SI: "m", Customary: "ft"},
	{Name: "GeometricAltitude", Dimension: dim(0, 1, 0, 0), Of: "Altitude", SI: "m", Customary: "ft"},
	{Name: "GeopotentialAltitude", Dimension: dim(0, 1, 0, 0), Of: "Altitude", SI: "m", Customary: "ft"},
	{Name: "PressureAltitude", Dimension: dim(0, 1, 0, 0), Of: "Altitude", SI: "m", Customary: "ft"},
	{Name: "DensityAltitude", Dimension: dim(0, 1, 0, 0), Of: "Altitude", SI: "m", Customary: "ft"},
	{Name: "PerLength", Dimension: dim(0, -1, 0, 0), SI: "1/m", Customary: "1/ft"},
	{Name: "Area", Dimension: dim(0, 2, 0, 0), SI: "m²", Customary: "ft²"},
	{Name: "Volume", Dimension: dim(0, 3, 0, 0), SI: "m³", Customary: "L"},

	{Name: "Time", Dimension: dim(0, 0, 1, 0), SI: "s", Customary: "min"},
	{Name: "Rate", Dimension: dim(0, 0, -1, 0), SI: "1/s"},
	{Name: "Frequency", Dimension: dim(0, 0, -1, 0), SI: "Hz"},
	{Name: "RotationRate", Dimension: dim(0, 0, -1, 0), SI: "rev/s", Customary: "rpm"},
	{Name: "AngularRate", Dimension: dim(0, 0, -1, 0), Angle: 1, SI: "rad/s", Customary: "°/s"},
	{Name: "AngularAcceleration", Dimension: dim(0, 0, -2, 0), Angle: 1, SI: "rad/s²", Customary: "°/s²"},
	{Name: "PerAngularRate", Dimension: dim(0, 0, 1, 0), Angle: -1, SI: "s/rad", Customary: "s/°"},

	{Name: "Speed", Dimension: dim(0, 1, -1, 0), SI: "m/s", Customary: "kt"},
	{Name: "CalibratedAirspeed", Dimension: dim(0, 1, -1, 0), Of: "Speed", SI: "m/s", Customary: "kt"},
	{Name: "EquivalentAirspeed", Dimension: dim(0, 1, -1, 0), Of: "Speed", SI: "m/s", Customary: "kt"},
	{Name: "TrueAirspeed", Dimension: dim(0, 1, -1, 0), Of: "Speed", SI: "m/s", Customary: "kt"},
	{Name: "VerticalSpeed", Dimension: dim(0, 1, -1, 0), Of: "Speed", SI: "m/s", Customary: "ft/min"},
	{Name: "Acceleration", Dimension: dim(0, 1, -2, 0), SI: "m/s²", Customary: "ft/s²"},

	{Name: "Mass", Dimension: dim(1, 0, 0, 0), SI: "kg", Customary: "lb"},
	{Name: "Density", Dimension: dim(1, -3, 0, 0), SI: "kg/m³", Customary: "slug/ft³"},
	{Name: "ArealMass", Dimension: dim(1, -2, 0, 0), SI: "kg/m²", Customary: "lb/ft²"},
	{Name: "MassMoment", Dimension: dim(1, 1, 0, 0), SI: "kg·m", Customary: "lb·in"},
	{Name: "MomentOfInertia", Dimension: dim(1, 2, 0, 0), SI: "kg·m²", Customary: "slug·ft²"},
	{Name: "MassFlow", Dimension: dim(1, 0, -1, 0), SI: "kg/s", Customary: "lb/h"},
	{Name: "VolumeFlow", Dimension: dim(0, 3, -1, 0), SI: "m³/s", Customary: "L/h"},

	{Name: "Force", Dimension: dim(1, 1, -2, 0), SI: "N", Customary: "lbf"},
	{Name: "Weight", Dimension: dim(1, 1, -2, 0), Of: "Force", SI: "N", Customary: "lbf"},
	{Name: "LineLoad", Dimension: dim(1, 0, -2, 0), SI: "N/m", Customary: "lbf/ft"},
	{Name: "Moment", Dimension: dim(1, 2, -2, 0), SI: "N·m", Customary: "lbf·ft"},
	{Name: "Energy", Dimension: dim(1, 2, -2, 0), SI: "J", Customary: "kWh"},
	{Name: "SpecificEnergy", Dimension: dim(0, 2, -2, 0), SI: "J/kg", Customary: "Wh/kg"},
	{Name: "Power", Dimension: dim(1, 2, -3, 0), SI: "W", Customary: "hp"},
	{Name: "Pressure", Dimension: dim(1, -1, -2, 0), SI: "Pa", Customary: "inHg"},
	{Name: "DynamicPressure", Dimension: dim(1, -1, -2, 0), Of: "Pressure", SI: "Pa", Customary: "psf"},
	{Name: "WingLoading", Dimension: dim(1, -1, -2, 0), Of: "Pressure", SI: "N/m²", Customary: "psf"},
	{Name: "PowerLoading", Dimension: dim(0, -2, 3, 0), SI: "kg/W", Customary: "lb/hp"},
	{Name: "PowerToMass", Dimension: dim(0, 2, -3, 0), SI: "W/kg", Customary: "hp/lb"},

	{Name: "Temperature", Dimension: dim(0, 0, 0, 1), SI: "K", Customary: "°C"},
	{Name: "TemperatureDifference", Dimension: dim(0, 0, 0, 1), Of: "Temperature", SI: "K"},
	{Name: "LapseRate", Dimension: dim(0, -1, 0, 1), SI: "K/m", Customary: "K/kft"},
	{Name: "GasConstant", Dimension: dim(0, 2, -2, -1), SI: "J/(kg·K)", Customary: "ft·lbf/(slug·°R)"},
	{Name: "DynamicViscosity", Dimension: dim(1, -1, -1, 0), SI: "Pa·s", Customary: "lbf·s/ft²"},
	{Name: "KinematicViscosity", Dimension: dim(0, 2, -1, 0), SI: "m²/s", Customary: "ft²/s"},
	{Name: "Circulation", Dimension: dim(0, 2, -1, 0), SI: "m²/s", Customary: "ft²/s"},

	{Name: "PowerConsumption", Dimension: dim(0, -2, 2, 0), SI: "kg/(W·s)", Customary: "lb/(hp·h)"},
	{Name: "ThrustConsumption", Dimension: dim(0, -1, 1, 0), SI: "kg/(N·s)", Customary: "lb/(lbf·h)"},
	{Name: "SpecificRange", Dimension: dim(-1, 1, 0, 0), SI: "m/kg", Customary: "nmi/lb"},
}
