package slices

import "testing"

func TestOverlaps(t *testing.T) {
	s := make([]int, 10)
	for _, c := range []struct {
		a, b []int
		want bool
	}{
		{s[:5], s[4:], true},
		{s[4:], s[:5], true},
		{s[:5], s[5:], false},
		{s[5:], s[:5], false},
		{s, s[3:4], true},
		{s[3:4], s, true},
		{s[:0], s, false},
		{s, make([]int, 3), false},
	} {
		if got := overlaps(c.a, c.b); got != c.want {
			t.Errorf("overlaps(%d elements, %d elements) = %t", len(c.a), len(c.b), got)
		}
	}
}
