import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.Paths;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.atomic.AtomicInteger;
import mobile.Clock;
import mobile.Core;
import mobile.Mobile;

/**
 * Tries the records through the binding: java RecordsTest PACK FOLDER. The
 * folder is empty and becomes full. It prints one line a check and ends with
 * status 1 when one failed.
 */
public final class RecordsTest {
  private final byte[] pack;
  private final Path folder;
  private int passed;
  private int failed;

  private RecordsTest(byte[] pack, Path folder) {
    this.pack = pack;
    this.folder = folder;
  }

  public static void main(String[] args) throws Exception {
    RecordsTest test = new RecordsTest(Files.readAllBytes(Paths.get(args[0])), Paths.get(args[1]));
    test.diskPassesTheSuite();
    test.recordSurvives();
    test.clockThatThrowsBecomesAFault();
    test.clockThatThrowsAtTheOpening();
    test.clockMayCallTheCore();
    test.threadsLoseNothing();
    test.tenThousandOpensLeakNothing();
    System.out.println(test.passed + " passed, " + test.failed + " failed");
    System.exit(test.failed == 0 && test.passed > 0 ? 0 : 1);
  }

  private void diskPassesTheSuite() {
    int[] checks = new int[1];
    String said = thrown(() -> checks[0] = Mobile.diskSuite(made("suite")));
    check("the folder passes the suite of every disk, " + checks[0] + " checks: " + said,
        said.isEmpty() && checks[0] > 10);
  }

  private void recordSurvives() throws Exception {
    String at = made("record");
    Core core = Mobile.open(at, pack, System::nanoTime);
    String birth = newBirth(core);
    pulse(core, birth, 88);
    List<String> before = events(core, birth);
    core.close();
    core = Mobile.open(at, pack, null);
    check("what was recorded is there after opening again",
        before.size() == 2 && events(core, birth).equals(before));
    core.close();
  }

  /** A clock that throws what it is told to. */
  private static final class Broken implements Clock {
    volatile Throwable next;

    @Override
    public long running() throws Exception {
      if (next instanceof Error) {
        throw (Error) next;
      }
      if (next != null) {
        throw (Exception) next;
      }
      return 1000;
    }
  }

  private void clockThatThrowsBecomesAFault() throws Exception {
    Broken clock = new Broken();
    String at = made("clock");
    Core core = Mobile.open(at, pack, clock);
    String birth = newBirth(core);
    for (Throwable thrown : new Throwable[] {
        new IllegalStateException("no clock here"), new Exception("nor here"),
        new NullPointerException(), new StackOverflowError("too deep")}) {
      String name = thrown.getClass().getSimpleName();
      List<String> before = events(core, birth);
      clock.next = thrown;
      Map<String, Object> reply = pulse(core, birth, 77);
      String detail = String.valueOf(reply.get("detail"));
      check("a clock that throws " + name + " is a fault in the reply",
          "clock_failed".equals(reply.get("error"))
              && (thrown.getMessage() == null || detail.contains(thrown.getMessage())));
      check("and a rescue, which needs no time, is answered",
          !Wire.read(core.call("anaesthetic.rescue", Wire.map("weight_kg", "60"))).containsKey("error"));
      clock.next = null;
      check("and nothing was written or lost", events(core, birth).equals(before));
      check("and the next call works", pulse(core, birth, 78).containsKey("event"));
    }
    List<String> before = events(core, birth);
    core.close();
    core = Mobile.open(at, pack, null);
    check("and all of it is there after opening again", events(core, birth).equals(before) && before.size() == 5);
    core.close();
  }

  /** With a PIN set, opening needs the time: the wait after wrong tries. */
  private void clockThatThrowsAtTheOpening() throws Exception {
    String at = made("opening");
    Core core = Mobile.open(at, pack, null);
    newBirth(core);
    String recipe = (String) Wire.read(core.call("lock.recipe", Wire.map("pin", "739104"))).get("recipe");
    Map<String, Object> set = Wire.read(core.call("lock.set_pin",
        Wire.map("recipe", recipe, "key", Mobile.derive("739104", recipe))));
    core.close();
    Broken clock = new Broken();
    clock.next = new IllegalStateException("no clock here");
    check("a clock that throws at the opening is an exception",
        set.isEmpty() && thrown(() -> Mobile.open(at, pack, clock)).contains("no clock here"));
    clock.next = null;
    core = Mobile.open(at, pack, clock);
    check("and the folder was given back, its records locked",
        "locked".equals(Wire.read(core.call("birth.list", Wire.map())).get("error")));
    core.close();
    check("a recipe that is none is an exception", !thrown(() -> Mobile.derive("739104", "no")).isEmpty());
  }

  private void clockMayCallTheCore() throws Exception {
    Core[] core = new Core[1];
    ThreadLocal<Boolean> inside = ThreadLocal.withInitial(() -> false);
    AtomicInteger answered = new AtomicInteger();
    core[0] = Mobile.open("", pack, () -> {
      if (core[0] != null && !inside.get()) {
        inside.set(true);
        answered.addAndGet(core[0].call("companion.about", Wire.map()).length);
        inside.set(false);
      }
      return 0;
    });
    Thread caller = new Thread(() -> core[0].call("companion.about", Wire.map()));
    caller.setDaemon(true);
    caller.start();
    caller.join(10_000);
    check("a clock may call the core that asks it", !caller.isAlive() && answered.get() > 0);
  }

  /** What threads were told, while they all used one core. */
  private static final class Told {
    final Set<String> saved = ConcurrentHashMap.newKeySet();
    final List<String> wrong = Collections.synchronizedList(new ArrayList<>());
    final AtomicInteger failing = new AtomicInteger();
    final AtomicInteger closed = new AtomicInteger();
    final AtomicInteger second = new AtomicInteger();
  }

