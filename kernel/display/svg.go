package display

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"html"
	"slices"
	"strings"
)

// describe writes a figure's alternative text into the SVG itself: a label for assistive technology on the root element, a <title>, and a <desc> when there
// is more to say. What the document already says of itself stays.
func describe(svg []byte, alt string) ([]byte, error) {
	root, end, err := rootElement(svg)
	if err != nil {
		return nil, err
	}
	title, rest, _ := strings.Cut(alt, "\n")
	var out bytes.Buffer
	tag := bytes.TrimRight(svg[:end], "/> \n\t")
	closed := bytes.HasSuffix(svg[:end], []byte("/>"))
	out.Write(tag)
	writeAttr(&out, root, "role", "img")
	if !hasAttr(root, "aria-labelledby") {
		writeAttr(&out, root, "aria-label", strings.Join(strings.Fields(alt), " "))
	}
	out.WriteString(">")
	if !bytes.Contains(svg, []byte("<title")) {
		fmt.Fprintf(&out, "<title>%s</title>", html.EscapeString(strings.TrimSpace(title)))
	}
	if rest = strings.TrimSpace(rest); rest != "" && !bytes.Contains(svg, []byte("<desc")) {
		fmt.Fprintf(&out, "<desc>%s</desc>", html.EscapeString(rest))
	}
	if closed {
		out.WriteString("</svg>")
	}
	out.Write(svg[end:])
	return out.Bytes(), nil
}

// rootElement returns the svg start element and the offset just behind it.
func rootElement(svg []byte) (xml.StartElement, int64, error) {
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		token, err := d.Token()
		if err != nil {
			return xml.StartElement{}, 0, fmt.Errorf("not an SVG document: %w", err)
		}
		if start, ok := token.(xml.StartElement); ok {
			if start.Name.Local != "svg" {
				return start, 0, errors.New("not an SVG document: the root element is <" + start.Name.Local + ">")
			}
			return start, d.InputOffset(), nil
		}
	}
}

func writeAttr(out *bytes.Buffer, e xml.StartElement, name, value string) {
	if !hasAttr(e, name) {
		fmt.Fprintf(out, ` %s="%s"`, name, html.EscapeString(value))
	}
}

func hasAttr(e xml.StartElement, name string) bool {
	return slices.ContainsFunc(e.Attr, func(a xml.Attr) bool { return a.Name.Space == "" && a.Name.Local == name })
}
