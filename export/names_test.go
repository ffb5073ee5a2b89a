package export

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFileNamesAreSafeAndDifferent(t *testing.T) {
	require.Equal(t,
		[]string{"battery", "battery-2", "38-ah-block", "box", "box-2", "a-b", "battery-2-2", "box-3"},
		FileNames([]string{"battery", "Battery", "38 Ah block", "電池", "../..", "a/b\\", "battery 2", ""}))
	long := FileNames([]string{"0123456789012345678901234567890123456789-and-more"})
	require.Equal(t, []string{"0123456789012345678901234567890123456789"}, long)
}