  private static final int THREADS = 8;
  private static final int CALLS = 150;

  private void threadsLoseNothing() throws Exception {
    String at = made("threads");
    AtomicInteger asked = new AtomicInteger();
    Clock clock = () -> {
      int n = asked.incrementAndGet();
      if (n % 7 == 0) {
        throw new IllegalStateException("this clock fails at times");
      }
      return n;
    };
    Core core = Mobile.open(at, pack, clock);
    String birth = newBirth(core);
    Told told = new Told();
    List<Thread> all = new ArrayList<>();
    for (int i = 0; i < THREADS; i++) {
      int number = i;
      all.add(new Thread(() -> use(core, birth, at, number, told)));
    }
    all.forEach(Thread::start);
    while (told.saved.size() < THREADS * CALLS / 2 && all.stream().anyMatch(Thread::isAlive)) {
      all.get(told.saved.size() % THREADS).interrupt();
      System.gc();
    }
    core.close(); // in the middle of it
    for (Thread t : all) {
      t.join();
    }
    Core again = Mobile.open(at, pack, null);
    List<String> kept = events(again, birth);
    again.close();
    kept.remove(0); // the one that opened the birth
    check("no thread was told anything strange " + told.wrong, told.wrong.isEmpty());
    check("what " + THREADS + " threads were told is saved is there once, and nothing else: " + kept.size(),
        kept.size() == told.saved.size() && told.saved.containsAll(kept));
    check("all of it happened: a failing clock " + told.failing + ", a closed core " + told.closed
        + ", a second core refused " + told.second,
        told.failing.get() > 0 && told.closed.get() > 0 && told.second.get() > 0);
  }

  private void use(Core core, String birth, String at, int number, Told told) {
    for (int i = 0; i < CALLS; i++) {
      try {
        Map<String, Object> reply = pulse(core, birth, 60 + number);
        String error = (String) reply.get("error");
        if (error == null) {
          if (!told.saved.add((String) reply.get("event"))) {
            told.wrong.add("given out twice: " + reply);
          }
        } else if (error.equals("clock_failed")) {
          told.failing.incrementAndGet();
        } else if (error.equals("closed")) {
          told.closed.incrementAndGet();
        } else {
          told.wrong.add(reply.toString());
        }
        if (i % 10 == number && error == null && secondIsRefused(at)) {
          told.second.incrementAndGet();
        }
      } catch (RuntimeException e) {
        told.wrong.add(e.toString());
      }
    }
  }

  private boolean secondIsRefused(String at) {
    return thrown(() -> Mobile.open(at, pack, null).close()).contains("open already");
  }

  private static final int OPENS = 10_000;

  private void tenThousandOpensLeakNothing() throws Exception {
    String at = made("opens");
    int written = 0;
    for (int i = 0; i < 500; i++) { // whatever is made once is made now
      written += openAndClose(at, i);
    }
    Held before = Held.settled(null);
    long start = System.nanoTime();
    for (int i = 0; i < OPENS; i++) {
      written += openAndClose(at, i);
    }
    long took = (System.nanoTime() - start) / 1_000_000;
    Held after = Held.settled(before);
    System.out.println("held before " + before + "\nheld after  " + after);
    check(OPENS + " opens and closes in " + took + " ms hold nothing more", after.noMoreThan(before));
    Core core = Mobile.open(at, pack, null);
    int kept = ((List<?>) Wire.read(core.call("birth.list", Wire.map())).get("births")).size();
    check("and all that was recorded meanwhile is there: " + written, written == 6 && kept == written);
    core.close();
  }

  /** Opens, asks, now and then writes, is refused a second time and a pack that is none, closes. */
  private int openAndClose(String at, int i) throws Exception {
    Core core = Mobile.open(at, pack, () -> 1000L + i);
    int written = 0;
    if (i % 2000 == 0) {
      newBirth(core);
      written = 1;
    }
    if (Wire.read(core.call("birth.list", Wire.map())).containsKey("error") || i % 10 == 0 && !secondIsRefused(at)) {
      throw new IllegalStateException("opening " + i + " went wrong");
    }
    core.close();
    if (i % 10 == 1 && thrown(() -> Mobile.open(at, new byte[0], null)).isEmpty()) {
      throw new IllegalStateException("opening " + i + " without a pack was not refused");
    }
    return written;
  }

  private String made(String name) {
    return folder.resolve(name).toString();
  }

  private static String newBirth(Core core) {
    return (String) Wire.read(core.call("birth.open", Wire.map("born", "now", "bed", "3", "another", true))).get("birth");
  }

  private static Map<String, Object> pulse(Core core, String birth, int n) {
    return Wire.read(core.call("birth.answer", Wire.map("birth", birth, "question", "pulse", "number", n)));
  }

  /** The ids of a record's events, in order. */
  private static List<String> events(Core core, String birth) {
    List<String> ids = new ArrayList<>();
    for (Object line : (List<?>) Wire.read(core.call("birth.show", Wire.map("birth", birth))).get("log")) {
      ids.add((String) ((Map<?, ?>) line).get("event"));
    }
    return ids;
  }

  private interface Step {
    void run() throws Exception;
  }

  /** The message of what the step throws; empty when it throws nothing. */
  private static String thrown(Step step) {
    try {
      step.run();
      return "";
    } catch (Exception e) {
      return String.valueOf(e.getMessage());
    }
  }

  private void check(String what, boolean holds) {
    System.out.println((holds ? "ok    " : "FAILED ") + what);
    if (holds) {
      passed++;
    } else {
      failed++;
    }
  }
}
