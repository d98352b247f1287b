package publish

import (
	"regexp"
	"sync"
)

// pattern is a regular expression compiled when it is first used: most processes of the binary never make a page.
func pattern(expression string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expression) })
}
