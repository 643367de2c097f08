/** What must survive a restart, as one small file that is replaced in one step. */
@org.jspecify.annotations.NullMarked
package steamleaf.app.recall;
