package steamleaf.core.batch;

/** The operations of a recipe's procedure (IEC 61512: procedure, operation, phase). */
public enum OperationKind {
    STEAM,
    COOL,
    DRY,
    TURN,
    ROLL,
    SHAPE,
    REST,
    WEIGH,
    PACK
}
