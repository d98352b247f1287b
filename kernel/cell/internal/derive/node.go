package derive

// Node is a formula, as a tree that can cross to the worker.
type Node struct {
	Op     Op      `json:"op"`
	Text   string  `json:"text,omitempty"`  // of a number as it was written, of a unit, of a relation
	Symbol Symbol  `json:"symbol,omitzero"` // of an operand, a constant, a function
	Value  float64 `json:"value,omitempty"` // of a number, a constant or a unit, in SI
	Index  int     `json:"index,omitempty"` // of an operand: which of the values of the equation it is, counted from 1; 0 if its value is not known
	Args   []Node  `json:"args,omitempty"`
	Width  int     `json:"width,omitempty"` // of a matrix: how many of Args stand in a row
}

// Op is the kind of a node.
type Op string

// The kinds. Those without a remark take the arguments that their names tell.
const (
	Number    Op = "number"   // a literal
	Unit      Op = "unit"     // of measurement
	Constant  Op = "constant" // a known number such as π
	Operand   Op = "operand"  // what has a value when the statement runs
	Neg       Op = "neg"
	Add       Op = "add"
	Sub       Op = "sub"
	Mul       Op = "mul"
	Div       Op = "div"
	Pow       Op = "pow"
	Root      Op = "root" // square root, or the root of degree Text
	Abs       Op = "abs"
	Exp       Op = "exp"
	Call      Op = "call"    // of a function of mathematics, by the name in Text, which can be evaluated
	Apply     Op = "apply"   // of any other function, called Symbol
	Cases     Op = "cases"   // value, condition, value, condition, ...; a last one without condition holds otherwise
	Compare   Op = "compare" // with the sign in Text
	And       Op = "and"
	Or        Op = "or"
	Not       Op = "not"
	Sum       Op = "sum"       // of Args[0], over the index Text, from Args[1] to Args[2]
	Matrix    Op = "matrix"    // entries by rows
	Uncertain Op = "uncertain" // value and standard uncertainty
)

// Equation is a statement as a formula. Of what cannot be one there is only the code.
type Equation struct {
	Symbol  Symbol   `json:"symbol,omitzero"` // what is assigned; empty for the last expression of a cell
	Name    string   `json:"name,omitempty"`  // the same as the cell has it
	Updates bool     `json:"updates,omitempty"`
	Formula *Node    `json:"formula,omitempty"`
	Code    string   `json:"code,omitempty"`   // of the statement, or of the value if there is a result: shown where there is no formula, and where it does not give the result
	Result  bool     `json:"result,omitempty"` // there is a result to show
	Names   []string `json:"names,omitempty"`  // of the operands, as the cell has them
	Opaque  bool     `json:"opaque,omitempty"` // it calls what may change the operands
}

// walk calls f for a node and all below it.
func (n *Node) walk(f func(*Node)) {
	f(n)
	for i := range n.Args {
		n.Args[i].walk(f)
	}
}

// has reports whether there is a node of one of the kinds.
func (n *Node) has(test func(*Node) bool) bool {
	found := false
	n.walk(func(m *Node) { found = found || test(m) })
	return found
}
