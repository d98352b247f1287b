package report

import (
	"fmt"
	"html"
	"reflect"
	"strings"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/perf"
	"foreplane/aerolib/prop"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

// Equation is an equation behind a result: as it stands in the book, with the numbers of the result, its source and where it holds.
type Equation struct {
	Name    string
	Formula string // LaTeX
	Numbers string // LaTeX: the same with numbers
	Source  string
	Limits  string
}

// Explanation is what stands behind a result. It shows as text and as Markdown with formulas, which front ends and pages typeset; [Explanation.Align] is for LaTeX.
type Explanation struct {
	Title     string
	Equations []Equation
	Notes     []string // of the result itself
}

// Explain lists the equations behind a result, with its numbers, their sources and limits of validity: of an [atmos.Air], a [trim.Result], a [trim.Neutral], a
// [drag.Buildup], a [prop.Operating] and a [perf.Flight]. Nothing is computed anew: all numbers are those of the result. It returns an error for other values.
func Explain(result any) (Explanation, error) {
	switch r := result.(type) {
	case atmos.Air:
		return explainAir(r), nil
	case trim.Result:
		return explainTrim(r), nil
	case trim.Neutral:
		return explainNeutral(r), nil
	case drag.Buildup:
		return explainDrag(r), nil
	case prop.Operating:
		return explainPropeller(r), nil
	case perf.Flight:
		return explainFlight(r), nil
	}
	return Explanation{}, fmt.Errorf("report.Explain: there is no explanation of %v; there is one of atmos.Air, trim.Result, trim.Neutral, drag.Buildup, prop.Operating, perf.Flight",
		reflect.TypeOf(result))
}

func explainAir(a atmos.Air) Explanation {
	const source = "U.S. Standard Atmosphere, 1976, eqs. 42, 50, 51"
	return Explanation{Title: "State of the air", Equations: []Equation{
		{"density of an ideal gas", `\rho = \frac{p}{R\,T}`, fmt.Sprintf(`%s = \frac{%s}{R \cdot %s}`, tex(a.Density, "kg/m³"), tex(a.Pressure, "Pa"), tex(a.Temperature, "K")),
			source, "dry air as an ideal gas, up to 86 km"},
		{"speed of sound", `a = \sqrt{\gamma R\,T}`, fmt.Sprintf(`%s = \sqrt{1.4\,R \cdot %s}`, tex(a.SpeedOfSound, "m/s"), tex(a.Temperature, "K")), source, "γ = 1.4"},
		{"viscosity after Sutherland", `\mu = \frac{\beta\,T^{3/2}}{T + S}`, fmt.Sprintf(`%s \ \text{at}\ %s`, tex(a.Viscosity, "Pa·s"), tex(a.Temperature, "K")), source, "100 K to 1900 K"},
	}}
}

func explainTrim(r trim.Result) Explanation {
	e := Explanation{Title: r.Aircraft + " in trim, " + r.Method, Notes: append([]string{r.Caution}, r.Notes...)}
	add := func(name, formula, numbers, source, limits string) {
		e.Equations = append(e.Equations, Equation{name, formula, numbers, source, limits})
	}
	add("dynamic pressure", `q = \tfrac{1}{2}\rho V^2`, fmt.Sprintf(`%s = \tfrac{1}{2} \cdot %s \cdot \left(%s\right)^2`, tex(r.DynamicPressure, "Pa"),
		tex(r.Condition.Air.Density, "kg/m³"), tex(r.Condition.Speed, "m/s")), "definition", "")
	add("lift coefficient of the aeroplane", `C_L = \frac{n W}{q S}`, fmt.Sprintf(`%s = \frac{%s \cdot %s}{%s \cdot %s}`, tex(r.CL, "1"), tex(r.LoadFactor, "1"),
		tex(r.Weight, "N"), tex(r.DynamicPressure, "Pa"), tex(r.Reference.Area, "m²")), "definition", "")
	for _, l := range r.Loads {
		add("lift of the "+l.Name, `L_i = q\,S_i\,C_{L,i}`, fmt.Sprintf(`%s = %s \cdot %s \cdot %s`, tex(l.Lift, "N"), tex(r.DynamicPressure, "Pa"), tex(l.Area, "m²"), tex(l.CL, "1")),
			"definition, on its own area", "before the stall")
	}
	add("equilibrium of forces", `\sum L_i = n W`, fmt.Sprintf(`%s = %s`, sum(r, func(l trim.Load) float64 { return l.Lift }, "N"), tex(r.LoadFactor*r.Weight, "N")),
		"Newton; what is left over is "+unit.Format(r.ForceResidual, "N"), "")
	add("equilibrium of moments about the CG", `\sum M_i = 0`, fmt.Sprintf(`%s = 0`, sum(r, func(l trim.Load) float64 { return l.Moment }, "N·m")),
		"Newton; what is left over is "+unit.Format(r.MomentResidual, "N·m"), "")
	if r.Drag.Total > 0 {
		add("drag in trim", `C_D = C_{D0} + \Delta C_{D,\mathrm{profile}} + C_{Di}`, fmt.Sprintf(`%s = %s + %s + %s`, tex(r.Drag.Total, "1"), tex(r.Drag.Parasite, "1"),
			tex(r.Drag.Profile, "1"), tex(r.Drag.Induced, "1")), "sum of parts, each at its own Reynolds number and lift", "no separation")
	}
	return e
}

// sum writes the sum of a quantity of all loads.
func sum(r trim.Result, of func(trim.Load) float64, symbol string) string {
	var terms []string
	for _, l := range append(append([]trim.Load(nil), r.Loads...), r.Others...) {
		terms = append(terms, tex(of(l), symbol))
	}
	return strings.ReplaceAll(strings.Join(terms, " + "), "+ -", "- ")
}

func explainNeutral(n trim.Neutral) Explanation {
	e := Explanation{Title: "Neutral point", Notes: []string{n.Caution}}
	var shifts []string
	for _, t := range n.Terms {
		shifts = append(shifts, tex(t.Shift, "m"))
		e.Equations = append(e.Equations, Equation{"shift by " + t.Name, `\Delta x = -c\,\frac{C_{m\alpha,i}}{C_{L\alpha}}`,
			fmt.Sprintf(`%s = -%s \cdot \frac{%s}{%s}`, tex(t.Shift, "m"), tex(n.Reference.Chord, "m"), tex(t.CmAlpha, "/rad"), tex(n.CLAlpha, "/rad")), "", ""})
	}
	e.Equations = append(e.Equations,
		Equation{"neutral point", `x_{np} = x_{cg} + \sum \Delta x`, fmt.Sprintf(`%s = %s + \left(%s\right)`, tex(n.X, "m"), tex(n.CG, "m"), strings.ReplaceAll(strings.Join(shifts, " + "), "+ -", "- ")),
			"Etkin & Reid, Dynamics of Flight, 3rd ed., Wiley 1996, ch. 2", "controls and throttle fixed, linear lift"},
		Equation{"static margin", `K_n = \frac{x_{np} - x_{cg}}{c}`, fmt.Sprintf(`%s = \frac{%s - %s}{%s}`, tex(n.StaticMargin, "%"), tex(n.X, "m"), tex(n.CG, "m"), tex(n.Reference.Chord, "m")), "definition", ""})
	return e
}

func explainDrag(b drag.Buildup) Explanation {
	e := Explanation{Title: b.Aircraft + ", drag without lift", Notes: b.Notes}
	var areas []string
	for _, i := range b.Items {
		areas = append(areas, tex(i.CDA, "m²"))
		if i.Wetted > 0 {
			e.Equations = append(e.Equations, Equation{i.Name, `(C_D A)_i = C_f\,F\,Q\,S_{\mathrm{wet}}`, fmt.Sprintf(`%s = %s \cdot %s \cdot %s \cdot %s`, tex(i.CDA, "m²"),
				tex(i.Friction, "1"), tex(i.Form, "1"), tex(i.Interference, "1"), tex(i.Wetted, "m²")), i.Source, ""})
		}
	}
	e.Equations = append(e.Equations, Equation{"sum on the reference area", `C_{D0} = \frac{\sum (C_D A)_i}{S}`,
		fmt.Sprintf(`%s = \frac{%s}{%s}`, tex(b.CD, "1"), strings.Join(areas, " + "), tex(b.Reference.Area, "m²")), "definition", ""})
	return e
}

func explainPropeller(o prop.Operating) Explanation {
	return Explanation{Title: "Engine and propeller", Notes: o.Notes, Equations: []Equation{
		{"efficiency", `\eta = \frac{T\,V}{P}`, fmt.Sprintf(`%s = \frac{%s \cdot %s}{%s}`, tex(o.Efficiency, "1"), tex(o.Thrust, "N"), tex(o.V, "m/s"), tex(o.Power, "W")), "definition", "power above zero"},
		{"the same by coefficients", `\eta = J\,\frac{C_T}{C_P}`, fmt.Sprintf(`%s = %s \cdot \frac{%s}{%s}`, tex(o.Efficiency, "1"), tex(o.Point.J, "1"), tex(o.Point.CT, "1"), tex(o.Point.CP, "1")), "definition", "power above zero"},
	}}
}

func explainFlight(f perf.Flight) Explanation {
	return Explanation{Title: "Steady flight", Notes: []string{perf.Caution}, Equations: []Equation{
		{"drag", `D = \tfrac{1}{2}\rho V^2 S\,C_D`, fmt.Sprintf(`%s \ \text{at}\ C_L = %s,\ C_D = %s`, tex(f.Drag, "N"), tex(f.CL, "1"), tex(f.CD, "1")), "definition", "before the stall"},
		{"rate of climb", `w = V \sin\gamma`, fmt.Sprintf(`%s = %s \cdot \sin\left(%s\right)`, tex(f.Rate, "m/s"), tex(f.Speed, "m/s"), tex(f.Angle, "°")), "Anderson, Aircraft Performance and Design, McGraw-Hill 1999, ch. 5", "steady flight, thrust along the path"},
	}}
}

var texUnits = strings.NewReplacer("²", "^{2}", "³", "^{3}", "·", `\cdot `, "%", `\%`)

// tex writes an SI value in a unit as LaTeX.
func tex(value float64, symbol string) string {
	text := strings.ReplaceAll(unit.Format(value, symbol), "−", "-")
	number, label, _ := strings.Cut(text, " ")
	if bare, ok := strings.CutSuffix(number, "°"); ok {
		return bare + `^\circ`
	}
	if mantissa, power, ok := strings.Cut(number, "e"); ok {
		number = mantissa + `\cdot 10^{` + strings.TrimLeft(strings.TrimPrefix(power, "+"), "0") + "}"
		number = strings.Replace(number, "{-0", "{-", 1)
	}
	if label == "" {
		return number
	}
	return number + `\,\mathrm{` + texUnits.Replace(label) + "}"
}

// Align writes the equations for a LaTeX document as one displayed formula, each with its numbers.
func (e Explanation) Align() string {
	var lines []string
	for _, q := range e.Equations {
		lines = append(lines, `\text{`+q.Name+`:}\quad & `+q.Formula+` && `+q.Numbers)
	}
	return "\\begin{align*}\n" + strings.Join(lines, " \\\\\n") + "\n\\end{align*}\n"
}

// Text writes the equations as lines, formulas as LaTeX.
func (e Explanation) Text() string {
	var b strings.Builder
	b.WriteString(e.Title + "\n")
	for _, q := range e.Equations {
		fmt.Fprintf(&b, "%s: %s\n    %s%s\n", q.Name, q.Formula, q.Numbers, q.remark())
	}
	for _, n := range e.Notes {
		b.WriteString(wrap(n, 120) + "\n")
	}
	return strings.TrimSpace(b.String())
}

// remark is the source and the limits of an equation.
func (q Equation) remark() string {
	var parts []string
	for _, p := range []string{q.Source, q.Limits} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "    (" + strings.Join(parts, "; ") + ")"
}

// Markdown writes the equations as a list with formulas, which front ends and pages typeset.
func (e Explanation) Markdown() string {
	var b strings.Builder
	b.WriteString("**" + html.EscapeString(e.Title) + "**\n\n")
	for _, q := range e.Equations {
		fmt.Fprintf(&b, "- %s: $%s$\n\n  $%s$\n", html.EscapeString(q.Name), q.Formula, q.Numbers)
		if r := q.remark(); r != "" {
			fmt.Fprintf(&b, "\n  %s\n", html.EscapeString(strings.TrimSpace(r)))
		}
	}
	for _, n := range e.Notes {
		b.WriteString("\n" + html.EscapeString(n) + "\n")
	}
	return b.String()
}
