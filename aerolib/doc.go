// Package aerolib is the root of Foreplane's flight-mechanics library; it holds the conventions that all its packages share and nothing else.
//
// Quantities are plain float64 in SI. Geometry: x aft, y to starboard, z up, from one datum (right-handed); stations in metres aft of the datum.
// Angle of attack and lift-increasing (trailing edge down) deflections are positive; Cm and the pitch rate q are positive nose up; moments are about
// the centre of gravity. Reference area, chord and span are stated by the aircraft and carried by every set of coefficients.
//
// Lateral quantities, unless an interface says otherwise: sideslip β positive with the wind from starboard, Cl positive starboard wing down,
// Cn positive nose to starboard; Cnβ > 0 and Clβ < 0 are stable.
//
// Symbols are those of the trade: CL, CD, Cm, CLα, V̄ (tail volume), h_n (neutral point in chords), e (span efficiency), J, CT, CP, η.
package aerolib
