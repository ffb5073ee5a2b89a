package strict_test

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/frame/strict"
	"rackwright/geom"
)

// thing is a file of every kind of value.
type thing struct {
	Name   strict.Name     `yaml:"name"`
	Units  string          `yaml:"units,omitempty"`
	Length strict.Length   `yaml:"length,omitempty"`
	Mass   strict.Mass     `yaml:"mass,omitempty"`
	Count  *int            `yaml:"count,omitempty"`
	Ratio  float64         `yaml:"ratio,omitempty"`
	On     bool            `yaml:"on,omitempty"`
	Across *strict.Across  `yaml:"across,omitempty"`
	Points []strict.Point2 `yaml:"points,omitempty"`
	Words  strict.Words    `yaml:"words,omitempty"`
	Tilts  strict.Numbers  `yaml:"tilts,omitempty"`
	Parts  []part          `yaml:"parts,omitempty"`
	Swell  float64         `yaml:"swell_mm,omitempty"`
}

type part struct {
	Size strict.Length `yaml:"size"`
	Note string        `yaml:"note,omitempty"`
}

func read(text string) (thing, error) {
	var v thing
	err := strict.Read("f.yaml", strings.NewReader(text), &v, func(*strict.Decoder) {})
	return v, err
}

// want is where an error stands and what it breaks.
type want struct {
	line, column int
	rule         strict.Rule
}

func wanted(err error) []want {
	var all strict.Errors
	var got []want
	if errors.As(err, &all) {
		for _, e := range all {
			got = append(got, want{e.Line, e.Column, e.Rule})
		}
	}
	return got
}

