package cell

import (
	"context"
	"go/token"
	"strings"

	"foreplane/kernel"
	"foreplane/kernel/display"
)

// Engine implements kernel.Engine with a front and a runner.
type Engine struct {
	// Rebuild rebuilds a session as soon as it is lost; otherwise the user is told how to.
	Rebuild bool

	front      *Front
	runner     Runner
	rebuilding bool
}

// NewEngine returns the engine that checks and lowers cells with front and runs them with runner.
func NewEngine(front *Front, runner Runner) *Engine {
	return &Engine{front: front, runner: runner}
}

var _ kernel.Engine = (*Engine)(nil)

// Run implements kernel.Engine.
func (e *Engine) Run(ctx context.Context, cell kernel.Cell, out kernel.Output) kernel.Result {
	if cell.Expression {
		return e.run(ctx, cell, out)
	}
	switch {
	case e.front.asks(cell.Code, rerunName):
		return e.rerun(ctx, out)
	case e.front.asks(cell.Code, rebuildName):
		return e.rebuild(ctx)
	case e.front.asks(cell.Code, variablesName):
		b := display.Of(variableTable(e.Variables()))
		return kernel.Result{Value: &b}
	}
	r := e.run(ctx, cell, out)
	e.warn(out)
	return r
}

func (e *Engine) run(ctx context.Context, cell kernel.Cell, out kernel.Output) kernel.Result {
	p, failed := e.front.Prepare(cell)
	if failed != nil {
		return kernel.Result{Err: failed}
	}
	for _, note := range p.Notes {
		out.Stream("stderr", note+"\n")
	}
	outcome, err := e.runner.Run(ctx, p.Program, out)
	if err != nil {
		return kernel.Result{Err: e.lose(err)}
	}
	e.front.Commit(p, outcome)
	return kernel.Result{Value: outcome.Value, Err: outcome.Err}
}

// Complete implements kernel.Engine.
func (e *Engine) Complete(code string, cursor int) kernel.Completion {
	return e.front.Complete(code, cursor)
}

// Inspect implements kernel.Engine.
func (e *Engine) Inspect(code string, cursor, detail int) (display.Bundle, bool) {
	return e.front.Inspect(code, cursor, detail)
}

// Completeness implements kernel.Engine.
func (e *Engine) Completeness(code string) kernel.Completeness { return completeness(code) }

// Variables lists the variables of the session by name. It answers at once, also while a cell runs, with what they held when the last one had ended.
func (e *Engine) Variables() []Variable { return e.front.variables() }

// Clash is a name that several cells set, so that what its readers come to depends on the order in which they run. Cells are named by the IDs that the
// front end sent.
type Clash struct {
	Name             string
	Setters, Readers []string
}

// Clashes lists the names on account of which results depend on the order of runs.
func (e *Engine) Clashes() []Clash { return e.front.clashes() }

// Close implements kernel.Engine.
func (e *Engine) Close() error { return e.runner.Close() }

// completeness judges a cell by its brackets and its syntax: one that ends inside brackets, or with an operator, goes on.
func completeness(code string) kernel.Completeness {
	open := 0
	tokens, unfinished := scanOpen(code)
	if unfinished {
		return kernel.Completeness{Status: "incomplete"}
	}
	for _, t := range tokens {
		switch t.token {
		case token.LPAREN, token.LBRACE, token.LBRACK:
			open++
		case token.RPAREN, token.RBRACE, token.RBRACK:
			if open--; open < 0 {
				return kernel.Completeness{Status: "invalid"}
			}
		case token.ILLEGAL:
			return kernel.Completeness{Status: "invalid"}
		}
	}
	if open > 0 {
		return kernel.Completeness{Status: "incomplete", Indent: strings.Repeat("\t", open)}
	}
	if _, found := newFiles().parse(0, code); len(found) > 0 {
		if endsOpen(tokens) {
			return kernel.Completeness{Status: "incomplete", Indent: "\t"}
		}
		return kernel.Completeness{Status: "invalid"}
	}
	return kernel.Completeness{Status: "complete"}
}

// endsOpen reports whether the last token asks for more: an operator, a comma or a keyword that is no statement of its own.
func endsOpen(tokens []lexeme) bool {
	for i := len(tokens) - 1; i >= 0; i-- {
		switch t := tokens[i].token; t {
		case token.EOF:
		case token.SEMICOLON:
			if !tokens[i].auto {
				return false
			}
		default:
			return t.IsOperator() || t.IsKeyword()
		}
	}
	return false
}
