package pages

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
	"pgregory.net/rapid"
	"rsc.io/qr/coding"
)

// A code is drawn, painted in picture points and read again by a reader that
// shares nothing with what drew it.

// painted paints the runs of a code's path, each mark so many points wide.
func painted(t interface{ Fatalf(string, ...any) }, path string, side, wide int) *image.Gray {
	img := image.NewGray(image.Rect(0, 0, side*wide, side*wide))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	for _, run := range strings.SplitAfter(path, "z") {
		var x, y, n, back int
		if run == "" {
			continue
		}
		if _, err := fmt.Sscanf(run, "M%d %dh%dv1h-%dz", &x, &y, &n, &back); err != nil || n != back || n < 1 {
			t.Fatalf("a run that is no bar: %q, %v", run, err)
		}
		for px := x * wide; px < (x+n)*wide; px++ {
			for py := y * wide; py < (y+1)*wide; py++ {
				if !(image.Point{px, py}).In(img.Rect) {
					t.Fatalf("a run beyond the drawing: %q", run)
				}
				img.SetGray(px, py, color.Gray{})
			}
		}
	}
	return img
}

// scanned is what the reader makes of a picture of a code. Marks that happen to
// look like a corner lead it astray about once in thirty codes held straight;
// turned a little, as a hand does, it finds them.
func scanned(img *image.Gray) (text string, err error) {
	for _, degrees := range []float64{0, 7, -4, 11} {
		var bitmap *gozxing.BinaryBitmap
		if bitmap, err = gozxing.NewBinaryBitmapFromImage(turned(img, degrees)); err != nil {
			return "", err
		}
		var found *gozxing.Result
		// Without hints: nobody tells a reader that it is UTF-8.
		if found, err = qrcode.NewQRCodeReader().DecodeWithoutHints(bitmap); err == nil {
			return found.GetText(), nil
		}
	}
	return "", err
}

// turned is a picture turned about its middle, on white.
func turned(img *image.Gray, degrees float64) *image.Gray {
	if degrees == 0 {
		return img
	}
	side := img.Rect.Dx()
	to := image.NewGray(image.Rect(0, 0, side*5/4, side*5/4))
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	middle, was := float64(to.Rect.Dx())/2, float64(side)/2
	for y := range to.Rect.Dy() {
		for x := range to.Rect.Dx() {
			dx, dy := float64(x)-middle, float64(y)-middle
			from := image.Point{int(math.Floor(cos*dx + sin*dy + was)), int(math.Floor(cos*dy - sin*dx + was))}
			shade := color.Gray{Y: 255}
			if from.In(img.Rect) {
				shade = img.GrayAt(from.X, from.Y)
			}
			to.SetGray(x, y, shade)
		}
	}
	return to
}

func TestACodeIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := textOf(t, rapid.SampledFrom([]int{1, 50, 200, 400, 600, 700, 800, mostCoded}).Draw(t, "bytes"))
		c := encoded(text)
		if c == nil {
			t.Fatalf("%d bytes are in no code", len(text))
		}
		if c.Size > 17+4*largestCode {
			t.Fatalf("%d marks a side", c.Size)
		}
		got, err := scanned(painted(t, marks(c), c.Size+8, 3))
		if err != nil || got != text {
			t.Fatalf("%v: read %q, drawn %q", err, got, text)
		}
	})
}

// textOf is a text of so many bytes, in letters that need one byte or more.
func textOf(t *rapid.T, bytes int) string {
	var b strings.Builder
	letter := rapid.SampledFrom([]rune("abcxyz ABCXYZ 0123456789 %:.,-_/+\n éعनあ"))
	for b.Len() < bytes {
		if r := letter.Draw(t, "letter"); b.Len()+utf8.RuneLen(r) <= bytes {
			b.WriteRune(r)
		}
	}
	return b.String()
}

func TestATextTooLongIsInNoCode(t *testing.T) {
	for _, c := range []struct {
		bytes int
		fits  bool
	}{{1, true}, {mostCoded, true}, {mostCoded + 1, false}, {5000, false}} {
		if got := encoded(strings.Repeat("x", c.bytes)) != nil; got != c.fits {
			t.Errorf("%d bytes in a code: %v", c.bytes, got)
		}
	}
	if mostCoded != 858 { // ISO/IEC 18004, table 7: version 20, level L, bytes
		t.Errorf("a code holds %d bytes", mostCoded)
	}
}

// A code that lost marks is read, or nothing is: never another text. Level L
// mends 7 in 100.
func TestADamagedCodeIsReadOrNotAtAll(t *testing.T) {
	text := strings.Repeat("lidocaine 1% plain: 10 mL 100 mg 12:15\n", 21)
	c := encoded(text)
	clean := painted(t, marks(c), c.Size+8, 4)
	read := 0
	for _, spot := range []int{0, 10, 20, 40, 80, 120, 160, 200} { // points across, in the middle
		img := &image.Gray{Pix: append([]byte(nil), clean.Pix...), Stride: clean.Stride, Rect: clean.Rect}
		for i := range spot * spot {
			img.SetGray(img.Rect.Dx()/2+i%spot, img.Rect.Dy()/2+i/spot, color.Gray{})
		}
		got, err := scanned(img)
		switch {
		case err == nil && got != text:
			t.Fatalf("a spot of %d: read as another text: %q", spot, got)
		case err == nil:
			read++
		case spot == 0:
			t.Fatal(err)
		}
	}
	if read < 3 || read == 8 {
		t.Errorf("%d of 8 were read: the spots try nothing", read)
	}
}

// Where the level can mend more at the same size it does.
func TestIdleRoomMends(t *testing.T) {
	for text, want := range map[string]coding.Level{strings.Repeat("x", 44): coding.H, strings.Repeat("x", 106): coding.L} { // ISO/IEC 18004, table 7: version 5
		if got := strongest(text, 5); got != want {
			t.Errorf("%d bytes in version 5: level %v, wanted %v", len(text), got, want)
		}
	}
}

// runEnd is where a run ends, 0 for none.
func runEnd(run string) int {
	var x, y, n int
	if _, err := fmt.Sscanf(run, "M%d %dh%d", &x, &y, &n); err != nil {
		return 0
	}
	return x + n
}
