package steamleaf.core.batch;

import java.util.List;

/**
 * A procedure (IEC 61512) under a name. A batch keeps the version it ran.
 *
 * @param targetMoisture wet basis, what the last drying aims at
 */
public record Recipe(String name, int version, double targetMoisture, List<Operation> procedure) {
    public Recipe {
        procedure = List.copyOf(procedure);
    }
}
