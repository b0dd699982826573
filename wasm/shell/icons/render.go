// Command icons draws the app's SVG icons as the PNG files that phones ask for
// when they install it. Run it when a drawing has changed:
//
//	cd wasm/shell/icons && go run .
//
// It needs Chromium, whose drawing differs a little from version to version:
// the pictures are kept in the repository and are not compared.
package main

import (
	"context"
	"encoding/base64"
	"fmt"
	"os"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

var pictures = []struct {
	from, to string
	size     int64
}{
	{"icon.svg", "icon-192.png", 192},
	{"icon.svg", "icon-512.png", 512},
	{"icon-maskable.svg", "icon-maskable-512.png", 512},
}

func main() {
	ctx, stop := chromedp.NewContext(context.Background(), chromedp.WithAllocatorOptions(chromedp.NoSandbox))
	defer stop()
	for _, p := range pictures {
		if err := render(ctx, p.from, p.to, p.size); err != nil {
			fmt.Fprintf(os.Stderr, "icons: drawing %s: %v\n", p.to, err)
			os.Exit(1)
		}
	}
}

// render shows the drawing alone on a transparent page and takes its picture.
func render(ctx context.Context, from, to string, size int64) error {
	svg, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	page := fmt.Sprintf(`<style>html,body{margin:0;background:transparent}img{display:block;width:%dpx}</style><img src="data:image/svg+xml;base64,%s">`,
		size, base64.StdEncoding.EncodeToString(svg))
	err = chromedp.Do(ctx,
		chromedp.EmulateViewport(size, size),
		clear,
		chromedp.Navigate("data:text/html;base64,"+base64.StdEncoding.EncodeToString([]byte(page))),
		chromedp.WaitReady("img"),
	)
	if err != nil {
		return err
	}
	png, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err != nil {
		return err
	}
	return os.WriteFile(to, png, 0o644)
}

// clear lets the corners round an icon stay transparent.
func clear(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
	_, err := cdp.Call(ctx, t, emulation.SetDefaultBackgroundColorOverride,
		emulation.SetDefaultBackgroundColorOverrideParams{Color: &cdp.RGBA{}})
	return chromedp.Void{}, err
}
