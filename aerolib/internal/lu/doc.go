// Package lu solves dense systems of linear equations by Gaussian elimination with partial pivoting, on all cores, with a hook that can stop it.
//
//	f, err := lu.Factorise(n, a, nil) // overwrites a, row by row
//	x := f.Solve(b, columns)
//
// The elimination is recursive ([Toledo]): the left half of the columns, then a triangular solution and a product for the right half, which is eliminated in
// turn. Almost all the work is in products, and those run over packed blocks with a kernel of 6 × 8 numbers held in registers ([Goto]): written for the vector
// instructions of amd64 where the processor has them, and in Go elsewhere.
//
// Sources: [Toledo] S. Toledo, Locality of Reference in LU Decomposition with Partial Pivoting, SIAM J. Matrix Anal. Appl. 18, 1997. [Goto] K. Goto & R. van de
// Geijn, Anatomy of High-Performance Matrix Multiplication, ACM Trans. Math. Software 34, 2008. [Higham] N.J. Higham, FORTRAN Codes for Estimating the
// One-Norm of a Matrix, ACM Trans. Math. Software 14, 1988. All recalled.
package lu
