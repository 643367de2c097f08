package steamleaf.app.journal;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.List;
import java.util.stream.Stream;

/** A real folder. */
final class FolderDisk implements Disk {
    private final Path folder;

    FolderDisk(Path folder) throws IOException {
        this.folder = folder;
        Files.createDirectories(folder);
    }

    @Override
    public List<String> names() throws IOException {
        try (Stream<Path> paths = Files.list(folder)) {
            return paths.map(path -> path.getFileName().toString()).sorted().toList();
        }
    }

    @Override
    public Out open(String name, long keepBytes) throws IOException {
        FileChannel channel =
                FileChannel.open(
                        folder.resolve(name), StandardOpenOption.CREATE, StandardOpenOption.WRITE);
        try {
            channel.truncate(keepBytes);
            channel.position(keepBytes);
        } catch (IOException e) {
            channel.close();
            throw e;
        }
        return new ChannelOut(channel);
    }

    @Override
    public InputStream read(String name) throws IOException {
        return Files.newInputStream(folder.resolve(name));
    }

    @Override
    public void rename(String from, String to) throws IOException {
        Files.move(folder.resolve(from), folder.resolve(to), StandardCopyOption.ATOMIC_MOVE);
    }

    @Override
    public void delete(String name) throws IOException {
        Files.deleteIfExists(folder.resolve(name));
    }

    @Override
    public void syncFolder() throws IOException {
        try (FileChannel channel = FileChannel.open(folder, StandardOpenOption.READ)) {
            channel.force(true);
        }
    }

    @Override
    public long usableBytes() throws IOException {
        return Files.getFileStore(folder).getUsableSpace();
    }

    private record ChannelOut(FileChannel channel) implements Out {
        @Override
        public void write(byte[] bytes, int offset, int length) throws IOException {
            ByteBuffer buffer = ByteBuffer.wrap(bytes, offset, length);
            while (buffer.hasRemaining()) {
                channel.write(buffer);
            }
        }

        @Override
        public void force() throws IOException {
            channel.force(false);
        }

        @Override
        public void close() throws IOException {
            channel.close();
        }
    }
}
