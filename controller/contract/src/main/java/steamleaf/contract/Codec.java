package steamleaf.contract;

import com.fasterxml.jackson.annotation.JsonInclude;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamReadFeature;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializationFeature;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.datatype.jsr310.JavaTimeModule;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import org.jspecify.annotations.Nullable;

/** JSON in UTF-8. Unknown fields are ignored, absent ones are null, duplicate keys are refused. */
public final class Codec {
    private static final ObjectMapper JSON =
            JsonMapper.builder()
                    .addModule(new JavaTimeModule())
                    .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
                    .disable(SerializationFeature.WRITE_DATES_AS_TIMESTAMPS)
                    .disable(DeserializationFeature.FAIL_ON_UNKNOWN_PROPERTIES)
                    .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
                    .enable(DeserializationFeature.FAIL_ON_NULL_FOR_PRIMITIVES)
                    .defaultPropertyInclusion(
                            JsonInclude.Value.construct(
                                    JsonInclude.Include.NON_NULL, JsonInclude.Include.ALWAYS))
                    .build();

    private Codec() {}

    /** UTF-8 bytes of {@code message}. */
    public static byte[] write(Object message) {
        try {
            return JSON.writeValueAsBytes(message);
        } catch (JsonProcessingException e) {
            throw new IllegalArgumentException("cannot be written: " + message.getClass(), e);
        }
    }

    /** UTF-8 bytes of {@code message} for people: indented, with a line's end. */
    public static byte[] pretty(Object message) {
        try {
            return (JSON.writerWithDefaultPrettyPrinter().writeValueAsString(message) + "\n")
                    .getBytes(StandardCharsets.UTF_8);
        } catch (JsonProcessingException e) {
            throw new IllegalArgumentException("cannot be written: " + message.getClass(), e);
        }
    }

    /** {@code message} as a tree, for the body of a {@link JournalRecord}. */
    public static JsonNode tree(Object message) {
        return JSON.valueToTree(message);
    }

    /**
     * Reads one message.
     *
     * @throws Malformed when the bytes are not JSON or don't fit the type: says where and what
     */
    public static <T> T read(byte[] bytes, Class<T> type) throws Malformed {
        try {
            T message = JSON.readValue(bytes, type);
            return complete(message);
        } catch (IOException | IllegalArgumentException e) {
            throw new Malformed(saying(e), e);
        }
    }

    /** Reads the body of a record. */
    public static <T> T read(JsonNode body, Class<T> type) throws Malformed {
        try {
            return complete(JSON.treeToValue(body, type));
        } catch (JsonProcessingException | IllegalArgumentException e) {
            throw new Malformed(saying(e), e);
        }
    }

    private static <T> T complete(@Nullable T message) throws Malformed {
        if (message == null) {
            throw new Malformed("empty message, allowed: one JSON object");
        }
        String missing = Complete.missing(message, "");
        if (missing != null) {
            throw new Malformed(missing);
        }
        return message;
    }

    public static String text(byte[] json) {
        return new String(json, StandardCharsets.UTF_8);
    }

    private static String saying(Exception e) {
        if (e instanceof JsonProcessingException json) {
            String where =
                    json.getLocation() == null
                            ? ""
                            : "line "
                                    + json.getLocation().getLineNr()
                                    + ", column "
                                    + json.getLocation().getColumnNr()
                                    + ": ";
            return where + json.getOriginalMessage();
        }
        return String.valueOf(e.getMessage());
    }

    /** Bytes that are not a message of the contract. */
    public static final class Malformed extends Exception {
        public Malformed(String message) {
            super(message);
        }

        public Malformed(String message, Throwable cause) {
            super(message, cause);
        }
    }
}
