// Package display turns values into MIME bundles: text always, and what the value can draw of itself beside it.
package display

// Bundle is a value in one or more representations, keyed by MIME type. Data["text/plain"] is always present in a bundle that is shown.
// Binary formats are held as base64 text and JSON formats as objects, the way the protocol and nbformat store them.
type Bundle struct {
	Data     map[string]any `json:"data"`
	Metadata map[string]any `json:"metadata"` // hints by MIME type, such as width and height of a PNG in CSS pixels
}
