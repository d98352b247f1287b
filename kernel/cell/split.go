package cell

import (
	"go/scanner"
	"go/token"
)

// piece is one top-level item of a cell: an import, a type, const or func declaration, or a statement (which includes var).
type piece struct {
	kind     token.Token // IMPORT, TYPE, CONST, FUNC; ILLEGAL for a statement
	off, end int         // with its terminating semicolon, if one is written
}

// splitError is a bracket that closes nothing.
type splitError struct {
	offset int
	token  token.Token
}

// lexeme is a token with its byte offset.
type lexeme struct {
	offset int
	token  token.Token
	auto   bool // a semicolon that is not written
}

// scan returns the tokens of src; errors are left to the parser.
func scan(src string) []lexeme {
	tokens, _ := scanOpen(src)
	return tokens
}

// scanOpen is scan that also reports whether the source ends inside a raw string or a comment.
func scanOpen(src string) (tokens []lexeme, open bool) {
	file := token.NewFileSet().AddFile("", -1, len(src))
	var s scanner.Scanner
	s.Init(file, []byte(src), func(_ token.Position, problem string) {
		open = open || problem == "raw string literal not terminated" || problem == "comment not terminated"
	}, 0)
	var out []lexeme
	for {
		pos, tok, lit := s.Scan()
		out = append(out, lexeme{file.Offset(pos), tok, lit == "\n"})
		if tok == token.EOF {
			return out, open
		}
	}
}

// split cuts a cell into pieces at the semicolons outside all brackets.
func split(src string) ([]piece, *splitError) {
	var pieces []piece
	tokens, open := scanOpen(src)
	depth, first := 0, -1
	for i, t := range tokens {
		switch t.token {
		case token.LPAREN, token.LBRACE, token.LBRACK:
			depth++
		case token.RPAREN, token.RBRACE, token.RBRACK:
			if depth--; depth < 0 {
				return nil, &splitError{t.offset, t.token}
			}
		}
		end := t.token == token.EOF || t.token == token.SEMICOLON && depth == 0
		switch n := len(pieces); {
		case end && first >= 0:
			pieces = append(pieces, piece{pieceKind(tokens[first:i]), tokens[first].offset, t.terminator(len(src))})
			first = -1
		case t.token == token.SEMICOLON && first < 0 && n > 0 && pieces[n-1].kind == token.ILLEGAL: // an empty statement, as in for i := 0; ; i++
			pieces[n-1].end = t.terminator(len(src))
		case !end && first < 0:
			first = i
		}
	}
	if n := len(pieces); open && n > 0 { // a comment without an end belongs to no other piece
		pieces[n-1].end = len(src)
	}
	return pieces, nil
}

// terminator returns the offset behind a piece that t ends.
func (t lexeme) terminator(size int) int {
	if t.token == token.SEMICOLON && !t.auto {
		return t.offset + 1
	}
	return min(t.offset, size)
}

// pieceKind tells declarations from statements. A func that is not followed by a name, with or without a receiver, is a function literal.
func pieceKind(tokens []lexeme) token.Token {
	switch kind := tokens[0].token; kind {
	case token.IMPORT, token.TYPE, token.CONST:
		return kind
	case token.FUNC:
		if len(tokens) > 1 && tokens[1].token == token.IDENT || followedByName(tokens[1:]) {
			return token.FUNC
		}
	}
	return token.ILLEGAL
}

// followedByName reports whether tokens start with a bracketed list, a name and another list, as the rest of a method declaration does.
func followedByName(tokens []lexeme) bool {
	depth := 0
	for i, t := range tokens {
		switch t.token {
		case token.LPAREN:
			depth++
		case token.RPAREN:
			depth--
		}
		if depth == 0 {
			return i+2 < len(tokens) && tokens[i+1].token == token.IDENT && tokens[i+2].token == token.LPAREN
		}
	}
	return false
}
