package lu

import "gonum.org/v1/gonum/floats"

// block is a part of a matrix, row by row.
type block struct {
	data               []float64
	rows, cols, stride int
}

func (b block) row(i int) []float64 { return b.data[i*b.stride : i*b.stride+b.cols] }

func (b block) at(i, j int) float64 { return b.data[i*b.stride+j] }

// part returns the rows and columns from the first up to but without the second number of each.
func (b block) part(row, rowEnd, col, colEnd int) block {
	if row == rowEnd || col == colEnd {
		return block{}
	}
	return block{b.data[row*b.stride+col:], rowEnd - row, colEnd - col, b.stride}
}

func (b block) swap(i, j int) {
	if i == j {
		return
	}
	p, q := b.row(i), b.row(j)
	for k, v := range p {
		p[k], q[k] = q[k], v
	}
}

func (b block) copy(from block) {
	for i := range b.rows {
		copy(b.row(i), from.row(i))
	}
}

// small is the size up to which triangles are solved row by row.
const small = 16

// solveLower overwrites b with X where L X = b; L is below the diagonal of m, with ones on it.
func solveLower(m, b block) {
	if m.rows > small {
		h := m.rows / 2
		top, bottom := b.part(0, h, 0, b.cols), b.part(h, b.rows, 0, b.cols)
		solveLower(m.part(0, h, 0, h), top)
		subtractProduct(bottom, m.part(h, m.rows, 0, h), top)
		solveLower(m.part(h, m.rows, h, m.rows), bottom)
		return
	}
	for i := 1; i < m.rows; i++ {
		for j := range i {
			floats.AddScaled(b.row(i), -m.at(i, j), b.row(j))
		}
	}
}

// solveUpper overwrites b with X where U X = b; U is on the diagonal of m and above.
func solveUpper(m, b block) {
	if m.rows > small {
		h := m.rows / 2
		top, bottom := b.part(0, h, 0, b.cols), b.part(h, b.rows, 0, b.cols)
		solveUpper(m.part(h, m.rows, h, m.rows), bottom)
		subtractProduct(top, m.part(0, h, h, m.rows), bottom)
		solveUpper(m.part(0, h, 0, h), top)
		return
	}
	for i := m.rows - 1; i >= 0; i-- {
		for j := i + 1; j < m.rows; j++ {
			floats.AddScaled(b.row(i), -m.at(i, j), b.row(j))
		}
		floats.Scale(1/m.at(i, i), b.row(i))
	}
}
