package kernel

import (
	"context"
	"runtime"
	"strings"

	"foreplane/kernel/wire"
)

// Info is what the kernel says about itself, beyond what it knows.
type Info struct {
	Version   string // of Foreplane
	Banner    string // greets in a console
	HelpLinks []HelpLink
}

// HelpLink is an entry for the help menu of a front end.
type HelpLink struct {
	Text string `json:"text"`
	URL  string `json:"url"`
}

// LanguageInfo describes the language of cells, as kernel_info_reply and the metadata of notebook documents carry it.
func LanguageInfo() map[string]any {
	return map[string]any{
		"name":            "go",
		"version":         strings.TrimPrefix(runtime.Version(), "go"),
		"mimetype":        "text/x-go",
		"file_extension":  ".go",
		"pygments_lexer":  "go",
		"codemirror_mode": "go",
	}
}

func (k *Kernel) kernelInfo(context.Context, *request) (fields, error) {
	links := append([]HelpLink{}, k.info.HelpLinks...) // a list, also when empty
	return fields{
		"status":                 "ok",
		"protocol_version":       wire.Version,
		"implementation":         "foreplane",
		"implementation_version": k.info.Version,
		"language_info":          LanguageInfo(),
		"banner":                 k.info.Banner,
		"help_links":             links,
		"supported_features":     []string{},
	}, nil
}
