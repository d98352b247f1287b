package notebook

import (
	"fmt"
	"slices"
	"strings"
)

// Diff tells in lines how two notebooks differ, cell by cell: cells are the same if their ids are. It is empty if they do not, in cells and outputs.
func Diff(before, after *Document) string {
	var b strings.Builder
	old := map[string]*Cell{}
	for i := range before.Cells {
		old[before.Cells[i].ID] = &before.Cells[i]
	}
	moved := movedCells(before, after)
	for i := range after.Cells {
		c := &after.Cells[i]
		was, ok := old[c.ID]
		delete(old, c.ID)
		switch {
		case !ok:
			section(&b, "+", c, "added", prefixed("+ ", c.Source))
		default:
			section(&b, "~", c, changes(was, c, moved[c.ID]), lineDiff(was.Source, c.Source))
		}
	}
	for i := range before.Cells {
		if c := &before.Cells[i]; old[c.ID] != nil {
			section(&b, "-", c, "removed", prefixed("- ", c.Source))
		}
	}
	return b.String()
}

// section writes what is told of one cell, if there is anything.
func section(b *strings.Builder, sign string, c *Cell, what, lines string) {
	if what != "" {
		fmt.Fprintf(b, "%s %s cell %s: %s\n%s", sign, c.Kind, c.ID, what, lines)
	}
}

// changes lists what is other in a cell.
func changes(was, is *Cell, moved bool) string {
	var out []string
	add := func(differs bool, what string) {
		if differs {
			out = append(out, what)
		}
	}
	add(moved, "moved")
	add(was.Kind != is.Kind, fmt.Sprintf("was a %s cell", was.Kind))
	add(was.Source != is.Source, "source")
	add(outputsDiffer(was, is), "outputs")
	add(fmt.Sprint(was.Metadata["tags"]) != fmt.Sprint(is.Metadata["tags"]), "tags")
	return strings.Join(out, ", ")
}

func outputsDiffer(a, b *Cell) bool {
	return !slices.EqualFunc(a.Outputs, b.Outputs, func(x, y Output) bool { return x.otherThan(y, 0, false) == "" })
}

// movedCells are the cells that stand in another order among those that both notebooks have.
func movedCells(before, after *Document) map[string]bool {
	a, b := ids(before), ids(after)
	moved := map[string]bool{}
	for _, id := range a {
		moved[id] = slices.Contains(b, id)
	}
	for _, pair := range common(a, b) {
		delete(moved, a[pair[0]])
	}
	return moved
}

func ids(d *Document) []string {
	var out []string
	for _, c := range d.Cells {
		out = append(out, c.ID)
	}
	return out
}

func prefixed(prefix, text string) string {
	if text == "" {
		return ""
	}
	return prefix + strings.ReplaceAll(strings.TrimSuffix(text, "\n"), "\n", "\n"+prefix) + "\n"
}

// lineDiff is the difference of two texts, without the lines that are equal.
func lineDiff(before, after string) string {
	if before == after {
		return ""
	}
	a, b := strings.Split(before, "\n"), strings.Split(after, "\n")
	var out strings.Builder
	i, j := 0, 0
	for _, pair := range append(common(a, b), [2]int{len(a), len(b)}) {
		for ; i < pair[0]; i++ {
			out.WriteString("- " + a[i] + "\n")
		}
		for ; j < pair[1]; j++ {
			out.WriteString("+ " + b[j] + "\n")
		}
		i, j = pair[0]+1, pair[1]+1
	}
	return out.String()
}

// common returns the places of a longest common subsequence.
func common(a, b []string) [][2]int {
	length := make([][]int, len(a)+1)
	for i := range length {
		length[i] = make([]int, len(b)+1)
	}
	for i := len(a) - 1; i >= 0; i-- {
		for j := len(b) - 1; j >= 0; j-- {
			if length[i][j] = max(length[i+1][j], length[i][j+1]); a[i] == b[j] {
				length[i][j] = length[i+1][j+1] + 1
			}
		}
	}
	var out [][2]int
	for i, j := 0, 0; i < len(a) && j < len(b); {
		switch {
		case a[i] == b[j]:
			out = append(out, [2]int{i, j})
			i, j = i+1, j+1
		case length[i+1][j] >= length[i][j+1]:
			i++
		default:
			j++
		}
	}
	return out
}
