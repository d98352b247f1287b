package unit

import "math"

// Definitions that the factors below rest on ([SP811], B.8). All are exact.
const (
	standardGravity = 9.80665     // m/s²
	foot            = 0.3048      // m
	inch            = foot / 12   // m
	nauticalMile    = 1852.0      // m
	statuteMile     = 5280 * foot // m
	hour            = 3600.0      // s
	pound           = 0.45359237  // kg
	poundForce      = pound * standardGravity
	slug            = poundForce / foot // lbf s²/ft
	horsepower      = 550 * foot * poundForce
	metricHorse     = 75 * standardGravity
	usGallon        = 231 * inch * inch * inch
	imperialGallon  = 4.54609e-3    // m³
	rankine         = 5.0 / 9       // K
	btu             = 1055.05585262 // J, International Table
)

// Dimension 1. Angles are in radians.
const (
	One       Ratio       = 1
	Percent   Ratio       = 0.01
	DragCount Coefficient = 1e-4

	Radian      Angle = 1
	Milliradian Angle = 1e-3
	Degree      Angle = math.Pi / 180
	ArcMinute   Angle = math.Pi / (180 * 60)
	ArcSecond   Angle = math.Pi / (180 * 3600)

	InverseRadian PerRadian = 1
	InverseDegree PerRadian = 180 / math.Pi
)

// Geometry.
const (
	Metre        Length = 1
	Millimetre   Length = 1e-3
	Centimetre   Length = 1e-2
	Kilometre    Length = 1e3
	Inch         Length = inch
	Foot         Length = foot
	Kilofoot     Length = 1e3 * foot
	Yard         Length = 3 * foot
	NauticalMile Length = nauticalMile
	StatuteMile  Length = statuteMile

	SquareMetre      Area = 1
	SquareCentimetre Area = 1e-4
	SquareFoot       Area = foot * foot
	SquareInch       Area = inch * inch

	CubicMetre      Volume = 1
	Litre           Volume = 1e-3
	CubicCentimetre Volume = 1e-6
	CubicFoot       Volume = foot * foot * foot
	CubicInch       Volume = inch * inch * inch
	USGallon        Volume = usGallon
	ImperialGallon  Volume = imperialGallon

	InverseMetre PerLength = 1
	InverseFoot  PerLength = 1 / foot
)

// Time and rates. A RotationRate counts revolutions, an AngularRate radians, a Frequency cycles.
const (
	Second      Time = 1
	Millisecond Time = 1e-3
	Minute      Time = 60
	Hour        Time = hour

	InverseSecond          Rate                = 1
	Hertz                  Frequency           = 1
	RevolutionPerSecond    RotationRate        = 1
	RevolutionPerMinute    RotationRate        = 1.0 / 60
	RadianPerSecond        AngularRate         = 1
	DegreePerSecond        AngularRate         = math.Pi / 180
	RadianPerSecondSquared AngularAcceleration = 1
	DegreePerSecondSquared AngularAcceleration = math.Pi / 180
	SecondPerRadian        PerAngularRate      = 1
	SecondPerDegree        PerAngularRate      = 180 / math.Pi
)

// Motion. A knot says nothing about the kind of airspeed: the type of the variable does.
const (
	MetrePerSecond   Speed = 1
	KilometrePerHour Speed = 1e3 / hour
	Knot             Speed = nauticalMile / hour
	MilePerHour      Speed = statuteMile / hour
	FootPerSecond    Speed = foot
	FootPerMinute    Speed = foot / 60

	MetrePerSecondSquared Acceleration = 1
	FootPerSecondSquared  Acceleration = foot
	KnotPerSecond         Acceleration = nauticalMile / hour
	StandardGravity       Acceleration = standardGravity
)

// Mass. A Pound is a mass; the force is a PoundForce.
const (
	Kilogram Mass = 1
	Gram     Mass = 1e-3
	Tonne    Mass = 1e3
	Pound    Mass = pound
	Ounce    Mass = pound / 16
	Slug     Mass = slug
	ShortTon Mass = 2000 * pound

	KilogramPerCubicMetre Density = 1
	GramPerLitre          Density = 1
	KilogramPerLitre      Density = 1e3
	SlugPerCubicFoot      Density = slug / (foot * foot * foot)
	PoundPerCubicFoot     Density = pound / (foot * foot * foot)
	PoundPerUSGallon      Density = pound / usGallon

	KilogramPerSquareMetre ArealMass = 1
	PoundMassPerSquareFoot ArealMass = pound / (foot * foot)

	KilogramMetre MassMoment = 1
	PoundInch     MassMoment = pound * inch
	PoundFoot     MassMoment = pound * foot

	KilogramSquareMetre MomentOfInertia = 1
	SlugSquareFoot      MomentOfInertia = slug * foot * foot

	KilogramPerSecond MassFlow = 1
	KilogramPerHour   MassFlow = 1 / hour
	PoundPerHour      MassFlow = pound / hour

	CubicMetrePerSecond   VolumeFlow = 1
	LitrePerHour          VolumeFlow = 1e-3 / hour
	USGallonPerHour       VolumeFlow = usGallon / hour
	ImperialGallonPerHour VolumeFlow = imperialGallon / hour
)

