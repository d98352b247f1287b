// Package solve has the numerical methods that the library shares and gonum has not: a root and a maximum of a function of one variable, and the integration
// of differential equations until something happens. It knows no aeronautics.
//
//	x, err := solve.Root(f, 0, 2)                                     // f changes its sign between 0 and 2
//	x, err := solve.Maximum(f, 0, 2)
//	end, err := solve.Path{Rates: fall}.Until(start, hitsTheGround)   // a ball
//
// All are deterministic. A function that returns NaN is an error, never a result.
//
// Sources: [Chandrupatla] T.R. Chandrupatla, A New Hybrid Quadratic/Bisection Algorithm for Finding the
// Zero of a Nonlinear Function without Using Derivatives, Advances in Engineering Software 28, 1997. [Brent] R.P. Brent, Algorithms for Minimization without
// Derivatives, Prentice-Hall 1973, ch. 5. [Dormand] J.R. Dormand & P.J. Prince, A Family of
// Embedded Runge-Kutta Formulae, J. Comp. Appl. Math. 6, 1980. [Hairer] E. Hairer, S.P. Nørsett & G. Wanner, Solving Ordinary Differential Equations I, 2nd ed.,
// Springer 1993, II.4. Methods are recalled from these.
package solve
