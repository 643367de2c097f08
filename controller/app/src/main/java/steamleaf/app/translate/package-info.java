/** Between the core's values and the contract's messages, both ways, exhaustively. */
@org.jspecify.annotations.NullMarked
package steamleaf.app.translate;
