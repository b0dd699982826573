package browser

import (
	"net/http"
	"net/http/httptest"
	"sync"
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
	s.server = fresh(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		(*s.handler.Load()).ServeHTTP(w, r)
	}))
	s.URL = s.server.URL
	t.Cleanup(s.Cut)
	return s
}

// used are the addresses that this process has served at.
var used sync.Map

// fresh serves at an address that nothing was served at before. The system
// gives out a port anew once it is free, and at the address of a test that has
// ended the browser still holds that test's records and service worker.
func fresh(h http.Handler) *httptest.Server {
	for {
		s := httptest.NewServer(h)
		if _, before := used.LoadOrStore(s.URL, true); !before {
			return s
		}
		defer s.Close() // held until another is found, or it is given out again
	}
}

// Swap answers from now on with another handler: a new version, or one that
// does something wrong.
func (s *Server) Swap(h http.Handler) { s.handler.Store(&h) }

// Cut ends the server as a lost connection would: nothing answers any more.
func (s *Server) Cut() {
	s.server.CloseClientConnections()
	s.server.Close()
}
