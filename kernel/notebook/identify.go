package notebook

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
)

// identify gives every cell without an id one made from its kind and text, so that reading the same notebook twice gives the same ids wherever the cell
// stands, and refuses ids that are used twice.
func (d *Document) identify() error {
	owner := map[string]int{}
	for i, c := range d.Cells {
		if c.ID == "" {
			continue
		}
		if first, taken := owner[c.ID]; taken {
			return &FormatError{fmt.Sprintf("cell %d", i+1), fmt.Sprintf("id %q is also the id of cell %d", c.ID, first+1)}
		}
		owner[c.ID] = i
	}
	for i := range d.Cells {
		c := &d.Cells[i]
		for n := 0; c.ID == ""; n++ {
			id := contentID(c, n)
			if _, taken := owner[id]; !taken {
				c.ID, owner[id] = id, i
			}
		}
	}
	return nil
}

// contentID is the n-th candidate for the id of a cell: eight hexadecimal digits, like the ids that front ends draw by chance.
func contentID(c *Cell, n int) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%s\n%d\n%s", c.Kind, n, c.Source))
	return hex.EncodeToString(sum[:4])
}