func TestWhatIsRefusedAndWhere(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		want []want
	}{
		"unknown key":             {"name: a\nlenght: 1\n", []want{{2, 1, strict.UnknownKey}}},
		"unknown key within":      {"name: a\nparts: [{size: 1, b: 2}]\n", []want{{2, 19, strict.UnknownKey}}},
		"number as a key":         {"name: a\n1: 2\n", []want{{2, 1, strict.UnknownKey}}},
		"repeated key":            {"name: a\nname: a\n", []want{{2, 1, strict.RepeatedKey}}},
		"repeated key of JSON":    {`{"name": "a", "name": "a"}`, []want{{1, 15, strict.RepeatedKey}}},
		"key in quotes, repeated": {"name: a\n\"name\": a\n", []want{{2, 1, strict.RepeatedKey}}},
		"missing key":             {"length: 1\n", []want{{1, 1, strict.MissingKey}}},
		"missing key within":      {"name: a\nparts:\n  - note: b\n", []want{{3, 5, strict.MissingKey}}},
		"text for a number":       {"name: a\nratio: much\n", []want{{2, 8, strict.WrongType}}},
		"quotes for a number":     {"name: a\nratio: \"1\"\n", []want{{2, 8, strict.WrongType}}},
		"number for text":         {"name: 12\n", []want{{1, 7, strict.WrongType}}},
		"yes for true":            {"name: a\non: yes\n", []want{{2, 5, strict.WrongType}}},
		"1 for true":              {"name: a\non: 1\n", []want{{2, 5, strict.WrongType}}},
		"list for a mapping":      {"- name: a\n", []want{{1, 1, strict.WrongType}}},
		"word for a mapping":      {"name", []want{{1, 1, strict.WrongType}}},
		"mapping for a list":      {"name: a\nparts: {size: 1}\n", []want{{2, 8, strict.WrongType}}},
		"null for a file":         {"null\n", []want{{1, 1, strict.WrongType}}},
		"null for a number":       {"name: a\nratio: null\n", []want{{2, 8, strict.WrongType}}},
		"~ for a length":          {"name: a\nlength: ~\n", []want{{2, 9, strict.WrongType}}},
		"nothing for a mass":      {"name: a\nmass:\ncount: 1\n", []want{{2, 6, strict.WrongType}}},
		"null for a list":         {"name: a\nparts: null\n", []want{{2, 8, strict.WrongType}}},
		"null in a list":          {"name: a\npoints: [[1, null]]\n", []want{{2, 14, strict.WrongType}}},
		"2.5 for a count":         {"name: a\ncount: 2.5\n", []want{{2, 8, strict.WrongType}}},
		"a count beyond all":      {"name: a\ncount: 1e300\n", []want{{2, 8, strict.OutOfRange}}},
		"hexadecimal":             {"name: a\nratio: 0x10\n", []want{{2, 8, strict.WrongType}}},
		"octal":                   {"name: a\nratio: 0o10\n", []want{{2, 8, strict.WrongType}}},
		"octal to some":           {"name: a\nlength: 0151\n", []want{{2, 9, strict.WrongType}}},
		"octal with a sign":       {"name: a\nratio: -010\n", []want{{2, 8, strict.WrongType}}},
		"underscores":             {"name: a\nratio: 1_000\n", []want{{2, 8, strict.WrongType}}},
		"a decimal comma":         {"name: a\nlength: 7,5\n", []want{{2, 9, strict.WrongType}}},
		"a time":                  {"name: a\nlength: 1:30\n", []want{{2, 9, strict.WrongType}}},
		"NaN":                     {"name: a\nratio: .nan\nlength: .NaN\nmass: NaN\n", []want{{2, 8, strict.WrongType}, {3, 9, strict.WrongType}, {4, 7, strict.WrongType}}},
		"infinite":                {"name: a\nratio: .inf\nlength: -.inf\nmass: inf\n", []want{{2, 8, strict.WrongType}, {3, 9, strict.WrongType}, {4, 7, strict.WrongType}}},
		"1e300":                   {"name: a\nlength: 1e300\nmass: 1e300\n", []want{{2, 9, strict.OutOfRange}, {3, 7, strict.OutOfRange}}},
		"1e400":                   {"name: a\nlength: 1e400\nratio: 1e400\n", []want{{2, 9, strict.OutOfRange}, {3, 8, strict.OutOfRange}}},
		"a negative mass":         {"name: a\nmass: -1\n", []want{{2, 7, strict.OutOfRange}}},
		"a width of nothing":      {"name: a\nacross: 0\n", []want{{2, 9, strict.OutOfRange}}},
		"a width turned round":    {"name: a\nacross: [10, -10]\n", []want{{2, 9, strict.OutOfRange}}},
		"a width of three":        {"name: a\nacross: [1, 2, 3]\n", []want{{2, 9, strict.WrongType}}},
		"a point of three":        {"name: a\npoints: [[1, 2, 3]]\n", []want{{2, 10, strict.WrongType}}},
		"an unknown unit":         {"name: a\nlength: 3 ft\n", []want{{2, 9, strict.WrongType}}},
		"an empty name":           {"name: \"\"\n", []want{{1, 7, strict.BadName}}},
		"a name of spaces":        {"name: \" a\"\n", []want{{1, 7, strict.BadName}}},
		"a long name":             {"name: " + strings.Repeat("a", 61) + "\n", []want{{1, 7, strict.BadName}}},
		"an escape in a name":     {"name: \"a\\e[31m\"\n", []want{{1, 7, strict.BadName}}},
		"a bell in a name":        {"name: \"a\\a\"\n", []want{{1, 7, strict.BadName}}},
		"a line end in a name":    {"name: \"a\\nb\"\n", []want{{1, 7, strict.BadName}}},
		"C1 control in a name":    {"name: \"a\\x9b31m\"\n", []want{{1, 7, strict.BadName}}},
		"bidi in a name":          {"name: \"a\\u202Eb\"\n", []want{{1, 7, strict.BadName}}},
		"bidi as it is":           {"name: a\u2066b\n", []want{{1, 7, strict.BadName}}},
		"zero width in a name":    {"name: \"a\\u200Bb\"\n", []want{{1, 7, strict.BadName}}},
		"a filler in a name":      {"name: \"\u3164\"\n", []want{{1, 7, strict.BadName}}},
		"a hard space in a name":  {"name: \"a\\u00A0b\"\n", []want{{1, 7, strict.BadName}}},
		"a control character":     {"name: a\n# \x1b[2J\n", []want{{2, 3, strict.Syntax}}},
		"a zero byte":             {"name: a\x00\n", []want{{1, 8, strict.Syntax}}},
		"delete":                  {"name: a\n\x7f\n", []want{{2, 1, strict.Syntax}}},
		"not UTF-8":               {"name: \xff\n", []want{{1, 1, strict.Syntax}}},
		"UTF-16":                  {"\xff\xfen\x00a\x00", []want{{1, 1, strict.Syntax}}},
		"nothing":                 {"", []want{{1, 1, strict.MissingKey}}},
		"only a comment":          {"# nothing\n", []want{{1, 1, strict.MissingKey}}},
		"a second document":       {"name: a\n---\nname: b\n", []want{{2, 1, strict.Forbidden}}},
		"an empty one":            {"name: a\n---\n", []want{{2, 1, strict.Forbidden}}},
		"many":                    {strings.Repeat("---\n", 9999), []want{{2, 1, strict.Forbidden}}},
		"one after an end":        {"name: a\n...\nname: b\n", []want{{3, 1, strict.Forbidden}}},
		"a directive":             {"%YAML 1.2\n---\nname: a\n", []want{{1, 1, strict.Forbidden}, {2, 1, strict.Forbidden}}},
		"an anchor":               {"name: &a b\n", []want{{1, 7, strict.Forbidden}}},
		"an anchor at a key":      {"&a name: b\n", []want{{1, 1, strict.Forbidden}}},
		"an alias":                {"name: *a\n", []want{{1, 7, strict.Forbidden}}},
		"anchor, alias and tag":   {"name: &a b\nlength: *a\nratio: !!float 1\n", []want{{1, 7, strict.Forbidden}, {2, 9, strict.Forbidden}, {3, 8, strict.Forbidden}}},
		"a tag at a key":          {"!!str name: a\n", []want{{1, 1, strict.Forbidden}}},
		"a merge key":             {"name: a\n<<: {length: 1}\n", []want{{2, 1, strict.Forbidden}}},
		"a long key":              {"? name\n: a\n", []want{{1, 1, strict.Forbidden}}},
		"a tab":                   {"name: a\nparts:\n\t- size: 1\n", []want{{3, 1, strict.Syntax}}},
		"an open bracket":         {"name: a\npoints: [[1, 2]\n", []want{{2, 9, strict.Syntax}}},
		"a bracket too many":      {"name: a\npoints: [[1, 2]]]\n", []want{{2, 17, strict.Syntax}}},
		"brackets that cross":     {"name: a\npoints: [{1, 2]}\n", []want{{2, 15, strict.Syntax}}},
		"an open quote":           {"name: \"a\n", []want{{1, 7, strict.Syntax}}},
		"after letters of others": {"name: \"é漢\" # ü\nparts: [{size: 1, note: \"漢\", b: 1}]\n", []want{{2, 30, strict.UnknownKey}}},
		"after Windows lines":     {"name: a\r\n\r\nlenght: 1\r\n", []want{{3, 1, strict.UnknownKey}}},
		"after old Mac lines":     {"name: a\r\rlenght: 1\r", []want{{3, 1, strict.UnknownKey}}},
		"after text of lines":     {"name: >-\n  a\n  b\nlenght: 1\n", []want{{4, 1, strict.UnknownKey}}},
		"all at once": {
			"lenght: 1\nlength: two\nparts:\n  - size: null\n  - note: a\n  - {size: 1, size: 1}\ncount: 1.5\n",
			[]want{
				{1, 1, strict.UnknownKey},
				{1, 1, strict.MissingKey},
				{2, 9, strict.WrongType},
				{4, 11, strict.WrongType},
				{5, 5, strict.MissingKey},
				{6, 15, strict.RepeatedKey},
				{7, 8, strict.WrongType},
			},
		},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := read(c.text)
			require.Equal(t, c.want, wanted(err), "%v", err)
			requireShown(t, c.text, err)
		})
	}
}

