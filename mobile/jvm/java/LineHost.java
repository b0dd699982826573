import java.io.BufferedReader;
import java.io.InputStreamReader;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Paths;
import java.util.Base64;
import mobile.Core;
import mobile.Mobile;

/**
 * Answers topics line by line, so that core/vectors can compare this host's
 * replies with another's.
 *
 * <pre>
 *   java LineHost PACK        PACK: the file with the content pack
 *   topic REQUEST          -> REPLY               both in base64
 *   bench topic REQUEST n  -> NS ALLOCATIONS      a call, mean of n calls
 *   open FOLDER SEED       -> ok                  records there from now on
 *   derive PIN RECIPE      -> KEY
 *   anything else          -> ! what is wrong
 * </pre>
 *
 * Time is taken here, so that it holds the crossing into Go and back;
 * allocations are those of Go. Opened with a seed, clocks stand still and
 * randomness is the seed's, so that hosts can be compared by what they write.
 * The end of the input ends the program.
 */
public final class LineHost {
  private final byte[] pack;
  private Core core;

  private LineHost(byte[] pack) throws Exception {
    this.pack = pack;
    this.core = Mobile.open("", pack, null);
  }

  public static void main(String[] args) throws Exception {
    byte[] pack = Files.readAllBytes(Paths.get(args[0]));
    LineHost host = new LineHost(pack);
    BufferedReader in =
        new BufferedReader(new InputStreamReader(System.in, StandardCharsets.UTF_8));
    PrintStream out = new PrintStream(System.out, false, "UTF-8");
    for (String line = in.readLine(); line != null; line = in.readLine()) {
      out.print(host.answer(line) + "\n");
      out.flush();
    }
    host.core.close();
  }

  private String answer(String line) {
    try {
      String[] words = line.split(" ", -1);
      if (words.length == 2) {
        return encode(core.call(words[0], decode(words[1])));
      }
      if (words.length == 4 && words[0].equals("bench")) {
        return bench(words[1], decode(words[2]), Integer.parseInt(words[3]));
      }
      if (words.length == 3 && words[0].equals("open")) {
        return open(words[1], Long.parseLong(words[2]));
      }
      if (words.length == 3 && words[0].equals("derive")) {
        return Mobile.derive(words[1], words[2]);
      }
      return "! not a line of this protocol";
    } catch (Exception e) {
      return "! " + e;
    }
  }

  private String open(String folder, long seed) throws Exception {
    core.close();
    core = Mobile.fixed(folder, pack, seed);
    return "ok";
  }

  private String bench(String topic, byte[] request, int n) {
    long allocations = Mobile.mallocs();
    long start = System.nanoTime();
    for (int i = 0; i < n; i++) {
      core.call(topic, request);
    }
    long took = System.nanoTime() - start;
    allocations = Mobile.mallocs() - allocations;
    return (double) took / n + " " + (double) allocations / n;
  }

  private static byte[] decode(String text) {
    return Base64.getDecoder().decode(text);
  }

  private static String encode(byte[] bytes) {
    return Base64.getEncoder().encodeToString(bytes);
  }
}
