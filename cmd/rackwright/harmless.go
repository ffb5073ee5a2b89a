package main

import (
	"strings"
	"unicode"
)

// harmless is a text without what a terminal might act on: the path of a file may hold anything.
func harmless(text string) string {
	return strings.Map(func(r rune) rune {
		if r == '\n' || unicode.IsPrint(r) {
			return r
		}
		return '·'
	}, text)
}
