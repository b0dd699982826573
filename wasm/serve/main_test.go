package main

import (
	"context"
	"io"
	"net"
	"net/http"
	"strconv"
	"strings"
	"testing"
	"time"

	"fourchette/wasm/serve/static"
)

func TestTakenPortIsNamed(t *testing.T) {
	taken, err := net.Listen("tcp", "localhost:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	port := strconv.Itoa(taken.Addr().(*net.TCPAddr).Port)
	began := time.Now()
	err = run(context.Background(), []string{"-out", t.TempDir()}, port)
	if err == nil || !strings.Contains(err.Error(), port) || !strings.Contains(err.Error(), "PORT=") {
		t.Errorf("got %v; wanted an error that names port %s and what to do", err, port)
	}
	if took := time.Since(began); took > 3*time.Second {
		t.Errorf("a taken port was told after %v: it must be told before the build", took)
	}
}

func TestPortThatIsNone(t *testing.T) {
	for _, port := range []string{"eighty", "-1", "70000"} {
		if l, err := listen(port); err == nil || !strings.Contains(err.Error(), strconv.Quote(port)) {
			t.Errorf("port %s: %v, %v; wanted an error that names it", port, l, err)
		}
	}
}

func TestServesUntilStopped(t *testing.T) {
	l, err := listen("0")
	if err != nil {
		t.Fatal(err)
	}
	if host, _, _ := net.SplitHostPort(l.Addr().String()); !net.ParseIP(host).IsLoopback() {
		t.Errorf("listens on %s: only this machine may ask", host)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error)
	go func() { ended <- serve(ctx, l, static.Handler(t.TempDir())) }()
	answer, err := http.Get("http://" + l.Addr().String() + "/")
	if err != nil {
		t.Fatal(err)
	}
	io.Copy(io.Discard, answer.Body)
	answer.Body.Close()
	if answer.StatusCode != http.StatusNotFound {
		t.Errorf("an empty folder answers %d, wanted 404", answer.StatusCode)
	}
	stop()
	if err := <-ended; err != nil {
		t.Errorf("stopping ends with %v", err)
	}
}
