package display

// The MIME types of the renderings.
const (
	TypePlain    = "text/plain"
	TypeHTML     = "text/html"
	TypeMarkdown = "text/markdown"
	TypeLaTeX    = "text/latex"
	TypeSVG      = "image/svg+xml"
	TypePNG      = "image/png"
	TypeJSON     = "application/json"
	TypeTable    = "application/vnd.foreplane.table+json" // the data that a picture shows
)

// Bundle is a value in one or more representations, keyed by MIME type. Data["text/plain"] is always present in a bundle that is shown.
// Binary formats are held as base64 text and JSON formats as objects, the way the protocol and nbformat store them.
type Bundle struct {
	Data     map[string]any `json:"data"`
	Metadata map[string]any `json:"metadata"` // hints by MIME type, such as width and height of a PNG in CSS pixels
}

// Plain returns a bundle that holds nothing but text.
func Plain(text string) Bundle {
	return Bundle{Data: map[string]any{TypePlain: text}, Metadata: map[string]any{}}
}

// Text returns the bundle's text/plain.
func (b Bundle) Text() string {
	text, _ := b.Data[TypePlain].(string)
	return text
}

// hint sets one piece of metadata for a MIME type.
func (b Bundle) hint(mime, key string, value any) {
	hints, ok := b.Metadata[mime].(map[string]any)
	if !ok {
		hints = map[string]any{}
		b.Metadata[mime] = hints
	}
	hints[key] = value
}

// note adds a remark about a failed rendering to the text.
func (b Bundle) note(remark string) {
	text := b.Text()
	if text != "" {
		text += "\n"
	}
	b.Data[TypePlain] = text + remark
}
