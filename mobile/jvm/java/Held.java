import java.io.File;
import java.lang.reflect.Field;
import java.util.Collection;
import java.util.Map;
import mobile.Mobile;

/** What this process holds on to, on both sides of the binding. */
final class Held {
  final int descriptors; // open files of the process
  final int threads; // of Java
  final int goroutines;
  final int javaObjects; // that Go refers to
  final int goObjects; // that Java refers to
  final long goBytes;
  final long javaBytes;

  private Held() throws ReflectiveOperationException {
    descriptors = new File("/proc/self/fd").list().length;
    threads = Thread.activeCount();
    goroutines = Mobile.goroutines();
    Object tracker = field("go.Seq", "tracker", null);
    javaObjects = ((Map<?, ?>) field("go.Seq$RefTracker", "javaRefs", tracker)).size();
    Object queue = field("go.Seq", "goRefQueue", null);
    goObjects = ((Collection<?>) field("go.Seq$GoRefQueue", "refs", queue)).size();
    goBytes = Mobile.heap();
    javaBytes = Runtime.getRuntime().totalMemory() - Runtime.getRuntime().freeMemory();
  }

  /** What is held when both collectors have run; with a measure, until it is met or some seconds are over. */
  static Held settled(Held measure) throws Exception {
    Held held = null;
    for (int i = 0; i < 100; i++) {
      System.gc();
      Mobile.heap();
      Thread.sleep(50); // finalizers run on threads of their own
      held = new Held();
      if (i >= 10 && (measure == null || held.noMoreThan(measure))) {
        break;
      }
    }
    return held;
  }

  /**
   * Bytes may differ by what allocators and tables keep in hand: some two hundred for each of
   * ten thousand openings, and a core that is open has thousands. Threads may differ by those of Go's that have
   * told Java of a finalizer.
   */
  boolean noMoreThan(Held before) {
    return descriptors <= before.descriptors
        && threads <= before.threads + 4
        && goroutines <= before.goroutines
        && javaObjects <= before.javaObjects
        && goObjects <= before.goObjects
        && goBytes <= before.goBytes + (1 << 21)
        && javaBytes <= before.javaBytes + (1 << 20);
  }

  private static Object field(String type, String name, Object of) throws ReflectiveOperationException {
    Field field = Class.forName(type).getDeclaredField(name);
    field.setAccessible(true);
    return field.get(of);
  }

  @Override
  public String toString() {
    return descriptors + " descriptors, " + threads + " threads, " + goroutines + " goroutines, "
        + javaObjects + " Java objects held by Go, " + goObjects + " Go objects held by Java, "
        + goBytes + " bytes of Go, " + javaBytes + " bytes of Java";
  }
}
