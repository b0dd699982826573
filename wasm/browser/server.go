package browser

import (
	"net/http"
	"net/http/httptest"
	"sync/atomic"

	"fourchette/wasm/serve/static"
)

// A Server gives out one version of the app, and can be given another.
type Server struct {
	URL     string // without a slash at its end
	server  *httptest.Server
	handler atomic.Pointer[http.Handler]
}

// Serve serves a built app at an address of its own until the test ends.
func Serve(t T, b *Built) *Server {
	s := &Server{}
	s.Swap(static.Handler(b.Public))
	s.server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		(*s.handler.Load()).ServeHTTP(w, r)
	}))
	s.URL = s.server.URL
	t.Cleanup(s.Cut)
	return s
}

// Swap answers from now on with another handler: a new version, or one that
// does something wrong.
func (s *Server) Swap(h http.Handler) { s.handler.Store(&h) }

// Cut ends the server as a lost connection would: nothing answers any more.
func (s *Server) Cut() {
	s.server.CloseClientConnections()
	s.server.Close()
}
