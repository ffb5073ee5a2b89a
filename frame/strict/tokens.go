package strict

import (
	"github.com/goccy/go-yaml/token"
)

// refuseTokens reports what makes a file read other than it looks, values nested too
// deep, and brackets that do not match.
func (d *document) refuseTokens(tokens token.Tokens) {
	var n nesting
	started, ended := false, false
	for _, t := range tokens {
		if t.Type == token.CommentType || t.Position == nil {
			continue
		}
		if ended || t.Type == token.DocumentHeaderType && started {
			d.token(t, Forbidden, "a second document starts here; a file holds one")
			return
		}
		started, ended = true, t.Type == token.DocumentEndType
		d.refuseToken(t)
		switch n.follow(t); {
		case n.unmatched:
			d.token(t, Syntax, "this is not YAML: the bracket %s closes nothing that is open", t.Value)
			return
		case n.crowded():
			d.token(t, TooLarge, "more than %d keys stand together", MaxKeys)
			return
		case n.depth() > MaxDepth:
			d.token(t, TooLarge, "values are nested more than %d deep", MaxDepth)
			return
		}
	}
}

func (d *document) refuseToken(t *token.Token) {
	switch t.Type {
	case token.AnchorType, token.AliasType:
		d.token(t, Forbidden, "anchors and aliases (& and *) are not allowed; write the value out")
	case token.TagType:
		d.token(t, Forbidden, "tags (!) are not allowed; write the plain value")
	case token.MergeKeyType:
		d.token(t, Forbidden, "merge keys (<<) are not allowed; write the keys out")
	case token.MappingKeyType:
		d.token(t, Forbidden, "the long form of keys (?) is not allowed; write key: value")
	case token.DirectiveType:
		d.token(t, Forbidden, "directives (%%) are not allowed; leave the line out")
	}
}

// MaxKeys is how many keys may stand together. No format has half as many; the parser
// goes one level deeper for every one.
const MaxKeys = 64

// block is a block collection: one whose entries begin at the same column.
type block struct{ column, keys int }

// nesting follows how deep a file's values are nested: its zero value is the start of
// a file. It may count more levels than there are where a file is not YAML, never
// fewer than half of them.
type nesting struct {
	blocks    []block        // the open block collections
	brackets  []*token.Token // those that are open
	chain     int            // keys and dashes since the last comma or bracket
	unmatched bool
}

func (n *nesting) depth() int { return len(n.blocks) + len(n.brackets) + n.chain }

// follow takes the next token.
func (n *nesting) follow(t *token.Token) {
	switch t.Type {
	case token.SequenceStartType, token.MappingStartType:
		n.brackets, n.chain = append(n.brackets, t), 0
	case token.SequenceEndType:
		n.closeBracket(token.SequenceStartType)
	case token.MappingEndType:
		n.closeBracket(token.MappingStartType)
	case token.CollectEntryType:
		n.chain = 0
	case token.SequenceEntryType, token.MappingKeyType:
		n.begin(t.Position.Column, 0)
	case token.MappingValueType:
		n.begin(keyColumn(t), 1)
	}
}

// crowded tells whether a mapping has more than MaxKeys keys.
func (n *nesting) crowded() bool {
	return len(n.blocks) > 0 && n.blocks[len(n.blocks)-1].keys > MaxKeys
}

func (n *nesting) closeBracket(opening token.Type) {
	last := len(n.brackets) - 1
	n.unmatched = last < 0 || n.brackets[last].Type != opening
	n.brackets, n.chain = n.brackets[:max(last, 0)], 0
}

// begin counts an entry or a key: within brackets as one more in a chain, otherwise by
// its column.
func (n *nesting) begin(column, keys int) {
	if len(n.brackets) > 0 {
		n.chain++
		return
	}
	for len(n.blocks) > 0 && n.blocks[len(n.blocks)-1].column > column {
		n.blocks = n.blocks[:len(n.blocks)-1]
	}
	if last := len(n.blocks) - 1; last >= 0 && n.blocks[last].column == column {
		n.blocks[last].keys += keys
		return
	}
	n.blocks = append(n.blocks, block{column, keys})
}

// keyColumn is the column of the key before a colon.
func keyColumn(colon *token.Token) int {
	if key := colon.Prev; key != nil && key.Position != nil && key.Position.Line == colon.Position.Line {
		return key.Position.Column
	}
	return colon.Position.Column
}
