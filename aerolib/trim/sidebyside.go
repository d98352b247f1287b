package trim

import (
	"errors"
	"fmt"
	"strings"
	"text/tabwriter"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// Methods is one trim by both methods, and why they differ.
type Methods struct {
	Closed, Lattice Result
	Terms           []Difference // their sums are the differences, lattice less closed form
}

// Difference is what one cause changes, from the closed form to the lattice.
type Difference struct {
	Cause      string
	Alpha      unit.Angle
	Deflection unit.Angle
	Neutral    unit.Length // of the neutral point at constant speed and thrust
	Share      unit.Ratio  // of n times the weight, on the surface that trims
}

// SideBySide trims an aeroplane by closed forms and by the lattice, and explains the difference. The causes are changed one after the other from what the closed form has to
// what the lattice has, in the order of Terms: of each surface its lift slope by itself, its aerodynamic centre, its angle and moment at zero lift, and the wash on it, fins
// included; then the control, the force on fins, bodies, propellers and thrust. Both methods are taken as linear about their own trim. The order matters
// a little to the parts, not to the sums. If a limit of the control is exceeded it returns the comparison with a [*LimitError]; other errors are those of [Solve] and
// [SolveLattice].
func SideBySide(a aircraft.Aircraft, c Condition, m Mesh) (Methods, error) {
	closed, closedErr := closedBalance(a, c)
	if closedErr != nil {
		return Methods{}, closedErr
	}
	l, err := NewLattice(a, m)
	if err != nil {
		return Methods{}, err
	}
	meshed, err := l.balance(c)
	if err != nil {
		return Methods{}, err
	}
	var out Methods
	var limit *LimitError
	if out.Closed, closedErr = closed.solve(closedResult); closedErr != nil && !errors.As(closedErr, &limit) {
		return Methods{}, closedErr
	}
	if out.Lattice, err = meshed.solve(Result{Method: m.String()}); err != nil && !errors.As(err, &limit) {
		return Methods{}, err
	}
	if failed := out.explain(closed, meshed); failed != nil {
		return Methods{}, failed
	}
	return out, errors.Join(closedErr, err)
}

// explain finds the terms.
func (c *Methods) explain(closed, meshed *balance) error {
	from, err := closed.anatomy()
	if err != nil {
		return err
	}
	to, err := meshed.anatomy()
	if err != nil {
		return err
	}
	before, err := from.outcome()
	if err != nil {
		return err
	}
	for _, step := range causes(from) {
		step.change(&from, to)
		after, err := from.outcome()
		if err != nil {
			return err
		}
		c.Terms = append(c.Terms, after.less(before, step.name))
		before = after
	}
	if meshed.flow.(*latticeFlow).l.mesh.Viscous {
		all := outcomeOf(c.Lattice)
		c.Terms = append(c.Terms, all.less(before, "friction"))
	}
	return nil
}

func outcomeOf(r Result) Difference {
	d := Difference{Alpha: r.Alpha, Deflection: r.Deflection, Neutral: r.Model.NeutralPoint()}
	for _, l := range r.Loads {
		if l.Deflection != 0 {
			d.Share = l.Share
		}
	}
	return d
}

func (d Difference) less(before Difference, cause string) Difference {
	return Difference{cause, d.Alpha - before.Alpha, d.Deflection - before.Deflection, d.Neutral - before.Neutral, d.Share - before.Share}
}

// Sum returns the sum of the terms.
func (c Methods) Sum() Difference {
	sum := Difference{Cause: "sum"}
	for _, t := range c.Terms {
		sum.Alpha += t.Alpha
		sum.Deflection += t.Deflection
		sum.Neutral += t.Neutral
		sum.Share += t.Share
	}
	return sum
}

// String writes the terms as a table.
func (c Methods) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s less closed form\n", c.Closed.Aircraft, c.Lattice.Method)
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "cause\tα\tδ\tneutral point m\tshare %\t")
	for _, t := range append(c.Terms, c.Sum()) {
		fmt.Fprintf(w, "%s\t%s\t%s\t%.3f\t%.2f\t\n", t.Cause, degrees(t.Alpha), degrees(t.Deflection), t.Neutral, 100*t.Share)
	}
	w.Flush() // to a builder: cannot fail
	b.WriteString(c.Closed.Caution)
	return b.String()
}
