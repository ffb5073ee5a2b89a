package page

import (
	"bytes"
	"image"
	"image/png"
	"time"

	"github.com/go-rod/rod/lib/proto"
	"github.com/stretchr/testify/require"
)

// picture is what the canvas shows when it has been drawn.
func (o *opened) picture() image.Image {
	o.t.Helper()
	r, err := o.Eval(`async () => {
		const canvas = document.querySelector('canvas');
		canvas.scrollIntoView({ block: 'center' });
		await new Promise((r) => requestAnimationFrame(() => requestAnimationFrame(r)));
		const b = canvas.getBoundingClientRect();
		return [b.x + scrollX, b.y + scrollY, b.width, b.height];
	}`)
	require.NoError(o.t, err)
	b := r.Value.Arr()
	shot, err := proto.PageCaptureScreenshot{
		Format: proto.PageCaptureScreenshotFormatPng, OptimizeForSpeed: true,
		Clip: &proto.PageViewport{X: b[0].Num(), Y: b[1].Num(), Width: b[2].Num(), Height: b[3].Num(), Scale: 1},
	}.Call(o)
	require.NoError(o.t, err)
	img, err := png.Decode(bytes.NewReader(shot.Data))
	require.NoError(o.t, err)
	return img
}

// colours counts the different ones.
func colours(img image.Image) int {
	seen := map[[3]uint32]bool{}
	b := img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y += 3 {
		for x := b.Min.X; x < b.Max.X; x += 3 {
			r, g, b, _ := img.At(x, y).RGBA()
			seen[[3]uint32{r, g, b}] = true
		}
	}
	return len(seen)
}

// differences counts the points that are clearly not the same.
func differences(a, b image.Image) int {
	n := 0
	r := a.Bounds()
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			r1, g1, b1, _ := a.At(x, y).RGBA()
			r2, g2, b2, _ := b.At(x, y).RGBA()
			if apart(r1, r2)+apart(g1, g2)+apart(b1, b2) > 0x1800 {
				n++
			}
		}
	}
	return n
}

func apart(a, b uint32) uint32 { return max(a, b) - min(a, b) }

// settle waits until the picture is there.
func (o *opened) settle() {
	o.t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); {
		if colours(o.picture()) > 20 {
			return
		}
	}
	require.Fail(o.t, "the picture stays blank")
}

// enough is how many points of the picture a change moves: the outline of a small part.
const enough = 60

// changes requires that the picture changes after an action, and leaves it at rest.
func (o *opened) changes(what string, do func()) {
	o.t.Helper()
	before := o.picture()
	do()
	for end := time.Now().Add(patience / 3); time.Now().Before(end); {
		if differences(before, o.picture()) >= enough {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
	require.Fail(o.t, "the picture does not change", what)
}
