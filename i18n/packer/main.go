// Command packer turns what trainers and translators write into what the
// program reads, and checks it on the way.
//
//	go run ./i18n/packer check          is every translation whole and faithful
//	go run ./i18n/packer sync           bring new and changed English into each language
//	go run ./i18n/packer build -out DIR write the tables and the built-in pack
//	go run ./i18n/packer pseudo -out DIR write two made-up languages for tests
//
// Start with check. The English comes from two places: the words of the screens
// from i18n/tables/en.po, the guidance from i18n/guide/*.yaml, read by source.go.
// Every other i18n/tables/*.po is a translation. check.go says what a
// translation may not do; numbers.go why a figure cannot slip through it.
//
// Build leaves out a text that is missing or stale (the program then shows the
// English, marked) but stops at one that changes a number or a placeholder.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
)

// places are the folders that the commands work on.
type places struct{ tables, guide, out string }

var commands = map[string]func(places, io.Writer) error{
	"build": build, "sync": syncAll, "check": checkAll, "pseudo": pseudo,
}

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(args []string, say io.Writer) error {
	if len(args) == 0 || commands[args[0]] == nil {
		return errors.New("say what to do: packer build, sync, check or pseudo")
	}
	var at places
	flags := flag.NewFlagSet("packer "+args[0], flag.ContinueOnError)
	flags.StringVar(&at.tables, "tables", "i18n/tables", "folder of the PO files")
	flags.StringVar(&at.guide, "guide", "i18n/guide", "folder of the guidance")
	flags.StringVar(&at.out, "out", "", "folder to write compiled files into (build, pseudo)")
	if err := flags.Parse(args[1:]); err != nil {
		return err
	}
	if flags.NArg() > 0 {
		return fmt.Errorf("packer %s takes no %q: see packer %s -help", args[0], flags.Arg(0), args[0])
	}
	return commands[args[0]](at, say)
}

// fault is something that keeps a file from being used, told to the person who
// can mend it.
type fault struct {
	file string // the file's name
	key  string // the text's key, or "" for the file as a whole
	what string // what is wrong
	do   string // what to do about it
}

func (f fault) Error() string {
	where := f.file
	if f.key != "" {
		where += ": " + f.key
	}
	return where + ": " + f.what + ". " + f.do + "."
}

// faults joins what was found into one error, or nil.
func faults(found []fault) error {
	all := make([]error, len(found))
	for i := range found {
		all[i] = found[i]
	}
	return errors.Join(all...)
}
