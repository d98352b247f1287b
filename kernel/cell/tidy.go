package cell

import (
	"go/token"
	"go/types"
	"maps"
)

// tidyEvery is how many cells run before the session is tidied.
const tidyEvery = 64

// tidy forgets the source of cells that no name, function or value of the session comes from any more, and what was known of their objects.
func (f *Front) tidy() {
	if f.prepared++; f.prepared%tidyEvery != 0 {
		return
	}
	live := f.session.origins(f.files.set)
	for file, o := range f.files.origins {
		if o.source.path == "" && !live[file] {
			delete(f.files.origins, file)
			f.files.set.RemoveFile(file)
		}
	}
	gone := func(o types.Object) bool {
		return isDeclared(o) && o.Pos().IsValid() && f.files.set.File(o.Pos()) == nil
	}
	maps.DeleteFunc(f.session.slots, func(o types.Object, _ string) bool { return gone(o) })
	f.dims.Drop(gone)
}

// origins returns the files that the session's objects come from.
func (s *session) origins(set *token.FileSet) map[*token.File]bool {
	live := map[*token.File]bool{}
	note := func(o types.Object) {
		if o != nil {
			live[set.File(o.Pos())] = true
		}
	}
	all := func(names map[string]types.Object) {
		for _, o := range names {
			note(o)
		}
	}
	all(s.names)
	all(s.declared)
	for o, d := range s.functions {
		note(o)
		live[set.File(d.decl.Pos())] = true
		all(d.scope)
	}
	for _, z := range s.frozen {
		all(z.uses)
	}
	for _, i := range s.instances {
		note(i.origin)
	}
	for _, t := range s.registered {
		if n, ok := types.Unalias(deref(t)).(*types.Named); ok {
			note(n.Obj())
		}
	}
	return live
}
