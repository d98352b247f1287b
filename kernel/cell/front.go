package cell

import (
	"fmt"
	"go/types"
	"maps"
	"regexp"
	"sync"
	"time"

	"foreplane/kernel"
	"foreplane/kernel/cell/internal/derive"
	"foreplane/kernel/cell/internal/ledger"
	"foreplane/kernel/dimension"
)

// Front checks and lowers cells in the scope of a session. It holds no values and starts nothing. It is safe for concurrent use: completion and
// inspection may ask while a cell runs, since a session changes only by [Front.Commit].
type Front struct {
	mu         sync.Mutex
	lib        Library
	prel       Prelude
	files      *files
	importer   *importer
	session    *session
	dims       *dimension.Checker
	quantities dimension.Table
	builtins   map[string]types.Object // must, show, ask
	ledger     ledger.Ledger
	told       map[string]bool     // what was said to be out of date
	values     map[string]Snapshot // of variables, as the last cells left them
	prepared   int                 // cells
	done, lost []kernel.Cell       // runs that succeeded: of this session, and of one that was lost and not rebuilt
}

// NewFront returns a front with an empty session, on a library with the standard prelude.
func NewFront(lib Library) *Front {
	f := &Front{lib: lib, prel: NewPrelude(lib), files: newFiles(), session: newSession()}
	f.importer = newImporter(lib, f.files)
	f.builtins = newBuiltins()
	f.quantities = lib.Quantities()
	f.dims = dimension.New(f.quantities)
	return f
}

// Reset forgets everything that cells have declared.
func (f *Front) Reset() {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.reset()
}

func (f *Front) reset() {
	f.session = newSession()
	f.dims = dimension.New(f.quantities)
	f.ledger, f.told, f.values = ledger.Ledger{}, nil, nil
	f.done, f.lost = nil, nil
}

// Prepared is a cell that can be run: its program, and what the session will know when it has run.
type Prepared struct {
	Program    *Program
	Notes      []string // about its dimensions, for the user to read
	cell       kernel.Cell
	effects    ledger.Effects
	commits    []commit
	pending    map[int][]func(*session) // what each step of the cell changes beside its own names
	registered map[int]types.Type
}

// commit is what changes when so many binds of a program are completed.
type commit struct {
	after  int
	change func(*session)
}

// Prepare checks and lowers a cell.
func (f *Front) Prepare(cell kernel.Cell) (p *Prepared, failed *kernel.CellError) {
	f.mu.Lock()
	defer f.mu.Unlock()
	defer func() { // go/types may stumble over what it is given, such as a method of a type of another package
		if r := recover(); r != nil {
			text := fmt.Sprintf("cell %d cannot be checked: %v", cell.Number, r)
			p, failed = nil, &kernel.CellError{Name: "Refused", Message: text, Traceback: []string{text}}
		}
	}()
	f.tidy()
	s, found := f.files.parse(cell.Number, cell.Code)
	if cell.Expression && len(found) == 0 {
		found = s.notExpression()
	}
	if len(found) > 0 {
		return nil, found.cellError("Syntax", cell)
	}
	question, found := s.question()
	if len(found) > 0 {
		return nil, found.cellError("Question", cell)
	}
	f.importer.folder.refresh()
	c, found := f.checkCell(s, nil)
	if refused, all := c.ofVariables(found); all {
		return nil, refused.cellError("Refused", cell)
	}
	if len(found) > 0 {
		return nil, f.slips(c, found).cellError("Check", cell)
	}
	if found := f.misplaced(c); len(found) > 0 {
		return nil, found.cellError("Check", cell)
	}
	notes, found := f.checkDimensions(c)
	if len(found) > 0 {
		return nil, found.cellError("Dimension", cell)
	}
	if other := f.redimensioned(c); len(other) > 0 {
		c.dims.Discard()
		if c, found = f.checkCell(s, other); len(found) > 0 {
			return nil, found.cellError("Check", cell)
		}
		notes, _ = f.checkDimensions(c)
		for _, r := range c.again {
			f.dims.Forget(r.old.object)
		}
	}
	p, found = f.lower(c)
	if len(found) > 0 {
		c.dims.Discard()
		return nil, found.cellError("Refused", cell)
	}
	p.Program.Question = question
	p.Notes = append(notes, f.commas(c)...)
	p.cell, p.effects = cell, f.effects(c)
	return p, nil
}

// Commit tells the session what became of a program: the binds that were completed are what the names mean from now on.
func (f *Front) Commit(p *Prepared, o Outcome) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if o.Rejected {
		return
	}
	f.session.spent = nil
	for _, c := range p.commits {
		if c.after <= o.Bound {
			c.change(f.session)
		}
	}
	maps.Copy(f.session.symbols, derive.SymbolsIn(p.cell.Code))
	f.note(o.Values)
	if !p.cell.Expression {
		if o.Err == nil {
			f.done = append(f.done, p.cell)
		}
		f.ledger.Ran(ledger.Cell{ID: p.cell.ID, Code: p.cell.Code, Number: p.cell.Number, Time: time.Now(), Failed: o.Err != nil, Effects: p.effects})
	}
}

// prelude returns what a name means that neither the cell nor the session knows, or nil.
func (f *Front) prelude(name string) types.Object {
	if o := f.builtins[name]; o != nil {
		return o
	}
	if path, ok := f.prel.Packages[name]; ok {
		if pkg, err := f.importer.Import(path); err == nil {
			return types.NewPkgName(0, nil, name, pkg)
		}
	}
	if types.Universe.Lookup(name) != nil {
		return nil
	}
	for _, path := range f.prel.Dot {
		if pkg, err := f.importer.Import(path); err == nil {
			if o := pkg.Scope().Lookup(name); o != nil && o.Exported() {
				return o
			}
		}
	}
	return nil
}

// cellPackage is the name that the package of a cell has once it is checked. In messages it tells types of earlier cells from those of the same name now.
func cellPackage(number int) string { return fmt.Sprintf("cell%d", number) }

var qualified = regexp.MustCompile(`\bcell(\d*)\.([\pL_][\pL\pN_]*)`)

// readable takes the names of cells' packages out of a message, unless the name now means something else.
func (f *Front) readable(message string) string {
	return qualified.ReplaceAllStringFunc(message, func(m string) string {
		parts := qualified.FindStringSubmatch(m)
		o := f.session.names[parts[2]]
		if parts[1] == "" || o == nil || o.Pkg() == nil || o.Pkg().Name() == "cell"+parts[1] {
			return parts[2]
		}
		return parts[2] + " of cell " + parts[1]
	})
}
