package main

import (
	"bufio"
	"fmt"
	"os"
	"strings"
)

// pretendHost speaks the line protocol on standard input and output, well or
// badly, and ends the program.
func pretendHost(behaviour string) {
	if pack, err := os.ReadFile(os.Args[len(os.Args)-1]); err != nil || string(pack) != "pack" {
		os.Exit(3)
	}
	lines := bufio.NewScanner(os.Stdin)
	for lines.Scan() {
		words := strings.Split(lines.Text(), " ")
		switch {
		case behaviour == "die":
			fmt.Fprintln(os.Stderr, "out of breath")
			os.Exit(1)
		case behaviour == "refuse":
			fmt.Println("! not understood")
		case behaviour == "noise":
			fmt.Println("hello there")
		case words[0] == "bench":
			fmt.Println("12.5 " + words[3])
		default:
			fmt.Println(words[1])
		}
	}
	os.Exit(0)
}
