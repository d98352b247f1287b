package cell

import (
	"context"
	"fmt"
	"strings"

	"foreplane/kernel"
	"foreplane/kernel/cell/internal/ledger"
	"foreplane/kernel/display"
)

// stale lists the cells that are out of date, and whether some are that were not when it was last asked.
func (f *Front) stale() (list []ledger.Stale, news bool) {
	f.mu.Lock()
	defer f.mu.Unlock()
	known := f.told
	f.told = map[string]bool{}
	list = f.ledger.Stale()
	for _, s := range list {
		word := staleWord(s)
		news = news || !known[word]
		f.told[word] = true
	}
	return list, news
}

func staleWord(s ledger.Stale) string {
	return fmt.Sprintf("cell %d (it reads %s)", s.Cell.Number, strings.Join(s.Names, ", "))
}

// warn says which cells the last one has put out of date, if there are more than before.
func (e *Engine) warn(out kernel.Output) {
	list, news := e.front.stale()
	if !news {
		return
	}
	var words []string
	for _, s := range list {
		words = append(words, staleWord(s))
	}
	text := "Out of date: " + strings.Join(words, "; ") + ". "
	b := display.Plain(text + rerunName + "() alone in a cell runs them again.")
	b.Data[display.TypeMarkdown] = text + "`" + rerunName + "()` alone in a cell runs them again."
	out.Show(b, "")
}

// rerun runs the cells that are out of date, until one fails, and shows their outputs each under the number of its cell.
func (e *Engine) rerun(ctx context.Context, out kernel.Output) kernel.Result {
	list, _ := e.front.stale()
	if len(list) == 0 {
		b := display.Plain("Nothing is out of date.")
		return kernel.Result{Value: &b}
	}
	for _, s := range list {
		label := display.Plain(fmt.Sprintf("Cell %d, run again:", s.Cell.Number))
		label.Data[display.TypeMarkdown] = fmt.Sprintf("**Cell %d**, run again:", s.Cell.Number)
		out.Show(label, "")
		r := e.run(ctx, kernel.Cell{Code: s.Cell.Code, Number: s.Cell.Number, ID: s.Cell.ID}, out)
		if r.Err != nil {
			return r
		}
		if r.Value != nil {
			out.Show(*r.Value, "")
		}
	}
	return kernel.Result{}
}

func (f *Front) clashes() []Clash {
	f.mu.Lock()
	defer f.mu.Unlock()
	var out []Clash
	for _, c := range f.ledger.Clashes() {
		out = append(out, Clash{c.Name, idsOf(c.Setters), idsOf(c.Readers)})
	}
	return out
}

func idsOf(cells []ledger.Cell) []string {
	var ids []string
	for _, c := range cells {
		ids = append(ids, c.ID)
	}
	return ids
}
