package publish

import (
	"go/scanner"
	"go/token"
	"go/types"
	"html"
	"strings"
)

// colour returns Go source as HTML, its tokens marked by class:
//
//	k keyword   s string or rune   n number   c comment   f function called or declared   b predeclared name
//
// Source that is not whole, or not Go, keeps all its text.
func colour(source string) string {
	var s scanner.Scanner
	file := token.NewFileSet().AddFile("", -1, len(source))
	s.Init(file, []byte(source), func(token.Position, string) {}, scanner.ScanComments)
	tokens := scan(&s, file)
	var b strings.Builder
	end := 0
	for i, t := range tokens {
		if t.offset < end || t.offset+len(t.text) > len(source) {
			continue
		}
		b.WriteString(html.EscapeString(source[end:t.offset]))
		end = t.offset + len(t.text)
		text := html.EscapeString(source[t.offset:end])
		if class := classOf(tokens, i); class != "" {
			text = `<span class="` + class + `">` + text + "</span>"
		}
		b.WriteString(text)
	}
	return b.String() + html.EscapeString(source[end:])
}

type goToken struct {
	kind   token.Token
	text   string
	offset int
}

// scan lists the tokens that are written out in the source, which a semicolon put in at a line's end is not.
func scan(s *scanner.Scanner, file *token.File) []goToken {
	var tokens []goToken
	for {
		pos, kind, text := s.Scan()
		if kind == token.EOF {
			return tokens
		}
		if kind.IsOperator() && kind != token.SEMICOLON {
			text = kind.String()
		}
		if kind != token.SEMICOLON || text == ";" {
			tokens = append(tokens, goToken{kind, text, file.Offset(pos)})
		}
	}
}

func classOf(tokens []goToken, i int) string {
	switch t := tokens[i]; {
	case t.kind.IsKeyword():
		return "k"
	case t.kind == token.STRING || t.kind == token.CHAR:
		return "s"
	case t.kind == token.INT || t.kind == token.FLOAT || t.kind == token.IMAG:
		return "n"
	case t.kind == token.COMMENT:
		return "c"
	case t.kind != token.IDENT:
		return ""
	case types.Universe.Lookup(t.text) != nil && (i == 0 || tokens[i-1].kind != token.PERIOD):
		return "b"
	case i+1 < len(tokens) && tokens[i+1].kind == token.LPAREN:
		return "f"
	}
	return ""
}
