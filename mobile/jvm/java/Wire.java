import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** The bytes of requests and replies: as much of msgpack as the tests here need. */
final class Wire {
  private final ByteBuffer in;

  private Wire(byte[] bytes) {
    in = ByteBuffer.wrap(bytes);
  }

  /** A request: key, value, key, value; values are text, whole numbers up to 127 or Booleans. */
  static byte[] map(Object... pairs) {
    ByteBuffer out = ByteBuffer.allocate(8192);
    out.put((byte) (0x80 | pairs.length / 2));
    for (Object o : pairs) {
      if (o instanceof Boolean) {
        out.put((byte) ((Boolean) o ? 0xc3 : 0xc2));
      } else if (o instanceof Integer) {
        out.put(((Integer) o).byteValue());
      } else {
        byte[] text = ((String) o).getBytes(StandardCharsets.UTF_8);
        out.put((byte) 0xda).putShort((short) text.length).put(text);
      }
    }
    byte[] bytes = new byte[out.position()];
    out.flip();
    out.get(bytes);
    return bytes;
  }

  /** A reply. */
  @SuppressWarnings("unchecked")
  static Map<String, Object> read(byte[] reply) {
    Wire wire = new Wire(reply);
    Map<String, Object> map = (Map<String, Object>) wire.value();
    if (wire.in.hasRemaining()) {
      throw new IllegalArgumentException(wire.in.remaining() + " bytes after the reply");
    }
    return map;
  }

  private Object value() {
    int b = in.get() & 0xff;
    if (b < 0x80 || b >= 0xe0) {
      return (long) (byte) b;
    }
    if (b < 0x90) {
      return entries(b & 0x0f);
    }
    if (b < 0xa0) {
      return list(b & 0x0f);
    }
    if (b < 0xc0) {
      return text(b & 0x1f);
    }
    switch (b) {
      case 0xc2: return false;
      case 0xc3: return true;
      case 0xcc: return (long) (in.get() & 0xff);
      case 0xcd: return (long) (in.getShort() & 0xffff);
      case 0xce: return in.getInt() & 0xffffffffL;
      case 0xd0: return (long) in.get();
      case 0xd1: return (long) in.getShort();
      case 0xd2: return (long) in.getInt();
      case 0xcf:
      case 0xd3: return in.getLong();
      case 0xd9: return text(in.get() & 0xff);
      case 0xda: return text(in.getShort() & 0xffff);
      case 0xdc: return list(in.getShort() & 0xffff);
      case 0xdd: return list(in.getInt());
      case 0xde: return entries(in.getShort() & 0xffff);
      default: throw new IllegalArgumentException("byte " + b + " begins nothing that a reply holds");
    }
  }

  private Map<String, Object> entries(int n) {
    Map<String, Object> map = new LinkedHashMap<>();
    for (; n > 0; n--) {
      map.put((String) value(), value());
    }
    return map;
  }

  private List<Object> list(int n) {
    List<Object> list = new ArrayList<>();
    for (; n > 0; n--) {
      list.add(value());
    }
    return list;
  }

  private String text(int n) {
    byte[] bytes = new byte[n];
    in.get(bytes);
    return new String(bytes, StandardCharsets.UTF_8);
  }
}