// Force, energy, power, pressure. PoundPerSquareInch and PoundPerSquareFoot are pounds-force over an area, as the trade says it.
const (
	Newton        Force = 1
	Kilonewton    Force = 1e3
	Decanewton    Force = 10
	PoundForce    Force = poundForce
	KilogramForce Force = standardGravity

	NewtonPerMetre    LineLoad = 1
	PoundForcePerFoot LineLoad = poundForce / foot

	NewtonMetre     Moment = 1
	KilonewtonMetre Moment = 1e3
	PoundForceFoot  Moment = poundForce * foot
	PoundForceInch  Moment = poundForce * inch

	Joule              Energy = 1
	Kilojoule          Energy = 1e3
	Megajoule          Energy = 1e6
	WattHour           Energy = hour
	KilowattHour       Energy = 1e3 * hour
	FootPoundForce     Energy = foot * poundForce
	BritishThermalUnit Energy = btu

	JoulePerKilogram           SpecificEnergy = 1
	MegajoulePerKilogram       SpecificEnergy = 1e6
	WattHourPerKilogram        SpecificEnergy = hour
	BritishThermalUnitPerPound SpecificEnergy = btu / pound

	Watt                    Power = 1
	Kilowatt                Power = 1e3
	Megawatt                Power = 1e6
	Horsepower              Power = horsepower
	MetricHorsepower        Power = metricHorse
	FootPoundForcePerSecond Power = foot * poundForce

	Pascal             Pressure = 1
	Hectopascal        Pressure = 1e2
	Kilopascal         Pressure = 1e3
	Megapascal         Pressure = 1e6
	Gigapascal         Pressure = 1e9
	Bar                Pressure = 1e5
	Millibar           Pressure = 1e2
	Atmosphere         Pressure = 101325
	PoundPerSquareInch Pressure = poundForce / (inch * inch)
	PoundPerSquareFoot Pressure = poundForce / (foot * foot)
	// InchOfMercury is the conventional one, of mercury of 13 595.1 kg/m³ under standard gravity ([SP811], B.8).
	InchOfMercury       Pressure = inch * 13595.1 * standardGravity
	MillimetreOfMercury Pressure = 1e-3 * 13595.1 * standardGravity

	NewtonPerSquareMetre WingLoading = 1

	KilogramPerWatt     PowerLoading = 1
	KilogramPerKilowatt PowerLoading = 1e-3
	PoundPerHorsepower  PowerLoading = pound / horsepower
	WattPerKilogram     PowerToMass  = 1
	KilowattPerKilogram PowerToMass  = 1e3
	HorsepowerPerPound  PowerToMass  = horsepower / pound
)

// Heat and viscosity. Celsius and Fahrenheit are read and written by functions.
const (
	Kelvin  Temperature = 1
	Rankine Temperature = rankine

	KelvinPerMetre     LapseRate = 1
	KelvinPerKilometre LapseRate = 1e-3
	KelvinPerKilofoot  LapseRate = 1e-3 / foot

	JoulePerKilogramKelvin       GasConstant = 1
	FootPoundForcePerSlugRankine GasConstant = foot * poundForce / (slug * rankine)

	PascalSecond                  DynamicViscosity   = 1
	PoundForceSecondPerSquareFoot DynamicViscosity   = poundForce / (foot * foot)
	SlugPerFootSecond             DynamicViscosity   = slug / foot
	SquareMetrePerSecond          KinematicViscosity = 1
	SquareFootPerSecond           KinematicViscosity = foot * foot
	Centistokes                   KinematicViscosity = 1e-6
)

// Fuel.
const (
	KilogramPerWattSecond   PowerConsumption  = 1
	GramPerKilowattHour     PowerConsumption  = 1e-6 / hour
	KilogramPerKilowattHour PowerConsumption  = 1e-3 / hour
	PoundPerHorsepowerHour  PowerConsumption  = pound / (horsepower * hour)
	KilogramPerNewtonSecond ThrustConsumption = 1
	GramPerKilonewtonSecond ThrustConsumption = 1e-6
	PoundPerPoundForceHour  ThrustConsumption = pound / (poundForce * hour)
	MetrePerKilogram        SpecificRange     = 1
	NauticalMilePerKilogram SpecificRange     = nauticalMile
	NauticalMilePerPound    SpecificRange     = nauticalMile / pound
)
