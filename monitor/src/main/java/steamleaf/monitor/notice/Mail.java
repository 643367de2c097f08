package steamleaf.monitor.notice;

import jakarta.mail.AuthenticationFailedException;
import jakarta.mail.Authenticator;
import jakarta.mail.Message;
import jakarta.mail.MessagingException;
import jakarta.mail.PasswordAuthentication;
import jakarta.mail.SendFailedException;
import jakarta.mail.Session;
import jakarta.mail.Transport;
import jakarta.mail.internet.InternetAddress;
import jakarta.mail.internet.MimeMessage;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.Properties;
import java.util.function.LongSupplier;
import javax.net.ssl.SSLContext;
import steamleaf.monitor.store.Outbox;

/** Mail by SMTP, always under TLS: from the first byte or by a required STARTTLS. */
final class Mail implements Channel {
    private static final String LIMIT_MS = "10000";

    private final NoticeSettings.MailServer server;
    private final Session session;
    private final LongSupplier wallMs;

    Mail(NoticeSettings.MailServer server, SSLContext tls, LongSupplier wallMs) {
        this.server = server;
        this.wallMs = wallMs;
        Properties p = new Properties();
        p.put("mail.smtp.host", server.host());
        p.put("mail.smtp.port", String.valueOf(server.port()));
        p.put("mail.smtp.connectiontimeout", LIMIT_MS);
        p.put("mail.smtp.timeout", LIMIT_MS);
        p.put("mail.smtp.writetimeout", LIMIT_MS);
        p.put("mail.smtp.ssl.checkserveridentity", "true");
        p.put("mail.smtp.ssl.socketFactory", tls.getSocketFactory());
        if (server.tls()) {
            p.put("mail.smtp.ssl.enable", "true");
        } else {
            p.put("mail.smtp.starttls.enable", "true");
            p.put("mail.smtp.starttls.required", "true");
        }
        String user = server.user();
        if (user == null) {
            session = Session.getInstance(p);
        } else {
            p.put("mail.smtp.auth", "true");
            session =
                    Session.getInstance(
                            p,
                            new Authenticator() {
                                @Override
                                protected PasswordAuthentication getPasswordAuthentication() {
                                    return new PasswordAuthentication(user, server.password());
                                }
                            });
        }
    }

    @Override
    public String name() {
        return "mail";
    }

    @Override
    public Outcome send(Outbox.Waiting notice) {
        try {
            MimeMessage message = new MimeMessage(session);
            message.setFrom(new InternetAddress(server.from()));
            message.setRecipient(Message.RecipientType.TO, new InternetAddress(notice.target()));
            message.setSubject(notice.title(), "UTF-8");
            message.setText(notice.text(), "UTF-8");
            message.setHeader(
                    "Date",
                    DateTimeFormatter.RFC_1123_DATE_TIME.format(
                            Instant.ofEpochMilli(wallMs.getAsLong()).atOffset(ZoneOffset.UTC)));
            message.setHeader(
                    "Auto-Submitted", "auto-generated"); // RFC 3834: no out-of-office back
            if (notice.urgent()) {
                message.setHeader("Importance", "high"); // RFC 4021, 2.1.52
            }
            Transport.send(message);
            return new Outcome.Delivered();
        } catch (AuthenticationFailedException _) {
            return new Outcome.Failed("the mail server refuses user and password", false);
        } catch (SendFailedException e) {
            boolean nobody = e.getInvalidAddresses() != null && e.getInvalidAddresses().length > 0;
            return new Outcome.Failed(
                    nobody ? "the mail server does not know the address" : plain(e), nobody);
        } catch (MessagingException e) {
            return new Outcome.Failed(plain(e), false);
        }
    }

    private static String plain(MessagingException e) {
        Exception cause = e.getNextException();
        String more = cause == null ? "" : ": " + cause.getClass().getSimpleName();
        return "mail server: "
                + String.valueOf(e.getMessage()).lines().findFirst().orElse("")
                + more;
    }
}