// requireShown checks that every error gives its place, its line and a mark under the
// column, and nothing that a terminal would act on.
func requireShown(t *testing.T, text string, err error) {
	t.Helper()
	lines := strings.Split(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text), "\n")
	var all strict.Errors
	require.ErrorAs(t, err, &all)
	for _, e := range all {
		if e.Source != "" {
			require.Equal(t, lines[e.Line-1], e.Source)
			shown := strings.Split(e.Error(), "\n")
			require.Len(t, shown, 3)
			require.Equal(t, e.Column-1+4, strings.Index(shown[2], "^"))
		}
		require.Contains(t, err.Error(), fmt.Sprintf("f.yaml:%d:%d: %s", e.Line, e.Column, e.Text))
	}
	for _, r := range err.Error() {
		require.True(t, r == '\n' || strict.CanShow(r), "%q in %q", r, err.Error())
	}
}

func TestWhatIsRead(t *testing.T) {
	two := 2
	for name, c := range map[string]struct {
		text string
		want thing
	}{
		"plain":            {"name: a", thing{Name: "a"}},
		"JSON":             {`{"name": "a", "length": 1e1, "count": 2}`, thing{Name: "a", Length: 10, Count: &two}},
		"with a mark":      {"\ufeffname: a\n", thing{Name: "a"}},
		"document markers": {"---\nname: a\n...\n", thing{Name: "a"}},
		"Windows lines":    {"name: a\r\nlength: 1\r\n", thing{Name: "a", Length: 1}},
		"numbers": {
			"name: a\nlength: +1.5\nratio: -.5\ntilts: [1., 0, -7.25]\n",
			thing{Name: "a", Length: 1.5, Ratio: -0.5, Tilts: strict.Numbers{1, 0, -7.25}},
		},
		"one for a list": {"name: a\ntilts: 12\nwords: on-end\n", thing{Name: "a", Tilts: strict.Numbers{12}, Words: strict.Words{"on-end"}}},
		"lengths with units": {
			"name: a\nlength: 7 5/8 in\nacross: [-5 cm, 1/2\"]\npoints: [[19 cm, 0.19 m], ['7.5 in', 1 mm]]\n",
			thing{Name: "a", Length: 193.675, Across: &strict.Across{Right: -50, Left: 12.7}, Points: []strict.Point2{{190, 190}, {190.5, 1}}},
		},
		"inches": {
			"length: 2\nacross: 10\npoints: [[1/2, 10 mm]]\nname: a\nunits: in\n",
			thing{Name: "a", Units: "in", Length: 50.8, Across: &strict.Across{Right: -127, Left: 127}, Points: []strict.Point2{{12.7, 10}}},
		},
		"inches in a block": {"name: a\nunits: >-\n  in\nlength: 1\n", thing{Name: "a", Units: "in", Length: 25.4}},
		"masses":            {"name: a\nmass: 13.2\n", thing{Name: "a", Mass: 13.2}},
		"a mass in grams":   {"name: a\nmass: 500 g\n", thing{Name: "a", Mass: 0.5}},
		"names of others":   {"name: übergroße 漢字 №1\n", thing{Name: "übergroße 漢字 №1"}},
		"the longest name":  {"name: " + strings.Repeat("ü", strict.MaxName) + "\n", thing{Name: strict.Name(strings.Repeat("ü", strict.MaxName))}},
		"empty lists":       {"name: a\nparts: []\n", thing{Name: "a", Parts: []part{}}},
		"brackets in text":  {"name: \"[{\"\nparts: [{size: 1, note: \"]]]\"}]\n", thing{Name: "[{", Parts: []part{{Size: 1, Note: "]]]"}}}},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := read(c.text)
			require.NoError(t, err)
			require.Equal(t, c.want, got)
		})
	}
}

