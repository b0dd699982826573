package shelltest

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"fourchette/wasm/serve/site"
	"fourchette/wasm/serve/static"
)

// The two versions of the app that all tests share: built once, because each
// takes some seconds. The second differs from the first in its languages only.
var first, second *built

type built struct {
	site   *site.Site
	public string
}

func TestMain(m *testing.M) {
	os.Exit(run(m))
}

func run(m *testing.M) int {
	dir, err := os.MkdirTemp("", "shelltest-")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	first = build(dir, site.Options{Fault: true})
	second = build(dir, site.Options{Fault: true, Pseudo: true})
	return m.Run()
}

func build(dir string, o site.Options) *built {
	repo, err := filepath.Abs("../../..")
	if err != nil {
		panic(err)
	}
	o.Repo, o.Out = repo, filepath.Join(dir, fmt.Sprintf("pseudo-%t", o.Pseudo))
	s, err := site.Build(context.Background(), o)
	if err != nil {
		panic(err)
	}
	return &built{site: s, public: site.Public(o.Out)}
}

// server gives out one version of the app and can be given another.
type server struct {
	*httptest.Server
	handler atomic.Pointer[http.Handler]
}

func serve(t *testing.T, b *built) *server {
	s := &server{}
	s.give(static.Handler(b.public))
	s.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		(*s.handler.Load()).ServeHTTP(w, r)
	}))
	t.Cleanup(s.cut)
	return s
}

func (s *server) give(h http.Handler) { s.handler.Store(&h) }

// cut ends the server as a lost connection would: nothing answers any more.
func (s *server) cut() {
	s.CloseClientConnections()
	s.Close()
}

// tab is one tab of a browser that begins without any history.
type tab struct {
	*testing.T
	ctx context.Context
}

func open(t *testing.T, options ...chromedp.ExecAllocatorOption) *tab {
	t.Helper()
	options = append([]chromedp.ExecAllocatorOption{
		chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun, chromedp.WindowSize(360, 740),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
	}, options...)
	ctx, stop := chromedp.NewContext(context.Background(), chromedp.WithAllocatorOptions(options...))
	t.Cleanup(stop)
	if err := chromedp.Do(ctx); err != nil { // starts the browser, outside any time limit
		t.Fatal(err)
	}
	b := &tab{t, ctx}
	b.watch()
	return b
}

// another opens a second tab of the same browser.
func (b *tab) another() *tab {
	b.Helper()
	ctx, stop := chromedp.NewContext(b.ctx)
	b.Cleanup(stop)
	if err := chromedp.Do(ctx); err != nil {
		b.Fatal(err)
	}
	return &tab{b.T, ctx}
}

// watch keeps, in every page that the tab will show, what the shell sends to
// the worker and what the page's policy had to stop.
func (b *tab) watch() {
	b.Helper()
	const script = `
		window.sent = [];
		const post = Worker.prototype.postMessage;
		Worker.prototype.postMessage = function (m) { window.sent.push(m); return post.call(this, m); };
		window.stopped = [];
		addEventListener('securitypolicyviolation', (e) => window.stopped.push(e.violatedDirective + ' ' + e.blockedURI));
		sessionStorage.loads = Number(sessionStorage.loads ?? 0) + 1;`
	b.inject(script)
}

// inject runs a script in every page that the tab will show, before its own.
func (b *tab) inject(script string) {
	b.Helper()
	_, err := chromedp.Call(b.ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
	if err != nil {
		b.Fatal(err)
	}
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	ctx, stop := context.WithTimeout(b.ctx, 30*time.Second)
	defer stop()
	if err := chromedp.Do(ctx, steps...); err != nil {
		b.Fatalf("%v\n%s", err, b.looks())
	}
}

// ask evaluates an expression, or waits for the promise that it gives.
func ask[T any](b *tab, expression string) T {
	b.Helper()
	ctx, stop := context.WithTimeout(b.ctx, 30*time.Second)
	defer stop()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.Fatalf("%s: %v", expression, err)
	}
	return v
}

// until waits for an expression to hold. A page that is being replaced cannot
// answer; it is asked again.
func (b *tab) until(expression string) {
	b.Helper()
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		ctx, stop := context.WithTimeout(b.ctx, 5*time.Second)
		holds, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("Boolean("+expression+")"))
		stop()
		if err == nil && holds {
			return
		}
	}
	b.Fatalf("never came true: %s\n%s", expression, b.looks())
}

// looks tells what a failed test had before its eyes.
func (b *tab) looks() string {
	ctx, stop := context.WithTimeout(b.ctx, 5*time.Second)
	defer stop()
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string](`location.href + '\n' + document.body.innerText.slice(0, 1500)`))
	return fmt.Sprint(text, err)
}

// goTo loads the app at a path, as from a bookmark.
func (b *tab) goTo(s *server, path string) {
	b.Helper()
	b.do(chromedp.Navigate(s.URL + "/#" + path))
	b.at(path)
}

// at waits for the screen of a path.
func (b *tab) at(path string) {
	b.Helper()
	b.until(fmt.Sprintf("document.getElementById('screen').dataset.path === %q", path))
}

// turn goes to another path, as a link does.
func (b *tab) turn(path string) {
	b.Helper()
	ask[string](b, fmt.Sprintf("location.hash = %q", path))
}

// offlineReady waits until the service worker has everything and this page is
// in its care.
func (b *tab) offlineReady() {
	b.Helper()
	b.until("navigator.serviceWorker.controller")
	ask[bool](b, "navigator.serviceWorker.ready.then(() => true)")
}

// tap clicks on the first element that a selector finds, wherever it stands.
func (b *tab) tap(selector string) {
	b.Helper()
	b.do(chromedp.Click(chromedp.CSS(selector)))
}

// changed gives out a version of the app with one text replaced by another in
// the files whose names begin with prefix.
func changed(b *built, prefix, old, new string) http.Handler {
	plain := static.Handler(b.public)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		name := strings.TrimPrefix(r.URL.Path, "/")
		if !strings.HasPrefix(name, prefix) {
			plain.ServeHTTP(w, r)
			return
		}
		content, err := os.ReadFile(filepath.Join(b.public, name))
		if err != nil {
			http.NotFound(w, r)
			return
		}
		r.Header.Del("Accept-Encoding")
		head := httptest.NewRecorder()
		plain.ServeHTTP(head, r)
		for key, values := range head.Header() {
			if key != "Content-Length" {
				w.Header()[key] = values
			}
		}
		w.Header().Set("Cache-Control", "no-store") // the browser must not keep it under the true file's name
		w.Write([]byte(strings.Replace(string(content), old, new, 1)))
	})
}
