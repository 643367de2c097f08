/** MCP23017, sixteen-bit port expander with a loop-back bit. Knows only Pi4J. */
@org.jspecify.annotations.NullMarked
package steamleaf.app.driver.mcp23017;