// Each of these is near the largest file. Without the checks before the parser some of
// them took gigabytes, others minutes.
func TestHostileFilesAreRefused(t *testing.T) {
	const n = strict.MaxSize - 100
	fill := func(text string) string { return strings.Repeat(text, n/len(text)) }
	steps := func(text string) string {
		var b strings.Builder
		for i := 0; b.Len() < n-1000; i++ {
			b.WriteString(strings.Repeat(" ", i) + text)
		}
		return b.String()
	}
	numbered := func(format string) string {
		var b strings.Builder
		for i := 0; b.Len() < n-20; i++ {
			fmt.Fprintf(&b, format, i)
		}
		return b.String()
	}
	for _, text := range []string{
		fill("["), fill("{"), fill("]"), fill("}"), fill("- "), fill("? "), fill("a: "), fill("- a: "), fill("[a: "), fill("{a: "),
		fill("&a "), fill("*a "), fill("!a "), fill("["), fill(`["]",`), fill(`{"}":`), "a: " + fill("]") + "\nb: ", `a: "` + fill("]}") + `"` + "\nb: " + strings.Repeat("[", 50),
		"name: \"" + strings.Repeat("]", n/2) + "\"\nlength: " + strings.Repeat("[", n/2-20),
		"[" + fill("1, "), "[" + fill("a: b: "), "{" + fill("a: 1, ") + "}", "[" + fill("- "), "[" + fill("? "), fill("-\n"), fill("-\n?\n"),
		steps("a:\n"), steps("-\n"), steps("- a:\n"), numbered("k%d: 1\n"), "{" + numbered("k%d: 1, ") + "}",
		fill("\n"), fill("a\n"), fill("a:\n"), fill("- a\n"), fill("---\n"), fill("...\n"), fill("#\n"), fill("|\n"), fill("a: |\n"), fill("%a\n"), fill("<<: \n"),
		"\"" + fill("\\"), "'" + fill("''"), "\"" + fill("\n") + "\"", "a: >\n" + fill(" x\n"), fill("\t"), fill("\r"), fill(" "), fill(":"), fill(": "), fill(","),
		"length: " + fill("1"), "length: 1e" + fill("9"), "name: " + fill("a"), "length: " + fill("1_"), "name: !" + fill("x"), "[" + fill("\n"), fill("\x1b\n"),
		fill("a") + fill("b"),
	} {
		_, err := read(text)
		var all strict.Errors
		require.ErrorAs(t, err, &all, "%.20q", text)
		require.Less(t, len(err.Error()), 40_000, "%.20q", text)
	}
}

