package unit

// The quantities. Every alias has a row of the same name in the table of kinds, which gives its dimension and its units for display.
type (
	// Ratio is a number of dimension 1: load factor, aspect ratio, efficiency, fraction of chord.
	Ratio = float64
	// Coefficient is an aerodynamic coefficient (CL, CD, Cm, CT), dimension 1, on a stated reference.
	Coefficient = float64
	// MachNumber is a speed over the local speed of sound.
	MachNumber = float64
	// ReynoldsNumber is V l/ν on a stated length.
	ReynoldsNumber = float64
	// Angle is in radians.
	Angle = float64
	// PerRadian is a slope by angle, such as CLα.
	PerRadian = float64

	// Length is in m; so are stations, positive aft of the datum.
	Length = float64
	// Altitude is a height in the atmosphere, in m, of a kind that the interface states; the four kinds below are preferred.
	Altitude = float64
	// GeometricAltitude is the height Z above mean sea level as a tape would measure it, in m.
	GeometricAltitude = float64
	// GeopotentialAltitude is the height H on which the standard atmosphere is defined, in m: r₀Z/(r₀+Z).
	GeopotentialAltitude = float64
	// PressureAltitude is the geopotential altitude at which the standard atmosphere has the given pressure, in m.
	PressureAltitude = float64
	// DensityAltitude is the geopotential altitude at which the standard atmosphere has the given density, in m.
	DensityAltitude = float64
	// PerLength is in 1/m: curvature, fuel flow over thrust power and weight.
	PerLength = float64
	// Area is in m².
	Area = float64
	// Volume is in m³.
	Volume = float64

	// Time is in s.
	Time = float64
	// Rate is a growth or decay rate, in 1/s.
	Rate = float64
	// Frequency counts cycles, in Hz.
	Frequency = float64
	// RotationRate counts revolutions, in rev/s: the n of propellers.
	RotationRate = float64
	// AngularRate is in rad/s: p, q, r, and the Ω of propellers.
	AngularRate = float64
	// AngularAcceleration is in rad/s².
	AngularAcceleration = float64
	// PerAngularRate is a slope by angular rate, in s/rad.
	PerAngularRate = float64

	// Speed is in m/s. For airspeeds the three kinds below are preferred.
	Speed = float64
	// CalibratedAirspeed is what an airspeed indicator without error shows, in m/s.
	CalibratedAirspeed = float64
	// EquivalentAirspeed is the sea-level speed of the same dynamic pressure, in m/s.
	EquivalentAirspeed = float64
	// TrueAirspeed is the speed through the air, in m/s.
	TrueAirspeed = float64
	// VerticalSpeed is a rate of climb (positive) or descent, in m/s.
	VerticalSpeed = float64
	// Acceleration is in m/s².
	Acceleration = float64

	// Mass is in kg.
	Mass = float64
	// Density is in kg/m³.
	Density = float64
	// ArealMass is a mass over an area, in kg/m²: the wing loading of flight manuals.
	ArealMass = float64
	// MassMoment is a mass times an arm, in kg m.
	MassMoment = float64
	// MomentOfInertia is in kg m².
	MomentOfInertia = float64
	// MassFlow is in kg/s.
	MassFlow = float64
	// VolumeFlow is in m³/s.
	VolumeFlow = float64

	// Force is in N.
	Force = float64
	// Weight is a mass times the acceleration of gravity, in N, never a mass.
	Weight = float64
	// LineLoad is a force over a length, in N/m.
	LineLoad = float64
	// Moment is a force times an arm, in N m.
	Moment = float64
	// Energy is in J.
	Energy = float64
	// SpecificEnergy is an energy over a mass, in J/kg: heating value of a fuel, content of a battery.
	SpecificEnergy = float64
	// Power is in W.
	Power = float64
	// Pressure is in Pa.
	Pressure = float64
	// DynamicPressure is ½ρV², in Pa.
	DynamicPressure = float64
	// WingLoading is a weight over an area, in N/m².
	WingLoading = float64
	// PowerLoading is a mass over a power, in kg/W.
	PowerLoading = float64
	// PowerToMass is a power over a mass, in W/kg.
	PowerToMass = float64

	// Temperature is absolute, in K.
	Temperature = float64
	// TemperatureDifference is in K.
	TemperatureDifference = float64
	// LapseRate is a temperature gradient with altitude, in K/m.
	LapseRate = float64
	// GasConstant is in J/(kg K).
	GasConstant = float64
	// DynamicViscosity is in Pa s.
	DynamicViscosity = float64
	// KinematicViscosity is in m²/s.
	KinematicViscosity = float64
	// Circulation is in m²/s.
	Circulation = float64

	// PowerConsumption is a fuel flow over a shaft power, in kg/(W s).
	PowerConsumption = float64
	// ThrustConsumption is a fuel flow over a thrust, in kg/(N s).
	ThrustConsumption = float64
	// SpecificRange is a distance over the fuel mass it costs, in m/kg.
	SpecificRange = float64
)
