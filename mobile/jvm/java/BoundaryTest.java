import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.Paths;
import java.util.Arrays;
import mobile.Core;
import mobile.Mobile;

/**
 * Tries the binding from the Java side: java BoundaryTest PACK. It prints one
 * line a check and ends with status 1 when one failed.
 */
public final class BoundaryTest {
  private static final byte[] NOTHING = {(byte) 0x80}; // msgpack: an empty map

  private int passed;
  private int failed;

  public static void main(String[] args) throws Exception {
    byte[] pack = Files.readAllBytes(Paths.get(args[0]));
    BoundaryTest test = new BoundaryTest();
    test.interfaceIsKnown();
    test.callAnswers(pack);
    test.refusalIsData(pack);
    test.longRequestIsRefused(pack);
    test.packIsNeeded();
    test.closedCoreSaysSo(pack);
    test.coreNeverOpenedSaysSo();
    test.panicDoesNotCross();
    test.folderHasOneOwner(pack);
    test.textSurvivesTheCrossing(pack);
    System.out.println(test.passed + " passed, " + test.failed + " failed");
    System.exit(test.failed == 0 && test.passed > 0 ? 0 : 1);
  }

  private void interfaceIsKnown() {
    check("the interface version is 1", Mobile.interface_() == 1);
  }

  private void callAnswers(byte[] pack) throws Exception {
    Core core = Mobile.open("", pack, null);
    byte[] reply = core.call("companion.about", NOTHING);
    check("a topic is answered with a map", isMap(reply) && !has(reply, "error"));
    check("the answer names the interface", has(reply, "interface"));
    check("the same call gives the same bytes",
        Arrays.equals(reply, core.call("companion.about", NOTHING)));
    core.close();
  }

  private void refusalIsData(byte[] pack) throws Exception {
    Core core = Mobile.open("", pack, null);
    check("an unknown topic is refused in the reply",
        isError(core.call("no.such.topic", NOTHING), "topic_unknown"));
    check("no request at all is refused in the reply",
        isError(core.call("tear.grade", new byte[0]), "request_malformed"));
    check("null is refused in the reply",
        isError(core.call("tear.grade", null), "request_malformed"));
    core.close();
  }

  private void longRequestIsRefused(byte[] pack) throws Exception {
    Core core = Mobile.open("", pack, null);
    check("a request of a mebibyte is refused",
        isError(core.call("tear.grade", new byte[1 << 20]), "request_too_large"));
    core.close();
  }

  private void packIsNeeded() {
    check("opening without a pack is an exception that names the code",
        thrown(() -> Mobile.open("", new byte[0], null)).contains("pack_missing"));
  }

  private void closedCoreSaysSo(byte[] pack) throws Exception {
    Core core = Mobile.open("", pack, null);
    core.close();
    check("a closed core says so", isError(core.call("companion.about", NOTHING), "closed"));
    check("closing again does nothing", thrown(core::close).isEmpty());
  }

  private void coreNeverOpenedSaysSo() throws Exception {
    Core core = new Core();
    check("a core that was never opened says so",
        isError(core.call("companion.about", NOTHING), "closed"));
    core.close();
  }

  private void panicDoesNotCross() {
    Core core = Mobile.panicking();
    check("a panic in a call becomes an error reply",
        isError(core.call("companion.about", NOTHING), "internal"));
    check("and the reply says what it was",
        has(core.call("companion.about", NOTHING), "this call panics on purpose"));
    check("a panic in close becomes an exception",
        thrown(core::close).contains("this close panics on purpose"));
    check("afterwards the core is closed",
        isError(core.call("companion.about", NOTHING), "closed"));
  }

  private void folderHasOneOwner(byte[] pack) throws Exception {
    Path folder = Files.createTempDirectory("records");
    Core first = Mobile.open(folder.toString(), pack, null);
    check("a second core on the same folder is refused",
        thrown(() -> Mobile.open(folder.toString(), pack, null)).contains("open already"));
    first.close();
    Core second = Mobile.open(folder.toString(), pack, null);
    check("after close the folder can be opened again",
        !has(second.call("companion.about", NOTHING), "error"));
    second.close();
  }

  private void textSurvivesTheCrossing(byte[] pack) throws Exception {
    Core core = Mobile.open("", pack, null);
    String topic = "périnée 会阴 \uD83E\uDE7A";
    check("a topic in any script comes back whole", has(core.call(topic, NOTHING), topic));
    core.close();
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

  private static boolean isMap(byte[] reply) {
    return reply != null && reply.length > 0
        && ((reply[0] & 0xf0) == 0x80 || (reply[0] & 0xfe) == 0xde);
  }

  private static boolean isError(byte[] reply, String code) {
    return isMap(reply) && has(reply, "error") && has(reply, code);
  }

  /** Whether the bytes of the text stand in the reply. */
  private static boolean has(byte[] reply, String text) {
    String all = new String(reply, StandardCharsets.ISO_8859_1);
    String part = new String(text.getBytes(StandardCharsets.UTF_8), StandardCharsets.ISO_8859_1);
    return all.contains(part);
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
