/**
 * The equations of the line: air, walls, trays, leaf, steam, the contactor and the hard-wired
 * layer. Knows no chip and no program.
 */
@org.jspecify.annotations.NullMarked
package steamleaf.sim.plant;
