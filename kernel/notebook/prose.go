package notebook

import (
	"context"
	"fmt"
	"maps"
	"regexp"
	"strconv"
	"strings"

	"foreplane/kernel"
	"foreplane/kernel/display"
)

// Live values of text cells: a run asks the kernel for the text with the values in it, in the state that the cells above have left, and keeps it in the
// metadata of the cell, beside the source.
const (
	ownMetadata = "foreplane"
	textKey     = "text"
)

// Text is the text of a text cell, with the values that the last run has put in place of its actions.
func (c *Cell) Text() string {
	own, _ := c.Metadata[ownMetadata].(Object)
	if text, ok := own[textKey].(string); ok {
		return text
	}
	return c.Source
}

// live reports whether a cell may hold live values; the kernel knows which braces are.
func (c *Cell) live() bool { return c.Kind == Markdown && strings.Contains(c.Source, "{{") }

// ForgetText takes away what a run has put in place of the live values. A copy of the cell that shares its metadata keeps it.
func (c *Cell) ForgetText() {
	own, ok := c.Metadata[ownMetadata].(Object)
	if !ok {
		return
	}
	own = maps.Clone(own)
	delete(own, textKey)
	c.Metadata = extend(c.Metadata, Object{ownMetadata: own})
	if len(own) == 0 {
		delete(c.Metadata, ownMetadata)
	}
}

// proseUntil puts the values into the text cells up to cell end, and returns the first failure.
func (r *runner) proseUntil(ctx context.Context, end int) (*FailedCell, error) {
	for ; r.texts < end; r.texts++ {
		c := &r.doc.Cells[r.texts]
		if !c.live() {
			continue
		}
		failed, err := r.prose(ctx, c)
		if err != nil {
			return nil, err
		}
		if failed != nil {
			failure := &FailedCell{r.texts + 1, c.ID, failed}
			r.texts++
			return failure, nil
		}
	}
	return nil, nil
}

// prose asks for the text of one cell.
func (r *runner) prose(ctx context.Context, c *Cell) (*kernel.CellError, error) {
	call := kernel.Call{NoHistory: true, UserExpressions: map[string]string{textKey: "prose(" + strconv.Quote(c.Source) + ")"}}
	reply, err := r.on.Execute(ctx, call, nil)
	if err != nil {
		return nil, err
	}
	result := reply.UserExpressions[textKey]
	if result.Err != nil {
		return c.located(result.Err), nil
	}
	if result.Value == nil {
		return reply.Err, nil
	}
	if text, ok := result.Value.Data[display.TypeMarkdown].(string); ok && text != c.Source {
		own, _ := c.Metadata[ownMetadata].(Object)
		c.Metadata = extend(c.Metadata, Object{ownMetadata: extend(own, Object{textKey: text})})
	}
	return nil, nil
}

var position = regexp.MustCompile(`^cell \d+, line \d+, column \d+: `)

// located says on which line of the text what went wrong stands.
func (c *Cell) located(err *kernel.CellError) *kernel.CellError {
	message := position.ReplaceAllString(err.Message, "")
	if end := strings.Index(message, "}}"); end > 0 && strings.HasPrefix(message, "{{") {
		if at := strings.Index(c.Source, message[:end+2]); at >= 0 {
			message = fmt.Sprintf("line %d: %s", 1+strings.Count(c.Source[:at], "\n"), message)
		}
	}
	return &kernel.CellError{Name: err.Name, Message: message, Traceback: []string{err.Name + ": " + message}}
}