func TestManyErrorsAreCounted(t *testing.T) {
	_, err := read("name: a\nparts: [" + strings.Repeat("{b: 1},", 100) + "]")
	var all strict.Errors
	require.ErrorAs(t, err, &all)
	require.Len(t, all, 51)
	require.Equal(t, strict.NotTold, all[50].Rule)
	require.Contains(t, all[50].Text, "150", "an unknown and a missing key each")
}

func TestLimitsOfFiles(t *testing.T) {
	text := func(size int) string { return "name: a\n#" + strings.Repeat("x", size-9) }
	_, err := read(text(strict.MaxSize))
	require.NoError(t, err)
	_, err = read(text(strict.MaxSize + 1))
	require.Equal(t, []want{{1, 1, strict.TooLarge}}, wanted(err))

	deep := func(n int) string { return "name: a\nparts: " + strings.Repeat("[", n) + strings.Repeat("]", n) }
	_, err = read(deep(strict.MaxDepth - 1))
	require.Equal(t, []want{{2, 9, strict.WrongType}}, wanted(err), "not too deep, only wrong")
	_, err = read(deep(strict.MaxDepth))
	require.Equal(t, []want{{2, 7 + strict.MaxDepth, strict.TooLarge}}, wanted(err))

	_, err = read("name: a\nparts: [" + strings.Repeat("{size: 1},", 4096) + "]")
	require.NoError(t, err)
	_, err = read("name: a\nparts: [" + strings.Repeat("{size: 1},", 4097) + "]")
	require.Equal(t, []want{{2, 8, strict.TooLarge}}, wanted(err))

	keys := func(n int) string { return "name: a\n" + strings.Repeat("b: 1\n", n-1) }
	_, err = read(keys(64))
	require.Equal(t, want{2, 1, strict.UnknownKey}, wanted(err)[0])
	_, err = read(keys(65))
	require.Equal(t, []want{{65, 2, strict.TooLarge}}, wanted(err))

	for text, ok := range map[string]bool{
		"length: 16000": true, "length: -16 m": true, "length: 16000.1": false, "length: 630 in": false, "length: -16001": false,
		"mass: 5000": true, "mass: 5000.1": false, "mass: 0": true,
	} {
		_, err := read("name: a\n" + text)
		require.Equal(t, ok, err == nil, text)
	}
}

