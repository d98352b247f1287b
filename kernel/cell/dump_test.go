package cell

import (
	"fmt"
	"os"
	"testing"

	"foreplane/kernel"
)

// TestDump prints the lowered source of the file named by CELL_DUMP; it is a tool.
func TestDump(t *testing.T) {
	name := os.Getenv("CELL_DUMP")
	if name == "" {
		return
	}
	code, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	p, failed := NewFront(library()).Prepare(kernel.Cell{Code: string(code), Number: 1})
	if failed != nil {
		t.Fatal(failed)
	}
	for _, d := range p.Program.Types {
		fmt.Println("type", d.Name, d.Source)
	}
	fmt.Println(p.Program.Source)
}
