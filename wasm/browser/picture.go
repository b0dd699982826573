package browser

import (
	"bytes"
	"cmp"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"maps"
	"slices"

	"github.com/chromedp/chromedp"
)

// Picture is what the tab shows now, as a small PNG.
func (b *Tab) Picture() []byte {
	b.Helper()
	seen, err := png.Decode(bytes.NewReader(Get(b, chromedp.CaptureScreenshot())))
	if err != nil {
		b.Fatalf("the browser's picture cannot be read: %v", err)
	}
	var out bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestCompression}
	if err := encoder.Encode(&out, paletted(seen, 128)); err != nil {
		b.Fatalf("%v", err)
	}
	return out.Bytes()
}

// Whole is Picture of the whole page, on a phone as high as the page is long.
func (b *Tab) Whole() []byte {
	b.Helper()
	width, height := Ask[int](b, "innerWidth"), Ask[int](b, "innerHeight")
	defer b.Phone(width, height)
	b.Phone(width, Ask[int](b, "scrollTo(0, 0), document.documentElement.scrollHeight"))
	return b.Picture()
}

// paletted draws a picture with its most frequent colours alone. A screen has
// a few, and their mixtures at the edges of letters.
func paletted(seen image.Image, most int) image.Image {
	count := map[color.RGBA]int{}
	for y := seen.Bounds().Min.Y; y < seen.Bounds().Max.Y; y++ {
		for x := seen.Bounds().Min.X; x < seen.Bounds().Max.X; x++ {
			count[color.RGBAModel.Convert(seen.At(x, y)).(color.RGBA)]++
		}
	}
	frequent := slices.SortedFunc(maps.Keys(count), func(a, b color.RGBA) int {
		return cmp.Or(cmp.Compare(count[b], count[a]), cmp.Compare(a.R, b.R), cmp.Compare(a.G, b.G), cmp.Compare(a.B, b.B))
	})
	var palette color.Palette
	for _, c := range frequent[:min(most, len(frequent))] {
		palette = append(palette, c)
	}
	drawn := image.NewPaletted(seen.Bounds(), palette)
	draw.Draw(drawn, drawn.Bounds(), seen, seen.Bounds().Min, draw.Src)
	return drawn
}
