// Command bench measures what the app costs, each cost beside its rival's in
// the same run, and prints one tab-separated row a cost:
//
//	name  ours  rival  rival's figure  ratio  goal  ok or short
//
// ONLY=tap.p95 measures one cost, ONLY=size those whose names begin so. Notes
// on how a figure came about, with the machine's load, go to standard error.
// "short" is a result and no failure; it exits 1 when a cost could not be
// measured, and never prints a row without its rival.
//
// Start with run; a cost is a line in costs. How each is taken:
//
//   - size.wasm: the Go program, brotli at quality 11 with a window of 16 MiB,
//     beside a Go program that does nothing and was compiled with the same
//     flags. Brotli's own command gives a few bytes more or less.
//   - size.app: every file that the service worker fetches, and its own, as
//     the server gives them to a browser that takes brotli. Headers and what
//     is fetched twice before the service worker runs are not in it.
//   - start.cold: from the navigation to the first screen painted, in a browser
//     that was just started, from the service worker's cache, with the server
//     gone and one examined birth in the journal. The rival is the least page
//     with a worker that runs the empty program, kept and started likewise.
//     Two starts before it are not counted, so that the browser has what it
//     keeps of a program used before. Median of 11, ours and the rival's in turn.
//   - tap.p95: from a lifted finger, on answers that append to a birth's record,
//     to the next screen painted; the event was flushed before. The rival is
//     the same shell with a worker of plain JavaScript that writes as many
//     bytes, flushes, and gives the HTML that the app gave. A second row,
//     tap.p95.least, has the same worker give screens of one heading and one
//     button: what no app in this browser can go below, under the same weather.
//   - store: the records as core/records keeps them, sealed, beside two databases
//     that keep the same invented events unsealed and flushed likewise, natively
//     (command wasm/bench/stores, each figure from a program of its own): append
//     one event and flush it, beside a bare write and flush too; from opening to
//     today's 60 births worked out, with 1,000, 10,000 and 100,000 births in all;
//     one old birth; the bytes of all files; by how much the program grew while
//     opening. The lowest of several turns. The files are in the page cache.
//   - topic.NAME.HOST: one call, mean over the topic's vectors, the lowest of
//     three turns, beside the native program.
//
// The page's thread is slowed six times by the browser's own tools. They cannot
// slow a worker, so the worker's time is taken inside the worker and counted
// six times, waiting for the disk and for other threads included: that part
// is harsher than a slow phone would be. Not slowed, and counted once, are the
// browser's other threads: the service worker, drawing to the glass, the
// finger's way to the page. "Painted" is when the page's thread has handed
// the frame over. What a phone's own flash and memory do is not in any figure,
// and other work on this machine is: measure when it is quiet.
package main
