package steamleaf.monitor.metrics;

import io.helidon.webserver.http.HttpRouting;
import io.helidon.webserver.http.ServerRequest;
import io.helidon.webserver.http.ServerResponse;
import io.micrometer.core.instrument.MeterRegistry;
import io.micrometer.core.instrument.binder.jvm.JvmGcMetrics;
import io.micrometer.core.instrument.binder.jvm.JvmMemoryMetrics;
import io.micrometer.core.instrument.binder.jvm.JvmThreadMetrics;
import io.micrometer.core.instrument.binder.system.ProcessorMetrics;
import io.micrometer.prometheusmetrics.PrometheusConfig;
import io.micrometer.prometheusmetrics.PrometheusMeterRegistry;

/** Counts and gauges in the Prometheus text format. */
public final class Meters implements AutoCloseable {
    private static final String TEXT = "text/plain; version=0.0.4; charset=utf-8";

    private final PrometheusMeterRegistry registry =
            new PrometheusMeterRegistry(PrometheusConfig.DEFAULT);
    private final JvmGcMetrics collections = new JvmGcMetrics();

    public Meters() {
        collections.bindTo(registry);
        new JvmMemoryMetrics().bindTo(registry);
        new JvmThreadMetrics().bindTo(registry);
        new ProcessorMetrics().bindTo(registry);
    }

    public MeterRegistry registry() {
        return registry;
    }

    public void route(HttpRouting.Builder routing) {
        routing.get("/metrics", this::answer);
    }

    private void answer(ServerRequest request, ServerResponse response) {
        response.header("Content-Type", TEXT).send(registry.scrape());
    }

    @Override
    public void close() {
        collections.close();
        registry.close();
    }
}
