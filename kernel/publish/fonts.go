package publish

import (
	"cmp"
	"embed"
	"encoding/base64"
	"fmt"
	"slices"
	"strings"
)

//go:embed katex/katex.min.css
var katexSheet string

//go:embed katex/fonts/*.woff2
var katexFonts embed.FS

var (
	classAttribute = pattern(`class="([^"]*)"`)
	cssRule        = pattern(`([^{}]+)\{([^{}]*)\}`)
	cssClass       = pattern(`\.([a-zA-Z][\w-]*)`)
	cssNot         = pattern(`:not\([^)]*\)`)
	cssFamily      = pattern(`KaTeX_(\w+)`)
)

// classesIn returns the classes that occur in HTML.
func classesIn(html string) map[string]bool {
	classes := map[string]bool{}
	for _, match := range classAttribute().FindAllStringSubmatch(html, -1) {
		for _, class := range strings.Fields(match[1]) {
			classes[class] = true
		}
	}
	return classes
}

// face is one font file.
type face struct {
	family       string
	bold, italic bool
}

// katexStyle returns the rules of KaTeX's style sheet that can apply where only the given classes occur, and the faces that those rules ask for. A rule
// that changes weight or slant alone counts for the main family.
func katexStyle(classes map[string]bool) (string, error) {
	var rules strings.Builder
	faces := map[face]bool{}
	for _, match := range cssRule().FindAllStringSubmatch(katexSheet, -1) {
		selectors, body := match[1], match[2]
		if strings.HasPrefix(selectors, "@") || !applies(selectors, classes) {
			continue
		}
		rules.WriteString(match[0])
		f := face{family: "Main", bold: strings.Contains(body, "font-weight:700"), italic: strings.Contains(body, "font-style:italic")}
		if family := cssFamily().FindStringSubmatch(body); family != nil {
			f.family = family[1]
		} else if !f.bold && !f.italic {
			continue
		}
		faces[f] = true
	}
	fonts, err := fontFaces(faces)
	return fonts + rules.String() + "\n", err
}

// applies reports whether one of the selectors names no class that does not occur.
func applies(selectors string, classes map[string]bool) bool {
	for selector := range strings.SplitSeq(selectors, ",") {
		names := cssClass().FindAllStringSubmatch(cssNot().ReplaceAllString(selector, ""), -1)
		if !slices.ContainsFunc(names, func(name []string) bool { return !classes[name[1]] }) {
			return true
		}
	}
	return false
}

// fontFaces writes faces as rules that carry the font files.
func fontFaces(faces map[face]bool) (string, error) {
	var sorted []face
	for f := range faces {
		sorted = append(sorted, f)
	}
	slices.SortFunc(sorted, func(a, b face) int { return cmp.Compare(a.file(), b.file()) })
	var css strings.Builder
	for _, f := range sorted {
		data, err := katexFonts.ReadFile("katex/fonts/" + f.file())
		if err != nil {
			return "", err
		}
		weight, slant := 400, "normal"
		if f.bold {
			weight = 700
		}
		if f.italic {
			slant = "italic"
		}
		fmt.Fprintf(&css, "@font-face{font-family:KaTeX_%s;font-weight:%d;font-style:%s;src:url(data:font/woff2;base64,%s) format(\"woff2\")}\n",
			f.family, weight, slant, base64.StdEncoding.EncodeToString(data))
	}
	return css.String(), nil
}

func (f face) file() string {
	cut := ""
	if f.bold {
		cut += "Bold"
	}
	if f.italic {
		cut += "Italic"
	}
	return "KaTeX_" + f.family + "-" + cmp.Or(cut, "Regular") + ".woff2"
}