// A check sees what could be read, and its errors come with those of reading, but none
// that only follow from them.
func TestChecksOfFaultyFiles(t *testing.T) {
	var v thing
	err := strict.Read("f.yaml", strings.NewReader("name: a\nlength: -1\nratio: much\nparts: [{note: b}, {size: 3}]\n"), &v, func(d *strict.Decoder) {
		require.True(t, d.Sound(&v.Length, &v.Parts[1].Size))
		require.False(t, d.Sound(&v.Length, &v.Ratio))
		require.False(t, d.Sound(&v.Parts), "an error is within")
		require.False(t, d.Sound(&v.Mass), "there is no telling")
		require.True(t, d.Given(&v.Ratio))
		require.False(t, d.Given(&v.Mass))
		d.At(&v.Length, strict.OutOfRange, "less than nothing")
		d.At(&v.Ratio, strict.OutOfRange, "not to be told")
		d.At(&v.Parts[0].Size, strict.OutOfRange, "not to be told")
		d.At(&v.Mass, strict.OutOfRange, "not to be told")
		d.At(&v.Mass, strict.MissingKey, "a mass is needed")
		d.At(&v.Parts[1].Size, strict.BadValue, "three is unlucky")
	})
	require.Equal(t, []want{
		{1, 1, strict.MissingKey},
		{2, 9, strict.OutOfRange},
		{3, 8, strict.WrongType},
		{4, 9, strict.MissingKey},
		{4, 27, strict.BadValue},
	}, wanted(err), "%v", err)
}

func TestFileNamesAreShownSafely(t *testing.T) {
	var v thing
	err := strict.Read("a\x1b[31m\u202e.yaml", strings.NewReader("x"), &v, func(*strict.Decoder) {})
	require.NotContains(t, err.Error(), "\x1b")
	require.NotContains(t, err.Error(), "\u202e")
}

func TestSuggestions(t *testing.T) {
	_, err := read("name: a\nlenght: 1\n")
	require.ErrorContains(t, err, `"lenght" is no key here; did you mean length?`)
	_, err = read("nmae: a")
	require.Equal(t, []want{{1, 1, strict.UnknownKey}}, wanted(err), "that name is missing is not told as well")
	_, err = read("name: a\nswell: 1\n")
	require.ErrorContains(t, err, "did you mean swell_mm?")
	_, err = read("{name 5, on: true}")
	require.ErrorContains(t, err, "is the colon missing after name?")
	_, err = read("name: a\ncolour: 1\n")
	require.ErrorContains(t, err, `"colour" is no key here; known are name, units,`)
}

func TestHashIsThatOfTheBytes(t *testing.T) {
	text := "\ufeffname: a\r\n"
	var v thing
	var hash string
	require.NoError(t, strict.Read("f.yaml", strings.NewReader(text), &v, func(d *strict.Decoder) { hash = d.Hash }))
	sum := sha256.Sum256([]byte(text))
	require.Equal(t, hex.EncodeToString(sum[:]), hash)
}

func TestReadersThatFail(t *testing.T) {
	broken := errors.New("the disk is broken")
	var v thing
	err := strict.Read("f\x1b.yaml", io.MultiReader(strings.NewReader("name: "), failing{broken}), &v, func(*strict.Decoder) {})
	require.ErrorIs(t, err, broken)
	require.NotContains(t, err.Error(), "\x1b")
}

type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }

func TestUnitIsKnownBeforeLengths(t *testing.T) {
	var v thing
	require.NoError(t, strict.Read("f.yaml", strings.NewReader("length: 1\nname: a\nunits: in\n"), &v, func(d *strict.Decoder) {
		require.Equal(t, geom.Inch, d.Unit)
	}))
	require.Equal(t, strict.Length(25.4), v.Length)
}

// What those who do not know YAML get wrong first is told in their words.
func TestHintsForThoseNewToYAML(t *testing.T) {
	for text, hint := range map[string]string{
		"name: a\nlength 5\non: true":  "is the colon missing",
		"name: a\nlength:5\non: true":  "the blank after the colon",
		"name: a: b":                   "Text with a colon in it goes in quotes",
		"name: \"a":                    "is the closing quote missing",
		"name: a\nwords: [b\non: true": "is a comma or a closing bracket missing",
		"name: a\npoints: [[1, 2,5]]":  "not of 3 (decimals have a point",
		"name: a\npoints: [[1 2]]":     "not of 1 (a comma goes between",
		"name: a\npoints: [7]":         "not 7",
	} {
		_, err := read(text)
		require.ErrorContains(t, err, hint, text)
	}
}
