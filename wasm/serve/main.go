// Command serve builds the web app and serves it on this machine.
//
//	go run ./wasm/serve              build, then serve on http://localhost:8080
//	PORT=9000 go run ./wasm/serve    the same on another port
//	go run ./wasm/serve -build-only  build into wasm/.site and stop
//
// Package site builds, package static answers requests; here the two are only
// put together.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"fourchette/wasm/serve/site"
	"fourchette/wasm/serve/static"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Args[1:], os.Getenv("PORT")); err != nil {
		fmt.Fprintln(os.Stderr, "serve:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, args []string, port string) error {
	flags := flag.NewFlagSet("serve", flag.ExitOnError)
	buildOnly := flags.Bool("build-only", false, "build and stop")
	pseudo := flags.Bool("pseudo", false, "build the two pseudo-languages too (for tests)")
	fault := flags.Bool("fault", false, "add a way to make the Go program panic (for tests)")
	out := flags.String("out", "", "build into this folder instead of wasm/.site")
	flags.Parse(args)

	repo, err := repository(ctx)
	if err != nil {
		return err
	}
	if *out == "" {
		*out = filepath.Join(repo, "wasm", ".site")
	}
	var listener net.Listener
	if !*buildOnly { // a taken port is said before the build, not after it
		if listener, err = listen(port); err != nil {
			return err
		}
		defer listener.Close()
	}
	built, err := site.Build(ctx, site.Options{Repo: repo, Out: *out, Pseudo: *pseudo, Fault: *fault})
	if err != nil {
		return err
	}
	fmt.Printf("built version %s in %s\n", built.Version, *out)
	if *buildOnly {
		return nil
	}
	fmt.Printf("serving http://localhost:%d (stop with Ctrl-C)\n", listener.Addr().(*net.TCPAddr).Port)
	return serve(ctx, listener, static.Handler(site.Public(*out)))
}

// repository finds the root of the module that this command stands in.
func repository(ctx context.Context) (string, error) {
	out, err := exec.CommandContext(ctx, "go", "env", "GOMOD").Output()
	if err != nil {
		return "", fmt.Errorf("asking go for the module: %w", err)
	}
	mod := strings.TrimSpace(string(out))
	if mod == "" || mod == os.DevNull {
		return "", errors.New("this is not a folder of the repository: run it from there")
	}
	return filepath.Dir(mod), nil
}

// listen takes the port on this machine only. An empty port is 8080.
func listen(port string) (net.Listener, error) {
	if port == "" {
		port = "8080"
	}
	l, err := net.Listen("tcp", net.JoinHostPort("localhost", port))
	if errors.Is(err, syscall.EADDRINUSE) {
		return nil, fmt.Errorf("port %s is taken by another program: stop that one, or choose another port, for example PORT=8081", port)
	}
	if err != nil {
		return nil, fmt.Errorf("port %q cannot be used, choose a number such as PORT=8081: %w", port, err)
	}
	return l, nil
}

// serve answers until the context ends.
func serve(ctx context.Context, l net.Listener, h http.Handler) error {
	server := &http.Server{Handler: h, ReadHeaderTimeout: 10 * time.Second}
	context.AfterFunc(ctx, func() { server.Close() })
	if err := server.Serve(l); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}
